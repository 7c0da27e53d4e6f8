package layers

import (
	"math"

	"github.com/platewright/platewright/layers/internal/kernel"
)

// Area returns the area in mm².
func (r Region) Area() float64 { return r.shape.Area() }

// Perimeter returns the length of all boundaries in mm.
func (r Region) Perimeter() float64 { return r.shape.Perimeter() }

// Centroid returns the centre of area; the origin for an empty region.
func (r Region) Centroid() Point { return Point(r.shape.Moments().Centre) }

// Inertia holds the second moments of area about the centroid, mm⁴:
// X = ∫y² dA, Y = ∫x² dA, XY = ∫xy dA.
type Inertia struct{ X, Y, XY float64 }

// Inertia returns the second moments of area about the centroid, from Green's
// theorem over the exact lines and arcs.
func (r Region) Inertia() Inertia {
	m := r.shape.Moments()
	return Inertia{X: m.XX, Y: m.YY, XY: m.XY}
}

// Bounds returns the smallest Box that holds r, arcs counted exactly.
func (r Region) Bounds() Box {
	b := r.shape.Box()
	return Box{Point(b.Min), Point(b.Max)}
}

// Contains reports whether p lies in r or within Grid of its boundary.
func (r Region) Contains(p Point) bool { return r.shape.Contains(kernel.Vec(p), Grid) }

// Span is a stretch of a line, from and to measured along it from its start.
type Span struct{ From, To float64 }

// Len returns the length of s.
func (s Span) Len() float64 { return s.To - s.From }

// Along returns the stretches of the line through p in direction a that lie
// in r, in order; distances count from p. A line that follows an edge lies in
// r there; a place where it only touches r is no stretch.
func (r Region) Along(p Point, a Degrees) []Span {
	if reasonable(p) != nil || math.IsNaN(float64(a)) || math.IsInf(float64(a), 0) {
		return nil
	}
	var out []Span
	for _, s := range r.shape.Along(kernel.Vec(p), kernel.Vec(a.Unit())) {
		out = append(out, Span(s))
	}
	return out
}

// Clearance returns the smallest distance between r and s and the two points
// that realise it, the first on r. Regions that overlap have clearance 0 and
// two equal points in both. It is +Inf where either is empty.
func Clearance(r, s Region) (mm float64, at [2]Point) {
	d, p, q := kernel.Clearance(r.shape, s.shape)
	return d, [2]Point{Point(p), Point(q)}
}

// Web returns the narrowest width of material in r up to limit: the smallest
// distance between two boundary points that face each other across material,
// neighbours around a convex corner not counted. Borders face each other where
// the way between them meets both within 15° of square, or meets a corner that
// juts into the material. Widths below 3 µm are what rounding leaves at joints
// and are passed over. The two ends of the web are returned; ok is false where
// every web is wider than limit.
func (r Region) Web(limit float64) (mm float64, at [2]Point, ok bool) {
	return r.narrowest(limit, false)
}

// Window is Web for the open side: the narrowest width of a hole or notch.
func (r Region) Window(limit float64) (mm float64, at [2]Point, ok bool) {
	return r.narrowest(limit, true)
}

func (r Region) narrowest(limit float64, open bool) (mm float64, at [2]Point, ok bool) {
	d, p, q, ok := kernel.Narrowest(r.shape, limit, open)
	if !ok {
		return 0, at, false
	}
	return d, [2]Point{Point(p), Point(q)}, true
}
