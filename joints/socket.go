package joints

import (
	"math"

	"github.com/platewright/platewright/layers"
)

// socket is the one description of an insert's rectangular section and the
// opening it goes into: width along the insert's sheet, thick across it. Play
// is added once, on the opening, so the two sides cannot disagree.
type socket struct {
	width, thick float64
	play         Play
	relief       float64 // radius of the round ears at the opening's corners, mm
}

// opening returns the opening centred on the origin, its width along x. A
// round ear through each corner leaves room for the insert's sharp corner and
// leaves no sharp inside corner in the sheet.
func (s socket) opening() layers.Region {
	w, t := s.width+s.play.Along, s.thick+s.play.Across
	return layers.Rectangle(w, t).Union(ears(w, t, s.relief)...)
}

// ears returns discs of radius r through the corners of a w × t rectangle
// centred on the origin, each centred on its corner's diagonal inside.
func ears(w, t, r float64) []layers.Region {
	if r <= 0 {
		return nil
	}
	var out []layers.Region
	in := r / math.Sqrt2
	for _, c := range [...]layers.Point{{X: 1, Y: 1}, {X: -1, Y: 1}, {X: -1, Y: -1}, {X: 1, Y: -1}} {
		out = append(out, layers.Circle(2*r).Move(layers.Point{X: c.X * (w/2 - in), Y: c.Y * (t/2 - in)}))
	}
	return out
}

// beamRelief returns the least ear radius for inside corners in m: half the
// kerf and a little, since the beam is round, and at least 0.5 mm in brittle
// sheet, where a sharp inside corner starts a crack (shops that turned acrylic
// designs into products report that sharp slot ends always broke and advise
// 0.5 mm or more).
func beamRelief(m layers.Material) float64 {
	r := m.Kerf.Mean()/2 + 0.1
	if m.Kind.Brittle() {
		r = max(r, 0.5)
	}
	return r
}
