package kernel

import (
	"cmp"
	"errors"
	"math"
	"slices"
)

// ErrTopology is returned where rings do not nest into pieces with holes: a
// defect of the input or of the kernel, never a shape.
var ErrTopology = errors.New("rings do not nest")

// Ring is a closed chain of segments, each starting where the one before ends.
// It is immutable.
type Ring struct {
	Segs []Seg
	box  Box
	area float64 // signed: positive counter-clockwise
	len  float64
}

// NewRing returns the ring of segs, which it keeps.
func NewRing(segs []Seg) Ring {
	r := Ring{Segs: segs, box: EmptyBox()}
	for _, s := range segs {
		r.box = r.box.join(s.Box())
		r.len += s.Len()
	}
	r.area = ringArea(segs, r.box)
	return r
}

// Hole reports whether r runs clockwise.
func (r Ring) Hole() bool { return r.area < 0 }

// Reverse returns r travelled the other way.
func (r Ring) Reverse() Ring {
	segs := make([]Seg, len(r.Segs))
	for i, s := range r.Segs {
		segs[len(segs)-1-i] = s.Reverse()
	}
	return Ring{Segs: segs, box: r.box, area: -r.area, len: r.len}
}

// sliver reports whether r encloses no more than rounding and flattening do.
func (r Ring) sliver() bool { return math.Abs(r.area) < Sagitta*r.len }

// speck reports whether r is on average no wider than errors that are kept.
// One that is inside out, with nothing around it, is what is left of a piece
// that two curves a few micrometres apart squeezed out.
func (r Ring) speck() bool { return 2*math.Abs(r.area) < tolerable*r.len }

// inside reports whether p lies inside r, whichever way r runs. On the
// boundary the answer may be either.
func (r Ring) inside(p Vec) bool {
	if p.Y < r.box.Min.Y || p.Y > r.box.Max.Y || p.X < r.box.Min.X || p.X > r.box.Max.X {
		return false
	}
	return r.winding(p) != 0
}

// winding returns the number of counter-clockwise turns of r about p: the
// signed crossings of the ray from p to the right, each segment counting its
// lower end and not its upper one.
func (r Ring) winding(p Vec) int {
	if p.Y < r.box.Min.Y || p.Y > r.box.Max.Y || p.X > r.box.Max.X {
		return 0
	}
	w := 0
	for i := range r.Segs {
		w += crossings(&r.Segs[i], p)
	}
	return w
}

func crossings(s *Seg, p Vec) int {
	if !s.IsArc() {
		a, b := s.A, s.B
		switch {
		case a.Y <= p.Y && p.Y < b.Y:
			if b.Sub(a).Cross(p.Sub(a)) > 0 {
				return 1
			}
		case b.Y <= p.Y && p.Y < a.Y:
			if b.Sub(a).Cross(p.Sub(a)) < 0 {
				return -1
			}
		}
		return 0
	}
	if p.Y < s.C.Y-s.R && p.Y < s.A.Y && p.Y < s.B.Y ||
		p.Y > s.C.Y+s.R && p.Y > s.A.Y && p.Y > s.B.Y {
		return 0
	}
	// Walk the arc from extreme to extreme of y; each stretch is monotone.
	w := 0
	dir := 1.0
	if s.Sweep < 0 {
		dir = -1
	}
	t0 := s.A.Sub(s.C).angle()
	end := t0 + s.Sweep
	const quarter = math.Pi / 2
	// Extremes lie at the odd multiples of a quarter turn.
	k := math.Floor(t0/quarter*dir) + 1
	if math.Mod(math.Abs(k), 2) == 0 {
		k++
	}
	y := s.A.Y
	t := t0
	for t*dir < end*dir {
		next := k * quarter * dir
		k += 2
		ny := s.C.Y - s.R
		if (next-end)*dir >= 0 {
			next, ny = end, s.B.Y
		} else if math.Sin(next) > 0 {
			ny = s.C.Y + s.R
		}
		up := y <= p.Y && p.Y < ny
		if up || ny <= p.Y && p.Y < y {
			dy := p.Y - s.C.Y
			x := math.Sqrt(math.Max(0, (s.R-dy)*(s.R+dy)))
			// Rising counter-clockwise, or falling clockwise, is the right half.
			if up != (dir > 0) {
				x = -x
			}
			if s.C.X+x > p.X {
				if up {
					w++
				} else {
					w--
				}
			}
		}
		t, y = next, ny
	}
	return w
}

// Shape is a set of rings in canonical order: pieces by their lowest, then
// leftmost point, each outer ring followed by its holes. It is immutable and
// its zero value is empty.
type Shape struct {
	Rings []Ring
	box   Box // of a shape that is not empty
}

// Empty reports whether s has no ring.
func (s Shape) Empty() bool { return len(s.Rings) == 0 }

// Box returns the bounds of s.
func (s Shape) Box() Box {
	if s.Empty() {
		return EmptyBox()
	}
	return s.box
}

// equal reports whether s and t are made of the same segments.
func (s Shape) equal(t Shape) bool {
	return slices.EqualFunc(s.Rings, t.Rings, func(a, b Ring) bool { return slices.Equal(a.Segs, b.Segs) })
}

// Pieces returns the rings of each piece, the outer one first.
func (s Shape) Pieces() [][]Ring {
	var ps [][]Ring
	for i := 0; i < len(s.Rings); {
		j := i + 1
		for j < len(s.Rings) && s.Rings[j].Hole() {
			j++
		}
		ps = append(ps, s.Rings[i:j])
		i = j
	}
	return ps
}

// NewShape nests rings that neither cross nor overlap, holes clockwise, and
// puts them in canonical order. Slivers are dropped.
func NewShape(rings []Ring) (Shape, error) {
	type group struct {
		outer Ring
		low   Vec
		holes []Ring
	}
	var outer []group
	var holes []Ring
	for _, r := range rings {
		switch {
		case len(r.Segs) == 0 || r.sliver():
		case r.Hole():
			holes = append(holes, canonical(r))
		default:
			outer = append(outer, group{outer: canonical(r), low: lowest(r)})
		}
	}
	if len(outer) == 0 {
		if slices.ContainsFunc(holes, func(h Ring) bool { return !h.speck() }) {
			return Shape{}, ErrTopology
		}
		return Shape{}, nil
	}
	slices.SortStableFunc(outer, func(a, b group) int {
		return cmp.Or(cmp.Compare(a.low.Y, b.low.Y), cmp.Compare(a.low.X, b.low.X), cmp.Compare(b.outer.area, a.outer.area))
	})
	var t *index
	if len(outer) > fan {
		boxes := make([]Box, len(outer))
		for i := range outer {
			boxes[i] = outer[i].outer.box
		}
		t = newIndex(boxes)
	}
	for _, h := range holes {
		best := -1
		try := func(i int) bool {
			o := outer[i].outer
			if o.box.grow(Near).holds(h.box) && (best < 0 || o.area < outer[best].outer.area) &&
				o.area > -h.area*(1-1e-9) && o.around(h) {
				best = i
			}
			return true
		}
		if t != nil {
			t.each(h.box, try)
		} else {
			for i := range outer {
				try(i)
			}
		}
		if best < 0 {
			if -h.area < 8*Sagitta*h.len {
				continue // thin, and squeezed out where chords became arcs again
			}
			return Shape{}, ErrTopology
		}
		outer[best].holes = append(outer[best].holes, h)
	}
	s := Shape{Rings: make([]Ring, 0, len(outer)+len(holes)), box: EmptyBox()}
	for _, g := range outer {
		lows := make([]Vec, len(g.holes))
		order := make([]int, len(g.holes))
		for i, h := range g.holes {
			lows[i], order[i] = lowest(h), i
		}
		slices.SortStableFunc(order, func(a, b int) int {
			return cmp.Or(cmp.Compare(lows[a].Y, lows[b].Y), cmp.Compare(lows[a].X, lows[b].X),
				cmp.Compare(g.holes[a].area, g.holes[b].area))
		})
		s.Rings = append(s.Rings, g.outer)
		for _, i := range order {
			s.Rings = append(s.Rings, g.holes[i])
		}
		s.box = s.box.join(g.outer.box)
	}
	return s, nil
}

// around reports whether h lies inside r, where the two do not cross but may
// touch: the clearest of several points of h decides.
func (r Ring) around(h Ring) bool {
	yes, no := 0, 0
	step := max(1, len(h.Segs)/5)
	for i := 0; i < len(h.Segs); i += step {
		for _, t := range [...]float64{0.5, 0.21} {
			p := h.Segs[i].At(t)
			if r.boundaryDist(p) < 1e-4 && yes+no < 40 {
				continue
			}
			if r.inside(p) {
				yes++
			} else {
				no++
			}
			if yes-no > 1 || no-yes > 1 {
				return yes > no
			}
		}
	}
	if yes == no {
		// Everything sampled lies on r: go by a point off the middle of h.
		return r.inside(interior(h))
	}
	return yes > no
}

func (r Ring) boundaryDist(p Vec) float64 {
	d := math.Inf(1)
	for _, s := range r.Segs {
		d = math.Min(d, s.Nearest(p).Dist(p))
	}
	return d
}

// lowest is the lowest, then leftmost point of r.
func lowest(r Ring) Vec {
	low := Vec{math.Inf(1), math.Inf(1)}
	for _, s := range r.Segs {
		p := s.A
		if s.IsArc() && s.covers(Vec{0, -1}, 0) {
			p = Vec{s.C.X, s.C.Y - s.R}
		}
		if s.A.Y < p.Y {
			p = s.A
		}
		if p.Y < low.Y || p.Y == low.Y && p.X < low.X {
			low = p
		}
	}
	return low
}

// canonical starts r at its lowest, then leftmost vertex.
func canonical(r Ring) Ring {
	k := 0
	for i, s := range r.Segs {
		if a := r.Segs[k].A; s.A.Y < a.Y || s.A.Y == a.Y && s.A.X < a.X {
			k = i
		}
	}
	if k > 0 {
		segs := make([]Seg, 0, len(r.Segs))
		r.Segs = append(append(segs, r.Segs[k:]...), r.Segs[:k]...)
	}
	return r
}

// Contains reports whether p lies in s or within eps of its boundary.
func (s Shape) Contains(p Vec, eps float64) bool {
	if s.Empty() || !(s.box.grow(eps).meets(Box{p, p})) {
		return false
	}
	if s.inside(p) {
		return true
	}
	for _, r := range s.Rings {
		if !r.box.grow(eps).meets(Box{p, p}) {
			continue
		}
		for _, g := range r.Segs {
			if g.Nearest(p).Dist(p) <= eps {
				return true
			}
		}
	}
	return false
}

func (s Shape) inside(p Vec) bool {
	w := 0
	for i := range s.Rings {
		w += s.Rings[i].winding(p)
	}
	return w > 0
}

// segs returns all segments of s with the ring each belongs to, and an index
// over them.
func (s Shape) indexed() (segs []Seg, ring []int, t *index) {
	n := 0
	for _, r := range s.Rings {
		n += len(r.Segs)
	}
	segs, ring = make([]Seg, 0, n), make([]int, 0, n)
	for i, r := range s.Rings {
		segs = append(segs, r.Segs...)
		for range r.Segs {
			ring = append(ring, i)
		}
	}
	return segs, ring, newIndex(boxesOf(segs))
}

func boxesOf(segs []Seg) []Box {
	boxes := make([]Box, len(segs))
	for i, s := range segs {
		boxes[i] = s.Box()
	}
	return boxes
}

// Map returns s with every segment put through f; flip tells that f mirrors,
// so that rings must be reversed to keep material on their left.
func (s Shape) Map(f func(Seg) Seg, flip bool) (Shape, error) {
	rings := make([]Ring, len(s.Rings))
	for i, r := range s.Rings {
		segs := make([]Seg, len(r.Segs))
		for k, g := range r.Segs {
			segs[k] = f(g)
		}
		for k := range segs { // rounding may part ends that were one
			segs[k].B = segs[(k+1)%len(segs)].A
		}
		rings[i] = NewRing(segs)
		if flip {
			rings[i] = rings[i].Reverse()
		}
	}
	return NewShape(rings)
}

// Area returns the area r encloses, negative for a hole.
func (r Ring) Area() float64 { return r.area }

// Len returns the length of r.
func (r Ring) Len() float64 { return r.len }
