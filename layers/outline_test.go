package layers_test

import (
	"math"
	"testing"

	"github.com/platewright/platewright/layers"
)

func TestRelievedRectangle(t *testing.T) {
	const w, h, r = 20.0, 3.0, 0.5
	got := layers.RelievedRectangle(w, h, r)
	if err := got.Err(); err != nil {
		t.Fatal(err)
	}
	want := layers.Rectangle(w, h)
	in := r / math.Sqrt2
	for _, c := range []layers.Point{{X: 1, Y: 1}, {X: -1, Y: 1}, {X: 1, Y: -1}, {X: -1, Y: -1}} {
		want = want.Union(layers.Circle(2 * r).Move(layers.Point{X: c.X * (w/2 - in), Y: c.Y * (h/2 - in)}))
	}
	if d := got.Xor(want).Area(); d > 1e-4 {
		t.Errorf("differs from a rectangle and four discs by %g mm²", d)
	}
	// Each ear adds a half disc but for the triangle between its ends and the
	// corner, which the rectangle holds already: (π/2 − 1) r².
	if a := w*h + 4*(math.Pi/2-1)*r*r; math.Abs(got.Area()-a) > 1e-5 {
		t.Errorf("area %g, want %g", got.Area(), a)
	}
	if layers.RelievedRectangle(20, 1, 0.5).Err() == nil {
		t.Error("ears that meet are no error")
	}
}
