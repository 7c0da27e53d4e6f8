package layers

import "math"

// Point is a place or a direction in a plate's own plane: x right, y up, mm.
type Point struct{ X, Y float64 }

// Degrees is an angle, counter-clockwise from x. A full turn is 360.
type Degrees float64

// Radians converts a to radians.
func (a Degrees) Radians() float64 { return float64(a) * math.Pi / 180 }

// Unit returns the unit vector that points along a. Quarter turns are exact.
func (a Degrees) Unit() Point {
	switch math.Mod(math.Mod(float64(a), 360)+360, 360) {
	case 0:
		return Point{1, 0}
	case 90:
		return Point{0, 1}
	case 180:
		return Point{-1, 0}
	case 270:
		return Point{0, -1}
	}
	sin, cos := math.Sincos(a.Radians())
	return Point{cos, sin}
}

// Add returns p + q.
func (p Point) Add(q Point) Point { return Point{p.X + q.X, p.Y + q.Y} }

// Sub returns p - q.
func (p Point) Sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// Mul returns p scaled by k.
func (p Point) Mul(k float64) Point { return Point{p.X * k, p.Y * k} }

// Dot returns the scalar product of p and q.
func (p Point) Dot(q Point) float64 { return p.X*q.X + p.Y*q.Y }

// Cross returns the z component of p × q: positive where q lies
// counter-clockwise of p.
func (p Point) Cross(q Point) float64 { return p.X*q.Y - p.Y*q.X }

// Len returns the length of p.
func (p Point) Len() float64 { return math.Hypot(p.X, p.Y) }

// Perp returns p turned a quarter turn counter-clockwise.
func (p Point) Perp() Point { return Point{-p.Y, p.X} }

// Turned returns p turned about the origin by a.
func (p Point) Turned(a Degrees) Point {
	u := a.Unit()
	return Point{p.X*u.X - p.Y*u.Y, p.X*u.Y + p.Y*u.X}
}

// Box is an axis-parallel rectangle, both corners included. The zero Box is
// the point at the origin; an empty region has an empty Box (see [Box.Empty]).
type Box struct{ Min, Max Point }

// Empty reports whether b holds no point at all.
func (b Box) Empty() bool { return b.Min.X > b.Max.X || b.Min.Y > b.Max.Y }

// Width returns the extent of b along x, 0 for an empty box.
func (b Box) Width() float64 { return math.Max(0, b.Max.X-b.Min.X) }

// Height returns the extent of b along y, 0 for an empty box.
func (b Box) Height() float64 { return math.Max(0, b.Max.Y-b.Min.Y) }

// Centre returns the middle of b.
func (b Box) Centre() Point { return b.Min.Add(b.Max).Mul(0.5) }

// Meets reports whether b and c share a point when each is grown by d on
// every side.
func (b Box) Meets(c Box, d float64) bool {
	return !b.Empty() && !c.Empty() &&
		b.Min.X-c.Max.X <= 2*d && c.Min.X-b.Max.X <= 2*d &&
		b.Min.Y-c.Max.Y <= 2*d && c.Min.Y-b.Max.Y <= 2*d
}
