package kernel

import "math"

// Curve is a parametric curve on [0, 1]: place and derivative.
type Curve func(t float64) (p, d Vec)

// Cubic is the Bézier curve of four points.
func Cubic(a, b, c, e Vec) Curve {
	return func(t float64) (Vec, Vec) {
		u := 1 - t
		p := a.Mul(u * u * u).Add(b.Mul(3 * u * u * t)).Add(c.Mul(3 * u * t * t)).Add(e.Mul(t * t * t))
		d := b.Sub(a).Mul(3 * u * u).Add(c.Sub(b).Mul(6 * u * t)).Add(e.Sub(c).Mul(3 * t * t))
		return p, d
	}
}

// Quad is the Bézier curve of three points.
func Quad(a, b, c Vec) Curve {
	return func(t float64) (Vec, Vec) {
		u := 1 - t
		p := a.Mul(u * u).Add(b.Mul(2 * u * t)).Add(c.Mul(t * t))
		return p, b.Sub(a).Mul(2 * u).Add(c.Sub(b).Mul(2 * t))
	}
}

// EllipseArc is the ellipse about c with semi-axes along the vectors u and v,
// from parameter t0 through sweep.
func EllipseArc(c, u, v Vec, t0, sweep float64) Curve {
	return func(t float64) (Vec, Vec) {
		sin, cos := math.Sincos(t0 + t*sweep)
		return c.Add(u.Mul(cos)).Add(v.Mul(sin)), v.Mul(cos * sweep).Sub(u.Mul(sin * sweep))
	}
}

// Fit appends lines and arcs that follow f from a to b, its ends as they are
// to be, within tol, tangent to each other where f is smooth. Pairs of arcs
// (biarcs with legs of equal length: Bolton, Computer-Aided Design 7(2), 1975)
// are halved until they fit; parts is how many to start from.
func Fit(dst []Seg, f Curve, a, b Vec, parts int, tol float64) []Seg {
	// Ends of parts that are ends of f keep the given coordinates.
	at := func(t float64) Vec {
		switch t {
		case 0:
			return a
		case 1:
			return b
		}
		p, _ := f(t)
		return p
	}
	dir := func(t, toward float64) Vec {
		p, d := f(t)
		if d.Len() > 1e-9 {
			return d.unit()
		}
		// A control point that coincides with an end: look a little ahead.
		for _, h := range [...]float64{1e-4, 1e-3, 1e-2} {
			q, _ := f(t + h*(toward-t))
			if v := q.Sub(p); v.Len() > 1e-9 {
				if toward < t {
					v = v.Mul(-1)
				}
				return v.unit()
			}
		}
		return Vec{}
	}
	var fit func(t0, t1 float64, depth int)
	fit = func(t0, t1 float64, depth int) {
		p, q := at(t0), at(t1)
		if segs, ok := biarc(p, dir(t0, t1), q, dir(t1, t0)); ok {
			worst := 0.0
			const n = 8
			for i := 1; i < n; i++ {
				x, _ := f(t0 + (t1-t0)*float64(i)/n)
				e := math.Inf(1)
				for _, s := range segs {
					e = math.Min(e, s.Nearest(x).Dist(x))
				}
				worst = math.Max(worst, e)
			}
			if worst <= 0.7*tol {
				dst = append(dst, segs...)
				return
			}
		}
		if depth == 0 || p.Dist(q) < 1e-9 {
			if p != q {
				dst = append(dst, Line(p, q))
			}
			return
		}
		m := (t0 + t1) / 2
		fit(t0, m, depth-1)
		fit(m, t1, depth-1)
	}
	for i := range parts {
		fit(float64(i)/float64(parts), float64(i+1)/float64(parts), 12)
	}
	return dst
}

// biarc returns one or two arcs or lines from p in direction u to q arriving
// in direction w.
func biarc(p, u, q, w Vec) ([]Seg, bool) {
	v := q.Sub(p)
	l := v.Len()
	if l < 1e-9 || u == (Vec{}) || w == (Vec{}) || u.Dot(v) <= 0.2*l || w.Dot(v) <= 0.2*l {
		return nil, false
	}
	if math.Abs(u.Cross(v)) < 1e-8 && math.Abs(w.Cross(v)) < 1e-8 {
		return []Seg{Line(p, q)}, true
	}
	t := u.Add(w)
	den := 2 * (1 - u.Dot(w))
	var leg float64
	if den < 1e-12 {
		leg = l * l / (2 * v.Dot(t))
	} else {
		vt := v.Dot(t)
		leg = l * l / (vt + math.Sqrt(vt*vt+den*l*l)) // (−vt + √…)/den, without its cancellation
	}
	m := p.Add(q).Add(u.Sub(w).Mul(leg)).Mul(0.5)
	one := arcFrom(p, u, m)
	two := arcFrom(q, w.Mul(-1), m).Reverse()
	return []Seg{one, two}, true
}

// arcFrom is the arc, or line where it is as good as straight, that leaves p
// in direction u and arrives at q.
func arcFrom(p, u, q Vec) Seg {
	v := q.Sub(p)
	n := u.perp()
	h := n.Dot(v)
	if math.Abs(h) < 1e-8 || v.Dot(v)/math.Abs(2*h) > MaxCoord {
		return Line(p, q)
	}
	k := v.Dot(v) / (2 * h)
	return Seg{A: p, B: q, C: p.Add(n.Mul(k)), R: math.Abs(k), Sweep: 2 * math.Atan2(u.Cross(v), u.Dot(v))}
}
