// Package assembly is the product: what the user declares ([Product],
// [Design]), and the resolved, immutable [Kit] that Build returns with what
// every check found. Lengths are mm; z grows from the back of the stack to the
// front, x right, y up.
package assembly

import (
	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
)

// Layer is the plates that share one height range of the stack, side by side.
// It is as high as its thickest plate.
type Layer []layers.Plate

// Upright is a plate that stands square to the stack. Its own x runs along the
// line through At in direction Turn, its own y up from Z, and its thickness
// lies half to each side of that line.
type Upright struct {
	layers.Plate
	At   layers.Point
	Turn layers.Degrees
	On   string  // plate from whose front Z counts; "" for the back of the stack
	Z    float64 // height of the upright's own origin, mm
}

// Product is a declared product. It holds no measured thickness: that belongs
// to the materials it is built with, so that a new batch of sheets is one
// changed input and not an edit.
type Product struct {
	Name     string
	Stack    []Layer // back to front
	Uprights []Upright
	Joints   map[string]joints.Joint
	Height   float64 // the stack may not stand higher, mm; 0: any height is well
	// Sources tells where in a file each subject was declared; nil for Go code.
	Sources map[layers.Subject]layers.Source
}
