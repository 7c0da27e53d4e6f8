package flex_test

import (
	"fmt"

	"github.com/platewright/platewright/joints/flex"
)

// Two arms of 3 mm birch plywood, 1.5 mm wide, whose hooks must give way by
// 0.6 mm. The arch of the second shares the bending.
func ExampleArm() {
	for _, a := range []flex.Arm{
		{Form: flex.Straight, Length: 15, Width: 1.5},
		{Form: flex.Arched, Length: 15, Width: 1.5, Radius: 4},
	} {
		fmt.Printf("%-8v strain %.2f %%, force %.1f N, peak %.1f mm from the tip\n",
			a.Form, 100*a.Strain(0.6), a.Force(0.6, 9000, 3), a.Peak())
	}
	// Output:
	// straight strain 0.60 %, force 4.0 N, peak 15.0 mm from the tip
	// arched   strain 0.19 %, force 0.9 N, peak 21.3 mm from the tip
}
