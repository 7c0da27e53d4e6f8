package layers

import (
	"errors"
	"iter"

	"github.com/tdewolff/canvas"

	"github.com/platewright/platewright/layers/internal/kernel"
)

// Region is a filled planar shape: any number of separate pieces, each with
// any number of holes, bounded by straight lines and circular arcs. It is an
// immutable value; the zero Region is empty and ready to use.
//
// Circles stay circles: booleans, offsets and moves keep an arc's exact centre
// and radius. Bézier curves and ellipses are accepted wherever a Region is
// made, and become arcs that stay within [CurveTolerance] of them.
//
// A Region that could not be computed is empty and carries its first cause,
// which every Region made from it inherits; ask Err. Build refuses plates with
// such outlines, so a chain of operations needs no error check between steps.
type Region struct {
	shape kernel.Shape
	err   error
}

const (
	// CurveTolerance is the greatest distance between a Bézier curve or an
	// ellipse and the arcs that stand for it, mm.
	CurveTolerance = 0.001
	// Grid is the grid to which coordinates snap once, where a Region is
	// made, mm.
	Grid = 1e-7
)

// Segment is one piece of a boundary: a straight line, or a circular arc where
// Radius is not 0. The region lies to its left.
type Segment struct {
	From, To Point
	Centre   Point   // of the arc
	Radius   float64 // of the arc; 0 for a line
	Sweep    Degrees // of the arc: positive counter-clockwise, never beyond ±360
}

// Contour is one closed boundary: Hole tells whether it bounds a hole (and
// runs clockwise) or a piece (counter-clockwise).
type Contour struct {
	Hole     bool
	Segments []Segment
}

// Corner tells what an outward offset does at a convex corner.
type Corner int

const (
	Mitre Corner = iota // pointed, cut off beyond 5 times the distance
	Round               // an arc about the corner
)

// Invalid returns an empty Region that carries err. It is how a maker of
// regions in another package reports failure.
func Invalid(err error) Region {
	if err == nil {
		err = errors.New("invalid region")
	}
	return Region{err: err}
}

// Err returns why r could not be computed, or nil.
func (r Region) Err() error { return r.err }

// Empty reports whether r has no area.
func (r Region) Empty() bool { panic("todo") }

// Contours yields the boundary: pieces first to last by their lowest, then
// leftmost point, each piece's outer boundary followed by its holes.
func (r Region) Contours() iter.Seq[Contour] { panic("todo") }

// Pieces returns the separate connected pieces of r, in the order of Contours.
func (r Region) Pieces() []Region { panic("todo") }

// Filled returns r with all its holes filled.
func (r Region) Filled() Region { panic("todo") }

// Union returns the points in r or in any of s.
func (r Region) Union(s ...Region) Region { panic("todo") }

// Subtract returns the points of r in none of s.
func (r Region) Subtract(s ...Region) Region { panic("todo") }

// Intersect returns the points in both r and s.
func (r Region) Intersect(s Region) Region { panic("todo") }

// Xor returns the points in exactly one of r and s.
func (r Region) Xor(s Region) Region { panic("todo") }

// Offset moves the boundary outward by d mm, inward where d is negative. An
// inward offset turns concave corners as an outward one does convex ones.
func (r Region) Offset(d float64, c Corner) Region { panic("todo") }

// Inset is Offset(-d, Mitre).
func (r Region) Inset(d float64) Region { return r.Offset(-d, Mitre) }

// Move shifts r by d.
func (r Region) Move(d Point) Region { panic("todo") }

// Rotate turns r about the origin.
func (r Region) Rotate(a Degrees) Region { panic("todo") }

// Mirror reflects r across the line through the origin along a: Mirror(90)
// swaps left and right.
func (r Region) Mirror(a Degrees) Region { panic("todo") }

// Scale multiplies x by sx and y by sy, either of which may be negative. Where
// they differ in size, arcs become arcs within CurveTolerance of the ellipse.
func (r Region) Scale(sx, sy float64) Region { panic("todo") }

// Area returns the area in mm².
func (r Region) Area() float64 { panic("todo") }

// Perimeter returns the length of all boundaries in mm.
func (r Region) Perimeter() float64 { panic("todo") }

// Centroid returns the centre of area; the origin for an empty region.
func (r Region) Centroid() Point { panic("todo") }

// Inertia holds the second moments of area about the centroid, mm⁴:
// X = ∫y² dA, Y = ∫x² dA, XY = ∫xy dA.
type Inertia struct{ X, Y, XY float64 }

// Inertia returns the second moments of area about the centroid, from Green's
// theorem over the exact lines and arcs.
func (r Region) Inertia() Inertia { panic("todo") }

// Bounds returns the smallest Box that holds r, arcs counted exactly.
func (r Region) Bounds() Box { panic("todo") }

// Contains reports whether p lies in r or within Grid of its boundary.
func (r Region) Contains(p Point) bool { panic("todo") }

// Covers reports whether s lies in r, give or take tol mm at the boundary.
func (r Region) Covers(s Region, tol float64) bool { panic("todo") }

// Overlap returns the area that r and s share, mm², and a place inside the
// largest shared piece. It is 0 where they only touch.
func (r Region) Overlap(s Region) (mm2 float64, at Point) { panic("todo") }

// Span is a stretch of a line, from and to measured along it from its start.
type Span struct{ From, To float64 }

// Len returns the length of s.
func (s Span) Len() float64 { return s.To - s.From }

// Along returns the stretches of the line through p in direction a that lie
// in r, in order; distances count from p.
func (r Region) Along(p Point, a Degrees) []Span { panic("todo") }

// Clearance returns the smallest distance between r and s and the two points
// that realise it, the first on r. Regions that overlap have clearance 0 and
// two equal points in both. It is +Inf where either is empty.
func Clearance(r, s Region) (mm float64, at [2]Point) { panic("todo") }

// Web returns the narrowest width of material in r up to limit: the smallest
// distance between two boundary points that face each other across material,
// neighbours around a convex corner not counted. ok is false where every web
// is wider than limit. The web's middle and its two ends are returned.
func (r Region) Web(limit float64) (mm float64, at [2]Point, ok bool) { panic("todo") }

// Window is Web for the open side: the narrowest width of a hole or notch.
func (r Region) Window(limit float64) (mm float64, at [2]Point, ok bool) { panic("todo") }

// Path returns r as a canvas path: arcs stay arcs, holes run clockwise.
func (r Region) Path() *canvas.Path { panic("todo") }

// PathRegion returns the region that p fills by the non-zero rule; open
// subpaths are an error (see Err), curves become arcs within CurveTolerance.
func PathRegion(p *canvas.Path) Region { panic("todo") }
