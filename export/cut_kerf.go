package export

import (
	"fmt"
	"math"

	"github.com/platewright/platewright/layers"
)

// Compensate returns the path of the middle of the beam that leaves the
// finished outline: the outline grown outward by half the full kerf, so that
// outer contours move out and holes close in. Arcs keep their centre; their
// radius changes by exactly half the kerf.
//
// Where the kerf differs between x and y the beam is taken as an ellipse: a
// boundary with unit normal n moves by half of √((kx·nx)² + (ky·ny)²), and arcs
// become arcs within [layers.CurveTolerance] of the exact curve, or two of it
// where both scalings need one. A difference that small is ignored.
//
// Outside corners are mitred. A round beam leaves the same sharp corner
// whether its path turns there in a point or in an arc of half the kerf, and the
// point is the better path: it needs no tenth-of-a-millimetre arc, on which
// machines stutter and burn, and the stop in the corner lies further from the
// part. Beyond five times the distance the point is cut off, still outside of
// where an arc would run. Inside corners are points too; there the beam leaves
// half the kerf as a radius, which joints allow for.
//
// An opening, a slit or a gap between pieces that is not wider than the kerf
// cannot be cut as drawn. That is an error (see [layers.Region.Err]), not a
// silent loss.
func Compensate(finished layers.Region, k layers.Kerf) layers.Region {
	path := grown(finished, k.X.Mean, k.Y.Mean)
	if path.Err() != nil {
		return path
	}
	holes, pieces := count(finished)
	if h, p := count(path); h != holes || p != pieces {
		return layers.Invalid(fmt.Errorf("an opening or a slit is not wider than the kerf of %s mm and would be lost", mm(max(k.X.Mean, k.Y.Mean))))
	}
	return path
}

// alike is how far the kerf in x and in y may differ to be taken as one, mm: the
// boundary then moves by at most [layers.CurveTolerance] too much or too little,
// and its arcs stay arcs.
const alike = 4 * layers.CurveTolerance

// grown moves the boundary of r outward by half the kerf.
func grown(r layers.Region, kx, ky float64) layers.Region {
	switch {
	case !(kx >= 0 && ky >= 0):
		return layers.Invalid(fmt.Errorf("a kerf of %s × %s mm makes no sense", mm(kx), mm(ky)))
	case math.Abs(kx-ky) <= alike:
		return r.Offset((kx+ky)/4, layers.Mitre)
	case kx == 0 || ky == 0:
		return layers.Invalid(fmt.Errorf("the kerf is %s mm in x but %s mm in y: measure both", mm(kx), mm(ky)))
	}
	// Where the beam's ellipse is a circle, the offset is an ordinary one.
	k := (kx + ky) / 2
	return r.Scale(k/kx, k/ky).Offset(k/2, layers.Mitre).Scale(kx/k, ky/k)
}

// count returns how many holes and how many pieces r has.
func count(r layers.Region) (holes, pieces int) {
	for c := range r.Contours() {
		if c.Hole {
			holes++
		} else {
			pieces++
		}
	}
	return holes, pieces
}
