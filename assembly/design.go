package assembly

import (
	"github.com/platewright/platewright/layers"
)

// Param is a named number of a design.
type Param struct {
	Name     string
	Value    float64 // where no input sets it
	Min, Max float64 // both 0: any value is well
	Unit     string  // "mm", "deg" or "" for a plain number
	Doc      string
}

// Design is a product as a function of its inputs. Everything that repeats a
// build takes a Design and Inputs.
type Design struct {
	Name   string
	Params []Param
	// Make declares the product. It must be pure: the same Values give the
	// same Product, and builds may run at the same time.
	Make func(Values) Product
}

// Inputs is what a design is built with. It is a value: the With methods
// return a changed copy.
type Inputs struct {
	Materials layers.Library
	Set       map[string]float64 // parameters, and material fields such as "birch ply 3.thickness"
}

// Values is what Make reads.
type Values struct {
	todo int
}
