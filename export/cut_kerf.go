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
// after both scalings; a cut file joins those into few, within half of one. A
// difference as small as the tolerance is ignored.
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
// boundary then moves by at most a quarter of it too much or too little, a
// mating's play changes by no more than alike, and arcs stay as they are.
const alike = layers.CurveTolerance

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

// refit joins runs of arcs that bend the same way into single arcs, which stay
// within half a [layers.CurveTolerance] of them and keep their ends. Scaling to
// and fro breaks an arc into dozens; a machine runs smoother over few.
func refit(c layers.Contour) layers.Contour {
	const tol = layers.CurveTolerance / 2
	out := layers.Contour{Hole: c.Hole}
	for i := 0; i < len(c.Segments); {
		joined, n := c.Segments[i], 1
		for j := i + 1; j < len(c.Segments) && bends(c.Segments[j-1], c.Segments[j]); j++ {
			arc, ok := through(c.Segments[i:j+1], tol)
			if !ok {
				break
			}
			joined, n = arc, j+1-i
		}
		out.Segments = append(out.Segments, joined)
		i += n
	}
	return out
}

// bends reports whether two segments are arcs that bend the same way and run on
// into each other without a corner.
func bends(a, b layers.Segment) bool {
	if a.Radius == 0 || b.Radius == 0 || (a.Sweep > 0) != (b.Sweep > 0) {
		return false
	}
	u, v := a.To.Sub(a.Centre), b.From.Sub(b.Centre)
	const corner = 0.1 // radians
	return u.Dot(v) > 0 && math.Abs(u.Cross(v)) < corner*u.Len()*v.Len()
}

// through returns the arc through the ends and the middle of a run, and
// whether the whole run lies within tol of it.
func through(run []layers.Segment, tol float64) (layers.Segment, bool) {
	var pts []layers.Point
	var sweep layers.Degrees
	for _, s := range run {
		sweep += s.Sweep
		for i := range 4 {
			pts = append(pts, s.Centre.Add(s.From.Sub(s.Centre).Turned(s.Sweep*layers.Degrees(i)/4)))
		}
	}
	a, b, c := run[0].From, pts[len(pts)/2], run[len(run)-1].To
	u, v := b.Sub(a), c.Sub(a)
	d := 2 * u.Cross(v)
	if math.Abs(float64(sweep)) > 300 || d == 0 {
		return layers.Segment{}, false
	}
	// The centre of the circle through three points, from a.
	centre := a.Add(layers.Point{
		X: (v.Y*u.Dot(u) - u.Y*v.Dot(v)) / d,
		Y: (u.X*v.Dot(v) - v.X*u.Dot(u)) / d,
	})
	radius := a.Sub(centre).Len()
	for _, p := range pts {
		if math.Abs(p.Sub(centre).Len()-radius) > tol {
			return layers.Segment{}, false
		}
	}
	from, to := a.Sub(centre), c.Sub(centre)
	turn := layers.Degrees(math.Atan2(from.Cross(to), from.Dot(to)) * 180 / math.Pi)
	if sweep > 0 && turn < 0 {
		turn += 360
	} else if sweep < 0 && turn > 0 {
		turn -= 360
	}
	return layers.Segment{From: a, To: c, Centre: centre, Radius: radius, Sweep: turn}, true
}
