package joints_test

import (
	"fmt"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/joints/jointtest"
	"github.com/platewright/platewright/layers"
)

// A peg holds three sheets; measured at 3.3 instead of 3 mm they stand 0.9 mm
// higher, and the peg with them.
func ExamplePeg() {
	panel := layers.Rectangle(100, 60)
	for _, mm := range []float64{3, 3.3} {
		ply := sheet("birch", layers.Plywood, mm)
		site := jointtest.Stacked("corner peg", jointtest.Flat("back", ply, panel), jointtest.Flat("sea", ply, panel), jointtest.Flat("frame", ply, panel))
		work := joints.Peg{Through: []string{"back", "sea", "frame"}, At: layers.Point{X: 40, Y: 20}, Width: 8, Head: 2}.Realize(site)
		peg := work.Makes[0].Plate
		b := peg.Outline.Bounds()
		fmt.Printf("%s of %s: head %.1f wide, shaft %.1f mm long\n", peg.Name, peg.Material, b.Width(), b.Max.Y)
	}
	// Output:
	// corner peg of birch: head 12.0 wide, shaft 9.0 mm long
	// corner peg of birch: head 12.0 wide, shaft 9.9 mm long
}
