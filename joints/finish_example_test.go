package joints_test

import (
	"fmt"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/joints/jointtest"
	"github.com/platewright/platewright/layers"
)

// The play that a joint states is measured again on the finished outlines.
func ExampleMeasure() {
	ply := birch(2.9)
	site := jointtest.Stacked("tab",
		jointtest.Flat("base", ply, layers.Rectangle(60, 40)),
		jointtest.Standing("fin", ply, layers.Rectangle(30, 20).Move(layers.Point{Y: 10}), layers.Point{}, 0, 2.9))
	work := joints.TabSlot{Upright: "fin", Through: []string{"base"}, Fit: joints.Fit{Class: joints.Slide}}.Realize(site)

	finished := joints.Finish(
		[]layers.Plate{site.Hosts["base"].Plate, site.Hosts["fin"].Plate},
		map[string]joints.Work{"tab": work})
	for _, g := range work.Matings[0].Gaps {
		play, err := joints.Measure(g, finished[1].Outline, finished[0].Outline, ply.Thickness.Mean)
		fmt.Printf("%s: stated %.3f, measured %.3f, %v\n", g.Name, g.Play, play, err)
	}
	// Output:
	// along: stated 0.180, measured 0.180, <nil>
	// across: stated 0.220, measured 0.220, <nil>
}
