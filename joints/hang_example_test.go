package joints_test

import (
	"fmt"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/joints/jointtest"
	"github.com/platewright/platewright/layers"
)

// The back hangs on a 4 mm wood screw whose head sits in the sheet in front.
// In thin sheet the head finds too little room.
func ExampleHangingSlot() {
	panel := layers.Rectangle(100, 60)
	for _, mm := range []float64{3, 2.7} {
		ply := birch(mm)
		site := jointtest.Stacked("hook", jointtest.Flat("back", ply, panel), jointtest.Flat("sea", ply, panel))
		work := joints.HangingSlot{In: "back", Room: []string{"sea"}, At: layers.Point{Y: 15}, Screw: "4"}.Realize(site)
		for _, f := range work.Features {
			b := f.Region.Bounds()
			fmt.Printf("%s in %s: %.1f × %.1f mm\n", f.Name, f.Plate, b.Width(), b.Height())
		}
		fmt.Print(work.Findings)
	}
	// Output:
	// hanging slot in back: 9.0 × 14.2 mm
	// head pocket in sea: 9.0 × 16.5 mm
	// hanging slot in back: 9.0 × 14.2 mm
	// head pocket in sea: 9.0 × 16.5 mm
	// warning: joint "hook": the pocket is not as deep as the screw's head is high (2.70 mm, needs at least 2.80 mm); name one more plate for the pocket or hang the piece on a smaller screw [hang-shallow]
}
