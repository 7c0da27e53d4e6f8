package assembly

import (
	"math/rand/v2"
	"testing"

	"github.com/platewright/platewright/layers"
)

func TestOver(t *testing.T) {
	ring := layers.Rectangle(60, 60).Subtract(layers.Rectangle(50, 50))
	step := layers.Polygon(layers.Point{}, layers.Point{X: 20}, layers.Point{X: 20, Y: 10}, layers.Point{X: 10, Y: 10}, layers.Point{X: 10, Y: 20}, layers.Point{Y: 20})
	for _, test := range []struct {
		name string
		a, b layers.Region
		want bool
	}{
		{"one in the other", layers.Rectangle(40, 40), layers.Circle(3), true},
		{"rings", ring, ring, true},
		{"a disc in a ring's window", ring, layers.Circle(49), false},
		{"a disc that touches the ring", ring, layers.Circle(50), false},
		{"a disc that lies on the ring", ring, layers.Circle(51), true},
		{"side by side", layers.Rectangle(10, 10), layers.Rectangle(10, 10).Move(layers.Point{X: 10}), false},
		{"steps that fit each other", step, layers.Rectangle(20, 20).Move(layers.Point{X: 10, Y: 10}).Subtract(step), false},
		{"steps that fit each other in the middle", step, layers.Rectangle(10, 10).Move(layers.Point{X: 15, Y: 15}), false},
		{"nothing", layers.Region{}, ring, false},
	} {
		for _, p := range [][2]layers.Region{{test.a, test.b}, {test.b, test.a}} {
			if got := over(p[0], p[1]); got != test.want {
				t.Errorf("%s: %t", test.name, got)
			}
		}
	}
	// The quick answer is that of the area.
	rng := rand.New(rand.NewPCG(3, 4))
	for range 200 {
		star := func() layers.Region {
			var ps []layers.Point
			for i := range 7 {
				ps = append(ps, layers.Degrees(360*i/7).Unit().Mul(3+10*rng.Float64()))
			}
			return layers.Polygon(ps...).Move(layers.Point{X: 24 * rng.Float64(), Y: 4 * rng.Float64()})
		}
		a, b := star(), star()
		area, _ := a.Overlap(b)
		if area > 0 && area < 0.1 {
			continue // a graze may count either way
		}
		if got := over(a, b); got != (area > nothing) {
			t.Errorf("%t, and they share %g mm²", got, area)
		}
	}
}
