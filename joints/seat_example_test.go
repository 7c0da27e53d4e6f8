package joints_test

import (
	"fmt"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/joints/jointtest"
	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/stock"
)

// Two suns of acrylic sit in turn in a round window of a plywood frame. Each is
// declared a little too large; the seat trims both alike.
func ExampleSeat() {
	lib := stock.Common()
	birch, _ := lib.Find("birch ply 3")
	amber, _ := lib.Find("amber cast acrylic 3")
	site := jointtest.Stacked("sun window", jointtest.Flat("frame", birch, layers.Rectangle(120, 90)))
	for _, name := range []string{"morning", "evening"} {
		sun := jointtest.Flat(name, amber, layers.Circle(60))
		sun.Pose = layers.Flat(0)
		site.Hosts[name] = sun
	}

	seat := joints.Seat{In: "frame", Inserts: []string{"morning", "evening"}, Shape: layers.Circle(50), Key: 3, KeyAt: 90, Thumb: 8}
	work := seat.Realize(site)
	frame := joints.Finish([]layers.Plate{site.Hosts["frame"].Plate, site.Hosts["evening"].Plate}, map[string]joints.Work{site.Name: work})
	for _, g := range work.Matings[1].Gaps {
		play, err := joints.Measure(g, frame[1].Outline, frame[0].Outline, 3)
		fmt.Printf("play %.3f mm, measured %.3f, %v\n", g.Play, play, err)
	}
	room, _ := layers.Clearance(frame[0].Outline, frame[1].Outline)
	fmt.Printf("%.3f mm all round; they take turns: %q\n", room, work.Swaps[0])
	// Output:
	// play 0.265 mm, measured 0.265, <nil>
	// play 0.265 mm, measured 0.265, <nil>
	// 0.132 mm all round; they take turns: ["morning" "evening"]
}
