package kernel

import (
	"math"
	"slices"
)

// ringArea is Green's theorem, ½∮(x dy − y dx), exactly: the polygon through
// the ends plus the circular segment R²(φ − sin φ)/2 of every arc. Coordinates
// count from the middle of box, which spares digits.
func ringArea(segs []Seg, box Box) float64 {
	o := box.Min.Add(box.Max).Mul(0.5)
	var sum float64
	for _, s := range segs {
		sum += s.A.Sub(o).Cross(s.B.Sub(o))
		if s.IsArc() {
			sum += s.R * s.R * (s.Sweep - math.Sin(s.Sweep))
		}
	}
	return sum / 2
}

// Area returns the area of s.
func (s Shape) Area() float64 {
	var sum float64
	for _, r := range s.Rings {
		sum += r.area
	}
	return sum
}

// Perimeter returns the length of all boundaries of s.
func (s Shape) Perimeter() float64 {
	var sum float64
	for _, r := range s.Rings {
		sum += r.len
	}
	return sum
}

// Moments holds the area, the centre of area and the second moments about it:
// XX = ∫y² dA, YY = ∫x² dA, XY = ∫xy dA.
type Moments struct {
	Area       float64
	Centre     Vec
	XX, YY, XY float64
}

// gauss holds the positive abscissae and the weights of the 8-point
// Gauss-Legendre rule (Abramowitz and Stegun, table 25.4).
func gauss() (x, w [4]float64) {
	return [4]float64{0.1834346424956498, 0.5255324099163290, 0.7966664774136267, 0.9602898564975363},
		[4]float64{0.3626837833783620, 0.3137066458778873, 0.2223810344533745, 0.1012285362903763}
}

// Moments returns the moments of s by Green's theorem along the boundary:
//
//	∫x dA = ½∮x² dy, ∫y dA = −½∮y² dx,
//	∫x² dA = ⅓∮x³ dy, ∫y² dA = −⅓∮y³ dx, ∫xy dA = ½∮x²y dy.
//
// On lines the integrands are polynomials of degree 3 at most, on arcs
// trigonometric polynomials of degree 4: 8 Gauss points on each eighth of a
// turn integrate both to rounding, also where R is huge and closed forms lose
// their digits.
func (s Shape) Moments() Moments {
	if s.Empty() {
		return Moments{}
	}
	o := s.box.Min.Add(s.box.Max).Mul(0.5)
	gx, gw := gauss()
	var x1, y1, xx, yy, xy float64
	add := func(p, d Vec, w float64) { // d is the derivative along the parameter
		p = p.Sub(o)
		x1 += w * p.X * p.X * d.Y / 2
		y1 -= w * p.Y * p.Y * d.X / 2
		xx += w * p.X * p.X * p.X * d.Y / 3
		yy -= w * p.Y * p.Y * p.Y * d.X / 3
		xy += w * p.X * p.X * p.Y * d.Y / 2
	}
	for _, r := range s.Rings {
		for _, g := range r.Segs {
			if !g.IsArc() {
				m, h := g.A.Add(g.B).Mul(0.5), g.B.Sub(g.A).Mul(0.5)
				for i := range gx {
					add(m.Add(h.Mul(gx[i])), h, gw[i])
					add(m.Sub(h.Mul(gx[i])), h, gw[i])
				}
				continue
			}
			n := int(math.Abs(g.Sweep)/(math.Pi/4)) + 1
			h := g.Sweep / float64(n) / 2
			t0 := g.A.Sub(g.C).angle()
			for k := range n {
				mid := t0 + float64(2*k+1)*h
				for i := range gx {
					for _, t := range [2]float64{mid + h*gx[i], mid - h*gx[i]} {
						sin, cos := math.Sincos(t)
						v := Vec{g.R * cos, g.R * sin}
						add(g.C.Add(v), v.perp().Mul(h), gw[i])
					}
				}
			}
		}
	}
	m := Moments{Area: s.Area()}
	c := Vec{x1 / m.Area, y1 / m.Area}
	m.Centre = o.Add(c)
	m.XX = yy - m.Area*c.Y*c.Y
	m.YY = xx - m.Area*c.X*c.X
	m.XY = xy - m.Area*c.X*c.Y
	return m
}

// Span is a stretch of a line, measured along it.
type Span struct{ From, To float64 }

// Along returns the stretches of the line through p along the unit vector u
// that lie in s, borders included, in order.
//
// Segments that lie in the line belong to s like all its boundary. So the line
// is taken twice, moved by nothing at all to either side, and the two answers
// are united; each is an even number of crossings, whatever the rounding.
func (s Shape) Along(p, u Vec) []Span {
	const flat = 1e-9 // heights below this are 0
	snap := func(v float64) float64 {
		if math.Abs(v) < flat {
			return 0
		}
		return v
	}
	type hit struct {
		at  float64
		dir int
	}
	var hits [2][]hit
	cross := func(v0, v1 float64, at func() float64) {
		for k := range hits {
			a, b := v0 >= 0, v1 >= 0 // the line moved down by nothing
			if k == 1 {
				a, b = v0 > 0, v1 > 0
			}
			if a != b {
				d := -1
				if b {
					d = 1
				}
				hits[k] = append(hits[k], hit{at(), d})
			}
		}
	}
	for _, r := range s.Rings {
		if !lineMeetsBox(r.box.grow(2*flat), p, u) {
			continue
		}
		for i := range r.Segs {
			g := &r.Segs[i]
			a, b := g.A.Sub(p), g.B.Sub(p)
			va, vb := snap(u.Cross(a)), snap(u.Cross(b))
			if !g.IsArc() {
				cross(va, vb, func() float64 {
					ua, ub := u.Dot(a), u.Dot(b)
					fa, fb := u.Cross(a), u.Cross(b)
					if fa == fb {
						return ua
					}
					return ua + (ub-ua)*math.Min(1, math.Max(0, fa/(fa-fb)))
				})
				continue
			}
			c := g.C.Sub(p)
			vc, uc := u.Cross(c), u.Dot(c)
			if (vc-g.R > flat || vc+g.R < -flat) && (va > 0) == (vb > 0) && va != 0 && vb != 0 {
				continue
			}
			half := math.Sqrt(math.Max(0, (g.R-vc)*(g.R+vc)))
			// Walk the arc in the line's frame from extreme to extreme.
			const quarter = math.Pi / 2
			dir := math.Copysign(1, g.Sweep)
			t0 := math.Atan2(u.Cross(a.Sub(c)), u.Dot(a.Sub(c)))
			end := t0 + g.Sweep
			k := math.Floor(t0/quarter*dir) + 1
			if math.Mod(math.Abs(k), 2) == 0 {
				k++
			}
			v, t := va, t0
			for t*dir < end*dir {
				next := k * quarter * dir
				k += 2
				nv := snap(vc - g.R)
				if (next-end)*dir >= 0 {
					next, nv = end, vb
				} else if math.Sin(next) > 0 {
					nv = snap(vc + g.R)
				}
				right := (nv > v) == (dir > 0)
				cross(v, nv, func() float64 {
					if right {
						return uc + half
					}
					return uc - half
				})
				t, v = next, nv
			}
		}
	}
	var spans []Span
	for k := range hits {
		h := hits[k]
		slices.SortStableFunc(h, func(a, b hit) int {
			switch {
			case a.at < b.at:
				return -1
			case a.at > b.at:
				return 1
			}
			return 0
		})
		// Going along u, a boundary that rises has material on its left,
		// behind: crossing it leaves.
		w := 0
		var from float64
		for _, x := range h {
			was := w
			w -= x.dir
			if was == 0 && w != 0 {
				from = x.at
			} else if was != 0 && w == 0 && x.at > from {
				spans = append(spans, Span{from, x.at})
			}
		}
	}
	slices.SortStableFunc(spans, func(a, b Span) int {
		switch {
		case a.From < b.From:
			return -1
		case a.From > b.From:
			return 1
		}
		return 0
	})
	out := spans[:0]
	for _, x := range spans {
		if n := len(out); n > 0 && x.From <= out[n-1].To+flat {
			out[n-1].To = math.Max(out[n-1].To, x.To)
		} else {
			out = append(out, x)
		}
	}
	return out
}

func lineMeetsBox(b Box, p, u Vec) bool {
	c := b.Min.Add(b.Max).Mul(0.5).Sub(p)
	h := b.Max.Sub(b.Min).Mul(0.5)
	return math.Abs(u.Cross(c)) <= math.Abs(u.X)*h.Y+math.Abs(u.Y)*h.X
}

// interior returns a point well inside r: the middle of the widest of a few
// level sections.
func interior(r Ring) Vec {
	s := Shape{Rings: []Ring{r}, box: r.box}
	return s.Inside()
}

// Inside returns a point well inside s, which is one piece: the middle of the
// widest of a few level sections.
func (s Shape) Inside() Vec {
	best, at := -1.0, s.box.Min.Add(s.box.Max).Mul(0.5)
	for _, f := range [...]float64{0.5, 0.29, 0.71, 0.13, 0.87, 0.41, 0.59, 0.04, 0.96} {
		y := s.box.Min.Y + f*(s.box.Max.Y-s.box.Min.Y)
		for _, x := range s.Along(Vec{0, y}, Vec{1, 0}) {
			if w := x.To - x.From; w > best*1.2 {
				best, at = w, Vec{(x.From + x.To) / 2, y}
			}
		}
	}
	return at
}

// Clearance returns the smallest distance between a and b and the points that
// realise it, the first on a; 0 and a shared point where they meet or overlap.
func Clearance(a, b Shape) (d float64, p, q Vec) {
	d = math.Inf(1)
	if a.Empty() || b.Empty() {
		return d, p, q
	}
	if a.box.meets(b.box) {
		for _, r := range b.Rings {
			if x := r.Segs[0].A; a.inside(x) {
				return 0, x, x
			}
		}
		for _, r := range a.Rings {
			if x := r.Segs[0].A; b.inside(x) {
				return 0, x, x
			}
		}
	}
	swap := len(a.Rings) > len(b.Rings)
	if swap {
		a, b = b, a
	}
	segs, _, t := b.indexed()
	for _, r := range a.Rings {
		if r.box.dist(b.box) >= d {
			continue
		}
		for _, s := range r.Segs {
			t.near(s.Box(), d, func(i int) float64 {
				if e, x, y := Dist(s, segs[i]); e < d {
					d, p, q = e, x, y
				}
				return d
			})
			if d == 0 {
				return 0, p, p
			}
		}
	}
	if swap {
		p, q = q, p
	}
	return d, p, q
}
