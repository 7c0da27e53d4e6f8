package joints_test

import (
	"fmt"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/joints/flex"
	"github.com/platewright/platewright/joints/jointtest"
	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/stock"
)

// A clip of birch plywood holds four sheets. A straight arm that is kept short
// would break, and the clip says what would not.
func ExampleSpringClip() {
	lib := stock.Common()
	birch, _ := lib.Find("birch ply 3")
	blue, _ := lib.Find("blue cast acrylic 3")
	panel := layers.Rectangle(100, 60)
	site := jointtest.Stacked("left clip",
		jointtest.Flat("back", birch, panel), jointtest.Flat("sea", blue, panel),
		jointtest.Flat("dunes", birch, panel), jointtest.Flat("frame", birch, panel))

	clip := joints.SpringClip{Through: []string{"back", "sea", "dunes", "frame"}, At: layers.Point{X: -42}, Turn: 90}
	work := clip.Realize(site)
	for _, s := range work.Springs {
		fmt.Printf("%s, %s: grips %.2f mm, bends %.2f mm at %.2f %% of at most %.2f %%\n",
			s.Plate, s.Form, s.Grip, s.Deflection, 100*s.Strain, 100*s.Limit)
	}
	for _, m := range work.Matings {
		fmt.Printf("in %s: play %.3f mm along\n", m.Opening, m.Gaps[0].Play)
	}

	clip.Arm, clip.Reach = flex.Straight, 5
	fmt.Print(clip.Realize(site).Findings)
	// Output:
	// left clip, arched: grips 12.16 mm, bends 0.63 mm at 0.20 % of at most 0.35 %
	// in back: play 0.068 mm along
	// in sea: play 0.068 mm along
	// in dunes: play 0.068 mm along
	// in frame: play 0.068 mm along
	// error: joint "left clip": snapping the clip home strains its straight arm more than the sheet stands once (0.48 %, needs at most 0.35 %); arched, radius 3, reach 0: strain 0.23 % [clip-strain]
}
