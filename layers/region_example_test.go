package layers_test

import (
	"fmt"

	"github.com/platewright/platewright/layers"
)

// A plate with a round window and two slots. The window's circle comes back
// whole, with its centre and radius.
func ExampleRegion() {
	plate := layers.RoundedRectangle(120, 80, 6)
	window := layers.Circle(40).Move(layers.Point{X: -20})
	slot := layers.SlotShape(20, 4).Rotate(90)
	r := plate.Subtract(window, slot.Move(layers.Point{X: 30}), slot.Move(layers.Point{X: 40}))
	if r.Err() != nil {
		fmt.Println(r.Err())
	}
	fmt.Printf("%.1f mm², %d piece\n", r.Area(), len(r.Pieces()))
	for c := range r.Contours() {
		if s := c.Segments[0]; c.Hole && len(c.Segments) == 2 {
			fmt.Printf("a window of radius %g about %g, %g\n", s.Radius, s.Centre.X, s.Centre.Y)
		}
	}
	// Output:
	// 8159.3 mm², 1 piece
	// a window of radius 20 about -20, 0
}

// Kerf: a cut of 0.16 mm takes half of that on either side.
func ExampleRegion_Offset() {
	part := layers.Rectangle(30, 20).Subtract(layers.Circle(10))
	path := part.Offset(0.08, layers.Mitre)
	b := path.Bounds()
	fmt.Printf("%.2f × %.2f mm\n", b.Width(), b.Height())
	for c := range path.Contours() {
		if c.Hole {
			fmt.Printf("hole of radius %.2f mm\n", c.Segments[0].Radius)
		}
	}
	// Output:
	// 30.16 × 20.16 mm
	// hole of radius 4.92 mm
}

// The narrowest material lies between the hole and the right edge.
func ExampleRegion_Web() {
	r := layers.Rectangle(30, 20).Subtract(layers.Circle(10).Move(layers.Point{X: 9}))
	mm, at, ok := r.Web(3)
	fmt.Printf("%.2f mm from %.1f to %.1f: %v\n", mm, at[0], at[1], ok)
	_, _, ok = r.Web(0.8)
	fmt.Println("narrower than 0.8 mm:", ok)
	// Output:
	// 1.00 mm from {15.0 0.0} to {14.0 0.0}: true
	// narrower than 0.8 mm: false
}

func ExampleRegion_Along() {
	r := layers.Rectangle(30, 20).Subtract(layers.Circle(10))
	for _, s := range r.Along(layers.Point{X: -20}, 0) {
		fmt.Printf("from %.0f to %.0f\n", s.From, s.To)
	}
	// Output:
	// from 5 to 15
	// from 25 to 35
}

func ExampleClearance() {
	mm, at := layers.Clearance(layers.Circle(10), layers.Rectangle(4, 4).Move(layers.Point{X: 9}))
	fmt.Printf("%.1f mm between %.1f and %.1f\n", mm, at[0], at[1])
	// Output:
	// 2.0 mm between {5.0 0.0} and {7.0 0.0}
}

// A region that could not be made says why, however much was done to it since.
func ExampleRegion_Err() {
	bow := layers.Polygon(layers.Point{}, layers.Point{X: 10, Y: 10}, layers.Point{X: 10}, layers.Point{Y: 10})
	r := layers.Rectangle(50, 50).Subtract(bow).Inset(2).Move(layers.Point{X: 100})
	fmt.Println(r.Err())
	// Output:
	// polygon: its boundary crosses itself
}
