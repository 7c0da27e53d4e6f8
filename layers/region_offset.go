package layers

import (
	"fmt"
	"math"

	"github.com/platewright/platewright/layers/internal/kernel"
)

// Corner tells what an outward offset does at a convex corner.
type Corner int

const (
	Mitre Corner = iota // pointed, cut off beyond 5 times the distance
	Round               // an arc about the corner
)

// Offset moves the boundary outward by d mm, inward where d is negative. An
// inward offset turns concave corners as an outward one does convex ones. Arcs
// keep their centres; those that would vanish do.
func (r Region) Offset(d float64, c Corner) Region {
	if r.err != nil {
		return r
	}
	if !(math.Abs(d) <= kernel.MaxCoord) {
		return Invalid(fmt.Errorf("offset by %g mm", d))
	}
	return made(kernel.Offset(r.shape, d, c == Round))
}

// Inset is Offset(-d, Mitre).
func (r Region) Inset(d float64) Region { return r.Offset(-d, Mitre) }
