package kernel

import "math"

// Vec is a point or direction.
type Vec struct{ X, Y float64 }

// Add returns a + b.
func (a Vec) Add(b Vec) Vec { return Vec{a.X + b.X, a.Y + b.Y} }

// Sub returns a - b.
func (a Vec) Sub(b Vec) Vec { return Vec{a.X - b.X, a.Y - b.Y} }

// Mul returns a scaled by k.
func (a Vec) Mul(k float64) Vec { return Vec{a.X * k, a.Y * k} }

// Dot returns the scalar product.
func (a Vec) Dot(b Vec) float64 { return a.X*b.X + a.Y*b.Y }

// Cross returns the z component of a × b.
func (a Vec) Cross(b Vec) float64 { return a.X*b.Y - a.Y*b.X }

// Len returns the length of a.
func (a Vec) Len() float64 { return math.Sqrt(a.X*a.X + a.Y*a.Y) }

// Dist returns the distance between a and b.
func (a Vec) Dist(b Vec) float64 { return a.Sub(b).Len() }

// perp is a turned a quarter turn counter-clockwise.
func (a Vec) perp() Vec { return Vec{-a.Y, a.X} }

// unit is a scaled to length 1, or zero where a is.
func (a Vec) unit() Vec {
	l := a.Len()
	if l == 0 {
		return Vec{}
	}
	return Vec{a.X / l, a.Y / l}
}

func (a Vec) angle() float64 { return math.Atan2(a.Y, a.X) }

// Box is an axis-parallel rectangle, borders included.
type Box struct{ Min, Max Vec }

// EmptyBox holds nothing.
func EmptyBox() Box {
	inf := math.Inf(1)
	return Box{Vec{inf, inf}, Vec{-inf, -inf}}
}

// Empty reports whether b holds no point.
func (b Box) Empty() bool { return b.Min.X > b.Max.X }

func (b Box) add(p Vec) Box {
	return Box{
		Vec{math.Min(b.Min.X, p.X), math.Min(b.Min.Y, p.Y)},
		Vec{math.Max(b.Max.X, p.X), math.Max(b.Max.Y, p.Y)},
	}
}

func (b Box) join(c Box) Box { return b.add(c.Min).add(c.Max) }

func (b Box) grow(d float64) Box {
	return Box{Vec{b.Min.X - d, b.Min.Y - d}, Vec{b.Max.X + d, b.Max.Y + d}}
}

func (b Box) meets(c Box) bool {
	return b.Min.X <= c.Max.X && c.Min.X <= b.Max.X && b.Min.Y <= c.Max.Y && c.Min.Y <= b.Max.Y
}

func (b Box) holds(c Box) bool {
	return b.Min.X <= c.Min.X && c.Max.X <= b.Max.X && b.Min.Y <= c.Min.Y && c.Max.Y <= b.Max.Y
}

// dist is the distance between two boxes, 0 where they meet.
func (b Box) dist(c Box) float64 {
	dx := math.Max(0, math.Max(b.Min.X-c.Max.X, c.Min.X-b.Max.X))
	dy := math.Max(0, math.Max(b.Min.Y-c.Max.Y, c.Min.Y-b.Max.Y))
	return math.Sqrt(dx*dx + dy*dy)
}

// Seg is a directed line from A to B, or an arc about C where R > 0. Sweep is
// the angle the arc turns through, positive counter-clockwise, |Sweep| ≤ 2π.
type Seg struct {
	A, B  Vec
	C     Vec
	R     float64
	Sweep float64
}

// Line is the straight segment from a to b.
func Line(a, b Vec) Seg { return Seg{A: a, B: b} }

// Arc is the arc about c from angle t0 through sweep.
func Arc(c Vec, r, t0, sweep float64) Seg {
	return Seg{A: polar(c, r, t0), B: polar(c, r, t0+sweep), C: c, R: r, Sweep: sweep}
}

// ArcTo is the arc about c from a to b, both at distance r of it; it turns
// counter-clockwise where ccw and through less than a full turn.
func ArcTo(a, b, c Vec, r float64, ccw bool) Seg {
	s := Seg{A: a, B: b, C: c, R: r}
	s.Sweep = b.Sub(c).angle() - a.Sub(c).angle()
	if ccw && s.Sweep <= 0 {
		s.Sweep += 2 * math.Pi
	} else if !ccw && s.Sweep >= 0 {
		s.Sweep -= 2 * math.Pi
	}
	return s
}

func polar(c Vec, r, t float64) Vec {
	sin, cos := math.Sincos(t)
	return Vec{c.X + r*cos, c.Y + r*sin}
}

// IsArc reports whether s is an arc.
func (s Seg) IsArc() bool { return s.R > 0 }

// ccw reports whether an arc turns counter-clockwise.
func (s Seg) ccw() bool { return s.Sweep > 0 }

// Len returns the length of s.
func (s Seg) Len() float64 {
	if s.IsArc() {
		return s.R * math.Abs(s.Sweep)
	}
	return s.A.Dist(s.B)
}

// At returns the point a fraction t along s.
func (s Seg) At(t float64) Vec {
	switch {
	case t <= 0:
		return s.A
	case t >= 1:
		return s.B
	case s.IsArc():
		return polar(s.C, s.R, s.A.Sub(s.C).angle()+t*s.Sweep)
	}
	return Vec{s.A.X + t*(s.B.X-s.A.X), s.A.Y + t*(s.B.Y-s.A.Y)}
}

// tangent is the unit direction of travel at p, a point of s.
func (s Seg) tangent(p Vec) Vec {
	if !s.IsArc() {
		return s.B.Sub(s.A).unit()
	}
	t := p.Sub(s.C).perp().unit()
	if s.Sweep < 0 {
		return t.Mul(-1)
	}
	return t
}

// Reverse returns s travelled the other way.
func (s Seg) Reverse() Seg {
	s.A, s.B, s.Sweep = s.B, s.A, -s.Sweep
	return s
}

// covers returns how far along an arc the direction v from its centre lies, as
// an angle in the sense of travel, and whether that is within the arc, give or
// take eps radians.
func (s Seg) covers(v Vec, eps float64) bool {
	if math.Abs(s.Sweep) >= 2*math.Pi-eps {
		return true
	}
	a := s.A.Sub(s.C)
	t := math.Atan2(a.Cross(v), a.Dot(v)) // from A, counter-clockwise
	if s.Sweep < 0 {
		t = -t
	}
	if t < 0 && t < -eps {
		t += 2 * math.Pi
	}
	return t <= math.Abs(s.Sweep)+eps
}

// Box returns the exact bounds of s.
func (s Seg) Box() Box {
	b := Box{s.A, s.A}.add(s.B)
	if !s.IsArc() {
		return b
	}
	if v := (Vec{1, 0}); s.covers(v, 0) {
		b = b.add(Vec{s.C.X + s.R, s.C.Y})
	}
	if v := (Vec{0, 1}); s.covers(v, 0) {
		b = b.add(Vec{s.C.X, s.C.Y + s.R})
	}
	if v := (Vec{-1, 0}); s.covers(v, 0) {
		b = b.add(Vec{s.C.X - s.R, s.C.Y})
	}
	if v := (Vec{0, -1}); s.covers(v, 0) {
		b = b.add(Vec{s.C.X, s.C.Y - s.R})
	}
	return b
}

// on projects p onto the line or circle that carries s.
func (s Seg) on(p Vec) Vec {
	if s.IsArc() {
		v := p.Sub(s.C)
		l := v.Len()
		if l == 0 {
			return s.A
		}
		return s.C.Add(v.Mul(s.R / l))
	}
	d := s.B.Sub(s.A)
	l2 := d.Dot(d)
	if l2 == 0 {
		return s.A
	}
	return s.A.Add(d.Mul(p.Sub(s.A).Dot(d) / l2))
}

// Nearest returns the point of s closest to p.
func (s Seg) Nearest(p Vec) Vec {
	if s.IsArc() {
		if v := p.Sub(s.C); v != (Vec{}) && s.covers(v, 0) {
			return s.on(p)
		}
		if p.Dist(s.A) <= p.Dist(s.B) {
			return s.A
		}
		return s.B
	}
	d := s.B.Sub(s.A)
	l2 := d.Dot(d)
	if l2 == 0 {
		return s.A
	}
	t := p.Sub(s.A).Dot(d) / l2
	switch {
	case t <= 0:
		return s.A
	case t >= 1:
		return s.B
	}
	return s.A.Add(d.Mul(t))
}
