package joints_test

import (
	"fmt"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/joints/jointtest"
	"github.com/platewright/platewright/layers"
)

// An M3 screw holds the middle sheet; the front hides its head and the back
// keeps its nut from turning.
func ExampleScrew() {
	ply, panel := birch(3), layers.Rectangle(100, 60)
	site := jointtest.Stacked("corner screw", jointtest.Flat("back", ply, panel), jointtest.Flat("sea", ply, panel), jointtest.Flat("frame", ply, panel))
	work := joints.Screw{Size: "M3", Through: []string{"sea"}, At: layers.Point{X: 40, Y: 20}, Head: "frame", Nut: "back"}.Realize(site)
	for _, f := range work.Features {
		b := f.Region.Bounds()
		fmt.Printf("%s in %s: %.2f × %.2f mm\n", f.Name, f.Plate, b.Width(), b.Height())
	}
	for _, n := range work.Needs {
		fmt.Printf("%d %s\n", n.Count, n.Name)
	}
	// Output:
	// nut pocket in back: 6.47 × 5.65 mm
	// screw hole in sea: 3.40 × 3.40 mm
	// head pocket in frame: 6.60 × 6.60 mm
	// 1 M3 × 6 pan head screw, ISO 7045
	// 1 M3 hexagon nut, ISO 4032
}
