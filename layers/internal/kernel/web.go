package kernel

import "math"

// facing is how far two borders may lean from facing each other squarely and
// still count as the two sides of one web: 15°. It lets a web taper by that
// much on either side and keeps rounded corners out.
const facing = 15 * math.Pi / 180

// slit is the width from which on a web or window is one, mm: borders nearer
// each other than that are joints that rounding left open.
const slit = 3 * Sagitta

// Narrowest returns the smallest distance from slit up to limit between two
// places of the boundary that face each other across material, or across air
// where open: the straight way between them leaves either border squarely (see
// facing), or leaves a corner that points at the other side, and runs through
// material (air). Segments that share a joint face each other only if an arc's
// far side is meant.
func Narrowest(s Shape, limit float64, open bool) (d float64, p, q Vec, ok bool) {
	d = limit
	if s.Empty() || !(limit > 0) {
		return d, p, q, false
	}
	segs, _, t := s.indexed()
	prev, next := neighbours(s)
	w := webber{segs: segs, prev: prev, next: next, open: open}
	try := func(i, j int) {
		w.candidates(i, j, func(x, y Vec) {
			l := x.Dist(y)
			if l > d || ok && l >= d || l < slit {
				return
			}
			if !w.faces(i, x, y) || !w.faces(j, y, x) {
				return
			}
			// At the end of a taper the way runs along the border: look a little
			// to either side of it.
			m, n := x.Add(y).Mul(0.5), y.Sub(x).unit().perp().Mul(1e-7)
			if s.inside(m.Add(n)) == open && s.inside(m.Sub(n)) == open {
				return
			}
			d, p, q, ok = l, x, y, true
		})
	}
	for i := range segs {
		if segs[i].IsArc() && math.Abs(segs[i].Sweep) > math.Pi-1e-9 {
			try(i, i)
		}
		t.each(segs[i].Box().grow(d), func(j int) bool {
			if j > i {
				try(i, j)
			}
			return true
		})
	}
	return d, p, q, ok
}

func neighbours(s Shape) (prev, next []int) {
	k := 0
	for _, r := range s.Rings {
		n := len(r.Segs)
		for i := range n {
			prev = append(prev, k+(i+n-1)%n)
			next = append(next, k+(i+1)%n)
		}
		k += n
	}
	return prev, next
}

type webber struct {
	segs       []Seg
	prev, next []int
	open       bool
}

// faces reports whether the way from x, on segment i, to y leaves squarely on
// the side asked for.
func (w *webber) faces(i int, x, y Vec) bool {
	s := w.segs[i]
	v := y.Sub(x).unit()
	in := func(s Seg) Vec {
		n := s.tangent(x).perp()
		if w.open {
			return n.Mul(-1)
		}
		return n
	}
	n := in(s)
	if v.Dot(n) >= math.Cos(facing) {
		return true
	}
	// At a corner that juts out towards y, v may lie anywhere between the two
	// normals.
	o := -1
	if x.Dist(s.A) <= same {
		o = w.prev[i]
	} else if x.Dist(s.B) <= same {
		o = w.next[i]
	}
	if o < 0 {
		return false
	}
	m := in(w.segs[o])
	a, b := s, w.segs[o]
	if o == w.prev[i] && x.Dist(s.A) <= same {
		a, b = b, a
	}
	turn := a.tangent(x).Cross(b.tangent(x))
	if juts := turn < -1e-9 != w.open && math.Abs(turn) > 1e-9; !juts {
		return false
	}
	c := math.Copysign(1, n.Cross(m))
	return c*n.Cross(v) >= -1e-9 && c*v.Cross(m) >= -1e-9
}

// candidates calls f with pairs of points of segments i and j between which
// the distance may be least.
func (w *webber) candidates(i, j int, f func(x, y Vec)) {
	a, b := w.segs[i], w.segs[j]
	joined := w.next[i] == j || w.prev[i] == j || i == j
	if !a.IsArc() && !b.IsArc() {
		if joined {
			return
		}
		// Two lines side by side: the middle of where they overlap, where
		// they are parallel; else where they come closest.
		u := a.B.Sub(a.A).unit()
		if math.Abs(u.Cross(b.B.Sub(b.A).unit())) < 1e-9 {
			t0, t1 := u.Dot(b.A.Sub(a.A)), u.Dot(b.B.Sub(a.A))
			lo, hi := math.Max(0, math.Min(t0, t1)), math.Min(a.Len(), math.Max(t0, t1))
			if lo <= hi {
				x := a.A.Add(u.Mul((lo + hi) / 2))
				f(x, b.Nearest(x))
				return
			}
		}
		_, x, y := Dist(a, b)
		f(x, y)
		return
	}
	if !joined {
		_, x, y := Dist(a, b)
		f(x, y)
		f(a.A, b.Nearest(a.A))
		f(a.B, b.Nearest(a.B))
		f(a.Nearest(b.A), b.A)
		f(a.Nearest(b.B), b.B)
	}
	circle := func(c Seg, dir Vec, g func(y Vec)) {
		for _, k := range [2]float64{1, -1} {
			if y := c.C.Add(dir.Mul(k * c.R)); c.within(y, 1e-9) {
				g(y)
			}
		}
	}
	switch {
	case a.IsArc() && b.IsArc():
		v := b.C.Sub(a.C)
		if v.Len() > 1e-6 {
			circle(a, v.unit(), func(x Vec) { circle(b, v.unit(), func(y Vec) { f(x, y) }) })
			return
		}
		// Concentric: any direction in which both have a point will do.
		for _, g := range [2]Seg{a, b} {
			for _, t := range [...]float64{0, 0.25, 0.5, 0.75, 1} {
				u := g.At(t).Sub(g.C).unit()
				circle(a, u, func(x Vec) { circle(b, u, func(y Vec) { f(x, y) }) })
			}
		}
	case a.IsArc():
		if y := b.on(a.C); b.within(y, 1e-9) {
			circle(a, b.B.Sub(b.A).unit().perp(), func(x Vec) { f(x, y) })
		}
	default:
		if x := a.on(b.C); a.within(x, 1e-9) {
			circle(b, a.B.Sub(a.A).unit().perp(), func(y Vec) { f(x, y) })
		}
	}
}
