package joints_test

import (
	"fmt"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/joints/jointtest"
	"github.com/platewright/platewright/layers"
)

// Two uprights of a stand cross at 60°. Each slot is wider than the sheet that
// goes in, because the sheet passes it aslant.
func ExampleCrossLap() {
	ply := birch(3.2)
	leg := layers.Rectangle(120, 40).Move(layers.Point{Y: 20})
	site := jointtest.Stacked("stand",
		jointtest.Standing("long leg", ply, leg, layers.Point{}, 0, 0),
		jointtest.Standing("short leg", ply, leg, layers.Point{}, 60, 0),
	)
	work := joints.CrossLap{A: "long leg", B: "short leg"}.Realize(site)
	for _, f := range work.Features {
		b := f.Region.Bounds()
		fmt.Printf("%s of %s: %.2f mm wide, from %.2f to %.2f mm\n", f.Name, f.Plate, b.Width(), b.Min.Y, b.Max.Y)
	}
	fmt.Print(joints.CrossLap{A: "long leg", B: "short leg"}.Realize(jointtest.Stacked("stand",
		jointtest.Standing("long leg", ply, leg, layers.Point{}, 0, 0),
		jointtest.Standing("short leg", ply, leg, layers.Point{Y: 65}, 90, 0),
	)).Findings)
	// Output:
	// slot of long leg: 5.71 mm wide, from 19.93 to 41.00 mm
	// slot of short leg: 5.71 mm wide, from -1.00 to 20.07 mm
	// error: joint "stand": "long leg" and "short leg" do not cross (5.00 mm, needs at most 0.00 mm); move an upright, or make it longer or higher [lap-miss]
}
