package joints_test

import (
	"fmt"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/joints/jointtest"
	"github.com/platewright/platewright/layers"
)

// Two pegs in one acrylic plate: a web as wide as the sheet is thick should
// stand between their slots, and between a slot and the edge.
func ExampleRoom() {
	site := jointtest.Stacked("", jointtest.Flat("cover", acrylic(3), layers.Rectangle(60, 40)))
	works := map[string]joints.Work{}
	for name, x := range map[string]float64{"left peg": -23, "middle peg": 0, "right peg": 11} {
		site.Name = name
		works[name] = joints.Peg{Through: []string{"cover"}, At: layers.Point{X: x}}.Realize(site)
	}
	fmt.Print(joints.Room(site.Hosts, works))
	// Output:
	// warning: joint "left peg": its slot lies too near to the edge of the plate (2.33 mm, needs at least 3.00 mm); move the joint inward, or make the plate wider there [joint-edge]
	// warning: joint "middle peg": its slot lies too near to the slot of another joint (1.67 mm, needs at least 3.00 mm); move the joints apart [joint-room]
}
