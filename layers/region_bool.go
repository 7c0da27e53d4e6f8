package layers

import (
	"math"

	"github.com/platewright/platewright/layers/internal/kernel"
)

// Union returns the points in r or in any of s.
func (r Region) Union(s ...Region) Region {
	shapes, err := shapesOf(r, s)
	if err != nil {
		return Invalid(err)
	}
	return made(kernel.CombineAll(shapes))
}

// Subtract returns the points of r in none of s. Many small regions are best
// given at once.
func (r Region) Subtract(s ...Region) Region {
	shapes, err := shapesOf(r, s)
	if err != nil {
		return Invalid(err)
	}
	cut, err := kernel.CombineAll(shapes[1:])
	if err != nil {
		return Invalid(err)
	}
	return made(kernel.Combine(kernel.Difference, r.shape, cut))
}

// Intersect returns the points in both r and s.
func (r Region) Intersect(s Region) Region { return r.combine(kernel.Intersection, s) }

// Xor returns the points in exactly one of r and s.
func (r Region) Xor(s Region) Region { return r.combine(kernel.Xor, s) }

func (r Region) combine(op kernel.Op, s Region) Region {
	if _, err := shapesOf(r, []Region{s}); err != nil {
		return Invalid(err)
	}
	return made(kernel.Combine(op, r.shape, s.shape))
}

// shapesOf returns the shapes of r and s, or the first error among them.
func shapesOf(r Region, s []Region) ([]kernel.Shape, error) {
	if r.err != nil {
		return nil, r.err
	}
	shapes := append(make([]kernel.Shape, 0, len(s)+1), r.shape)
	for _, x := range s {
		if x.err != nil {
			return nil, x.err
		}
		shapes = append(shapes, x.shape)
	}
	return shapes, nil
}

// Covers reports whether s lies in r, give or take tol mm at the boundary: no
// point of s is farther than tol from r. What a boolean leaves out, a few
// micrometres at most, is not noticed. An invalid Region neither covers nor is
// covered.
func (r Region) Covers(s Region, tol float64) bool {
	if r.err != nil || s.err != nil {
		return false
	}
	over := s.Subtract(r)
	if over.Empty() || over.err != nil || !(tol > 0) || math.IsInf(tol, 1) {
		return over.err == nil && (over.Empty() || math.IsInf(tol, 1) && !r.Empty())
	}
	left := over.Subtract(r.Offset(tol, Round))
	return left.err == nil && left.Empty()
}

// Overlap returns the area that r and s share, mm², and a place inside the
// largest shared piece. It is 0 where they only touch, within a few
// micrometres.
func (r Region) Overlap(s Region) (mm2 float64, at Point) {
	shared := r.Intersect(s)
	most := 0.0
	for _, p := range shared.Pieces() {
		if a := p.Area(); a > most {
			most, at = a, Point(p.shape.Inside())
		}
	}
	return shared.Area(), at
}
