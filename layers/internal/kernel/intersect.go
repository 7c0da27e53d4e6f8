package kernel

import "math"

// meet appends to dst the points where the whole lines or circles that carry a
// and b cross; a tangent that misses by less than slack counts as touching.
func meet(dst []Vec, a, b Seg, slack float64) []Vec {
	switch {
	case !a.IsArc() && !b.IsArc():
		da, db := a.B.Sub(a.A), b.B.Sub(b.A)
		den := da.Cross(db)
		if math.Abs(den) <= 1e-14*da.Len()*db.Len() {
			return dst
		}
		t := b.A.Sub(a.A).Cross(db) / den
		return append(dst, a.A.Add(da.Mul(t)))
	case !a.IsArc():
		return meetLine(dst, a, b, slack)
	case !b.IsArc():
		return meetLine(dst, b, a, slack)
	}
	v := b.C.Sub(a.C)
	d := v.Len()
	if d <= same {
		return dst
	}
	// Along the line of centres from a: x = (d² + ra² - rb²) / 2d, written to
	// lose no digits where the radii are large.
	x := (d + (a.R-b.R)*(a.R+b.R)/d) / 2
	h2 := (a.R - x) * (a.R + x)
	u := v.Mul(1 / d)
	if h2 <= 0 {
		if math.Abs(x) > a.R+slack {
			return dst
		}
		p := a.C.Add(u.Mul(math.Copysign(a.R, x)))
		if math.Abs(p.Dist(b.C)-b.R) > slack {
			return dst
		}
		return append(dst, p)
	}
	f, n := a.C.Add(u.Mul(x)), u.perp().Mul(math.Sqrt(h2))
	return append(dst, f.Add(n), f.Sub(n))
}

func meetLine(dst []Vec, l, c Seg, slack float64) []Vec {
	u := l.B.Sub(l.A).unit()
	if u == (Vec{}) {
		return dst
	}
	v := l.A.Sub(c.C)
	off := u.Cross(v) // signed distance of the line from the centre
	f := c.C.Add(u.perp().Mul(off))
	h2 := (c.R - off) * (c.R + off)
	if h2 <= 0 {
		if math.Abs(off) > c.R+slack {
			return dst
		}
		return append(dst, f)
	}
	n := u.Mul(math.Sqrt(h2))
	return append(dst, f.Add(n), f.Sub(n))
}

// within reports whether p, a point of the carrier of s, lies on s, give or
// take eps mm at its ends.
func (s Seg) within(p Vec, eps float64) bool {
	if s.IsArc() {
		return s.covers(p.Sub(s.C), eps/s.R)
	}
	d := s.B.Sub(s.A)
	l := d.Len()
	t := p.Sub(s.A).Dot(d)
	return t >= -eps*l && t <= (l+eps)*l
}

// Dist returns the smallest distance between two segments and the points that
// realise it, the first on a.
func Dist(a, b Seg) (d float64, p, q Vec) {
	d = math.Inf(1)
	try := func(x, y Vec) {
		if e := x.Dist(y); e < d {
			d, p, q = e, x, y
		}
	}
	var buf [2]Vec
	for _, x := range meet(buf[:0], a, b, 0) {
		if a.within(x, 0) && b.within(x, 0) {
			return 0, x, x
		}
	}
	try(a.A, b.Nearest(a.A))
	try(a.B, b.Nearest(a.B))
	try(a.Nearest(b.A), b.A)
	try(a.Nearest(b.B), b.B)
	switch {
	case a.IsArc() && b.IsArc():
		if v := b.C.Sub(a.C); v.Len() > same {
			u := v.unit()
			for _, i := range [2]float64{1, -1} {
				x := a.C.Add(u.Mul(i * a.R))
				if !a.within(x, 0) {
					continue
				}
				for _, j := range [2]float64{1, -1} {
					if y := b.C.Add(u.Mul(j * b.R)); b.within(y, 0) {
						try(x, y)
					}
				}
			}
		}
	case a.IsArc():
		if f := b.on(a.C); b.within(f, 0) && f != a.C {
			if x := a.on(f); a.within(x, 0) {
				try(x, f)
			}
		}
	case b.IsArc():
		if f := a.on(b.C); a.within(f, 0) && f != b.C {
			if x := b.on(f); b.within(x, 0) {
				try(f, x)
			}
		}
	}
	return d, p, q
}

// apart reports whether a and b are farther apart than d, cheaply where they
// are two lines.
func apart(a, b Seg, d float64) bool {
	if !a.IsArc() && !b.IsArc() {
		// All of b on one side of a, or the reverse, beyond d.
		if side(a, b, d) || side(b, a, d) {
			return true
		}
	}
	e, _, _ := Dist(a, b)
	return e > d
}

func side(a, b Seg, d float64) bool {
	u := a.B.Sub(a.A)
	l := u.Len() * d
	x, y := u.Cross(b.A.Sub(a.A)), u.Cross(b.B.Sub(a.A))
	return x > l && y > l || x < -l && y < -l
}
