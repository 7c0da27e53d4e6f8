package assembly

import (
	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
)

// Placed is a finished plate at its place in the kit.
type Placed struct {
	layers.Plate                 // Outline and Marks as finished, with every joint's work
	Stock        layers.Material // what it is cut from
	Pose         layers.Pose
	Layer        int    // 0 is the back one; -1 for uprights
	Joint        string // the joint that made it; "" for a declared plate
	Spare        bool   // an insert that waits while another sits in its seat
}

// Kit is a built product: immutable, and safe for any number of concurrent
// readers.
type Kit struct {
	name     string
	plates   []Placed
	works    map[string]joints.Work
	library  layers.Library
	findings layers.Findings
	height   float64
}
