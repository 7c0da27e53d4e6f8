// Package kernel is the plane geometry behind layers.Region: shapes bounded by
// lines and circular arcs, their booleans, offsets and measures. It is the
// only importer of the overlay engine, and no exported name of another package
// mentions it.
//
// Lengths are millimetres, angles radians, counter-clockwise from x. A [Seg] is
// a line or an arc that keeps its exact centre and radius; a [Ring] is a closed
// chain of them; a [Shape] is a set of rings, outer ones counter-clockwise and
// holes clockwise, so that material always lies to the left.
//
// A boolean sees only what interacts: a ring that comes near no ring of the
// other operand is kept or dropped whole. The rest is flattened, with vertices
// on the arcs, overlaid, and its edges are matched to the segments they came
// from, which brings every arc back with its centre and radius.
package kernel

const (
	// Sagitta is the greatest distance between an arc and the chords that
	// stand for it during an overlay, mm.
	Sagitta = 1e-3
	// Near is how close segments of two operands must come to be overlaid;
	// farther ones cannot touch even when flattened, mm.
	Near = 5 * Sagitta
	// MaxCoord is the largest coordinate accepted, mm.
	MaxCoord = 1e6
	// MaxSegs is the largest number of segments accepted in one input.
	MaxSegs = 200_000
)

// same is the distance under which two computed coordinates, centres or radii
// are taken for one, mm. Rounding over MaxCoord is below it.
const same = 1e-9
