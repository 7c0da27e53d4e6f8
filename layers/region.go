package layers

import (
	"errors"
	"fmt"
	"iter"
	"math"

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
// Booleans and offsets that leave less than a few micrometres, such as the
// sliver between two borders meant to be one, leave nothing.
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
// Radius is not 0. The region lies to its left. A full circle is two arcs.
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
func (r Region) Empty() bool { return r.shape.Empty() }

// Contours yields the boundary: pieces first to last by their lowest, then
// leftmost point, each piece's outer boundary followed by its holes.
func (r Region) Contours() iter.Seq[Contour] {
	return func(yield func(Contour) bool) {
		for _, g := range r.shape.Rings {
			c := Contour{Hole: g.Hole(), Segments: make([]Segment, len(g.Segs))}
			for i, s := range g.Segs {
				c.Segments[i] = Segment{From: Point(s.A), To: Point(s.B)}
				if s.IsArc() {
					c.Segments[i].Centre, c.Segments[i].Radius = Point(s.C), s.R
					c.Segments[i].Sweep = Degrees(s.Sweep * 180 / math.Pi)
				}
			}
			if !yield(c) {
				return
			}
		}
	}
}

// Pieces returns the separate connected pieces of r, in the order of Contours.
func (r Region) Pieces() []Region {
	var ps []Region
	for _, rings := range r.shape.Pieces() {
		ps = append(ps, made(kernel.NewShape(rings)))
	}
	return ps
}

// Filled returns r with all its holes filled.
func (r Region) Filled() Region {
	if r.err != nil {
		return r
	}
	var outer []kernel.Shape
	for _, rings := range r.shape.Pieces() {
		s, err := kernel.NewShape(rings[:1])
		if err != nil {
			return Invalid(err)
		}
		outer = append(outer, s)
	}
	return made(kernel.CombineAll(outer))
}

// Move shifts r by d.
func (r Region) Move(d Point) Region {
	if r.err != nil || d == (Point{}) {
		return r
	}
	if err := reasonable(d); err != nil {
		return Invalid(fmt.Errorf("move: %w", err))
	}
	v := kernel.Vec(d)
	return r.mapped(false, func(s kernel.Seg) kernel.Seg {
		s.A, s.B, s.C = s.A.Add(v), s.B.Add(v), s.C.Add(v)
		return s
	})
}

// Rotate turns r about the origin.
func (r Region) Rotate(a Degrees) Region {
	if r.err != nil {
		return r
	}
	if math.IsNaN(float64(a)) || math.IsInf(float64(a), 0) {
		return Invalid(fmt.Errorf("rotate: angle %g", float64(a)))
	}
	u := a.Unit()
	if u == (Point{1, 0}) {
		return r
	}
	turn := func(v kernel.Vec) kernel.Vec { return kernel.Vec{X: v.X*u.X - v.Y*u.Y, Y: v.X*u.Y + v.Y*u.X} }
	return r.mapped(false, func(s kernel.Seg) kernel.Seg {
		s.A, s.B, s.C = turn(s.A), turn(s.B), turn(s.C)
		return s
	})
}

// Mirror reflects r across the line through the origin along a: Mirror(90)
// swaps left and right.
func (r Region) Mirror(a Degrees) Region {
	if r.err != nil {
		return r
	}
	if math.IsNaN(float64(a)) || math.IsInf(float64(a), 0) {
		return Invalid(fmt.Errorf("mirror: angle %g", float64(a)))
	}
	u := (2 * a).Unit()
	flip := func(v kernel.Vec) kernel.Vec { return kernel.Vec{X: v.X*u.X + v.Y*u.Y, Y: v.X*u.Y - v.Y*u.X} }
	return r.mapped(true, func(s kernel.Seg) kernel.Seg {
		s.A, s.B, s.C, s.Sweep = flip(s.A), flip(s.B), flip(s.C), -s.Sweep
		return s
	})
}

// Scale multiplies x by sx and y by sy, either of which may be negative. Where
// they differ in size, arcs become arcs within CurveTolerance of the ellipse.
// A factor of 0 is an error.
func (r Region) Scale(sx, sy float64) Region {
	if r.err != nil {
		return r
	}
	if !(math.Abs(sx) <= kernel.MaxCoord) || !(math.Abs(sy) <= kernel.MaxCoord) || sx == 0 || sy == 0 {
		return Invalid(fmt.Errorf("scale by %g, %g", sx, sy))
	}
	by := func(v kernel.Vec) kernel.Vec { return kernel.Vec{X: v.X * sx, Y: v.Y * sy} }
	flip := sx < 0 != (sy < 0)
	if math.Abs(sx) == math.Abs(sy) {
		return r.mapped(flip, func(s kernel.Seg) kernel.Seg {
			s.A, s.B, s.C, s.R = by(s.A), by(s.B), by(s.C), s.R*math.Abs(sx)
			if flip {
				s.Sweep = -s.Sweep
			}
			return s
		})
	}
	var chains [][]kernel.Seg
	for _, g := range r.shape.Rings {
		var c []kernel.Seg
		for _, s := range g.Segs {
			if !s.IsArc() {
				c = append(c, kernel.Line(by(s.A), by(s.B)))
				continue
			}
			a := kernel.Vec(s.A.Sub(s.C))
			f := kernel.EllipseArc(by(s.C), kernel.Vec{X: s.R * sx}, kernel.Vec{Y: s.R * sy}, math.Atan2(a.Y, a.X), s.Sweep)
			parts := 1 + int(math.Abs(s.Sweep)/(math.Pi/2)+0.01)
			c = kernel.Fit(c, f, by(s.A), by(s.B), parts, CurveTolerance)
		}
		chains = append(chains, c)
	}
	return resolved(chains)
}

// mapped returns r with each segment put through f; flip tells that f mirrors.
func (r Region) mapped(flip bool, f func(kernel.Seg) kernel.Seg) Region {
	s, err := r.shape.Map(f, flip)
	if err == nil {
		if b := s.Box(); !b.Empty() {
			err = reasonable(Point(b.Min), Point(b.Max))
		}
	}
	return made(s, err)
}

// made is a Region of what the kernel returned.
func made(s kernel.Shape, err error) Region {
	if err != nil {
		return Invalid(err)
	}
	return Region{shape: s}
}

// resolved is the region that closed chains fill by the non-zero rule.
func resolved(chains [][]kernel.Seg) Region {
	s, _, err := kernel.Resolve(chains)
	if err == nil {
		if b := s.Box(); !b.Empty() {
			err = reasonable(Point(b.Min), Point(b.Max))
		}
	}
	return made(s, err)
}

// reasonable returns an error where a coordinate is not a number or out of the
// range the kernel is made for.
func reasonable(ps ...Point) error {
	for _, p := range ps {
		if !(math.Abs(p.X) <= kernel.MaxCoord) || !(math.Abs(p.Y) <= kernel.MaxCoord) {
			return fmt.Errorf("coordinates %g, %g: not within ±%g mm", p.X, p.Y, float64(kernel.MaxCoord))
		}
	}
	return nil
}

// snap moves v to the Grid.
func snap(v float64) float64 { return math.Round(v*(1/Grid)) / (1 / Grid) }

func snapped(p Point) kernel.Vec { return kernel.Vec{X: snap(p.X) + 0, Y: snap(p.Y) + 0} }
