package assembly

import (
	"github.com/go-gl/mathgl/mgl64"

	"github.com/platewright/platewright/layers"
)

// box is an axis-parallel box in stack coordinates, mm.
type box struct{ min, max mgl64.Vec3 }

// boxOf returns the smallest box that holds the corners of the plate's bounds
// on both faces.
func boxOf(p Placed) box {
	b := p.Outline.Bounds()
	if b.Empty() {
		b = layers.Box{}
	}
	at := p.Pose.World(b.Min, p.Pose.Back)
	out := box{at, at}
	for _, corner := range []layers.Point{b.Min, {X: b.Max.X, Y: b.Min.Y}, b.Max, {X: b.Min.X, Y: b.Max.Y}} {
		for _, n := range []float64{p.Pose.Back, p.Pose.Back + p.Stock.Thickness.Mean} {
			out = out.union(box{p.Pose.World(corner, n), p.Pose.World(corner, n)})
		}
	}
	return out
}

// union returns the smallest box that holds b and c.
func (b box) union(c box) box {
	for i := range 3 {
		b.min[i] = min(b.min[i], c.min[i])
		b.max[i] = max(b.max[i], c.max[i])
	}
	return b
}

// meets reports whether b and c share a point when each is grown by d on every
// side.
func (b box) meets(c box, d float64) bool {
	for i := range 3 {
		if b.min[i]-c.max[i] > 2*d || c.min[i]-b.max[i] > 2*d {
			return false
		}
	}
	return true
}

// common returns the middle of what b and c share.
func (b box) common(c box) mgl64.Vec3 {
	var at mgl64.Vec3
	for i := range 3 {
		at[i] = (max(b.min[i], c.min[i]) + min(b.max[i], c.max[i])) / 2
	}
	return at
}

// centre returns the middle of b.
func (b box) centre() mgl64.Vec3 { return b.min.Add(b.max).Mul(0.5) }
