package joints_test

import (
	"fmt"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/joints/jointtest"
	"github.com/platewright/platewright/layers"
)

// A sail stands on a deck of two sheets; its tab goes through both, as thick
// as they measure today.
func ExampleTabSlot() {
	panel := layers.Rectangle(100, 60)
	ply := birch(2.8) // as measured; sold as 3 mm
	site := jointtest.Stacked("sail tab",
		jointtest.Flat("back", ply, panel),
		jointtest.Flat("deck", ply, panel),
		jointtest.Standing("sail", ply, layers.Rectangle(30, 40).Move(layers.Point{Y: 20}), layers.Point{}, 90, 5.6),
	)
	work := joints.TabSlot{Upright: "sail", Through: []string{"back", "deck"}, Proud: 0.4}.Realize(site)
	for _, f := range work.Features {
		b := f.Region.Bounds()
		fmt.Printf("%s of %s: %.2f × %.2f mm\n", f.Name, f.Plate, b.Width(), b.Height())
	}
	for _, m := range work.Matings {
		for _, g := range m.Gaps {
			fmt.Printf("%s in %s: %.2f mm play %s\n", m.Insert, m.Opening, g.Play, g.Name)
		}
	}
	// Output:
	// tab of sail: 14.00 × 7.00 mm
	// shoulder relief of sail: 14.72 × 0.36 mm
	// slot of back: 2.96 × 14.15 mm
	// slot of deck: 2.96 × 14.15 mm
	// sail in back: 0.04 mm play along
	// sail in back: 0.05 mm play across
	// sail in deck: 0.04 mm play along
	// sail in deck: 0.05 mm play across
}
