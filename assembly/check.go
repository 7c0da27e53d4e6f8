package assembly

import "github.com/platewright/platewright/layers"

// Check is one thing that Build looks for in a kit. It reports findings of its
// own ID only; where it could not look, that is a finding too.
type Check struct {
	ID  string // of its findings
	Doc string // when it occurs, and how severe it is
	Run func(k *Kit, report func(layers.Finding))
}

// Checks returns every check that Build runs: a fresh slice, in their order.
func Checks() []Check {
	return []Check{}
}
