// Package assembly is the product: what the user declares ([Product],
// [Design]), and the resolved, immutable [Kit] that Build returns with what
// every check found. Lengths are mm; z grows from the back of the stack to the
// front, x right, y up.
//
// Build is a pure function of the declaration and the materials. It returns an
// error only for a declaration that makes no sense: a [*DeclarationError] with
// every mistake in it. What was built and judged is in [Kit.Findings].
package assembly

import (
	"maps"
	"math"
	"reflect"
	"slices"
	"strconv"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
)

// Layer is the plates that share one height range of the stack, side by side.
// It is as high as its thickest plate. Its back lies on the front of the layer
// behind it, or as far before that as the largest Lift of its plates says.
// Where findings and mistakes give a layer's number, the back one is 1.
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

// validate returns every mistake of the declaration.
func (p Product) validate(lib layers.Library) error {
	v := validation{
		mistakes:  mistakes{sources: p.Sources},
		library:   lib,
		materials: lib.Names(),
		plates:    map[string]bool{},
	}
	if v.finite("stack", "", "height", p.Height) && p.Height < 0 {
		v.add("stack", "", "height", "%g mm is no height", p.Height)
	}
	for i, layer := range p.Stack {
		if len(layer) == 0 {
			v.add("layer", strconv.Itoa(i+1), "", "the layer has no plates")
		}
		for _, pl := range layer {
			v.plate(pl)
		}
	}
	stacked := maps.Clone(v.plates)
	for _, u := range p.Uprights {
		v.plate(u.Plate)
		v.finite("plate", u.Name, "at", u.At.X, u.At.Y)
		v.finite("plate", u.Name, "turn", float64(u.Turn))
		v.finite("plate", u.Name, "z", u.Z)
		if u.On != "" && !stacked[u.On] {
			v.unknown("plate", u.Name, "on", "plate in the stack", u.On, slices.Collect(maps.Keys(stacked)))
		}
	}
	if len(v.plates) == 0 {
		v.add("stack", "", "", "the product has no plates")
	}
	for name, j := range p.Joints {
		v.joint(name, j)
	}
	return v.err()
}

// validation goes through a declaration and gathers its mistakes.
type validation struct {
	mistakes
	library   layers.Library
	materials []string
	plates    map[string]bool // every plate so far
}

func (v *validation) plate(pl layers.Plate) {
	name := pl.Name
	switch {
	case name == "":
		v.add("plate", "", "name", "a plate of %q has no name", pl.Material)
	case v.plates[name]:
		v.add("plate", name, "name", "two plates have this name")
	}
	v.plates[name] = true
	if m, err := v.library.Find(pl.Material); err != nil {
		v.unknown("plate", name, "material", "material", pl.Material, v.materials)
	} else if t := m.Thickness.Mean; !(t > 0) || math.IsInf(t, 1) {
		v.add("plate", name, "material", "%q is %g mm thick", pl.Material, t)
	}
	if err := pl.Outline.Err(); err != nil {
		v.add("plate", name, "outline", "%w", err)
	} else if pl.Outline.Empty() {
		v.add("plate", name, "outline", "the outline is empty")
	}
	if v.finite("plate", name, "gap", pl.Gap) && pl.Gap < 0 {
		v.add("plate", name, "gap", "%g mm is negative", pl.Gap)
	}
	if v.finite("plate", name, "lift", pl.Lift) && pl.Lift < 0 {
		v.add("plate", name, "lift", "%g mm is negative", pl.Lift)
	}
	for _, m := range pl.Marks {
		v.mark(name, m)
	}
}

func (v *validation) mark(plate string, m layers.Mark) {
	if m.Operation != layers.Score && m.Operation != layers.Engrave {
		v.add("plate", plate, "marks", "a mark is scored or engraved, found %q", m.Operation)
	}
	if err := m.Area.Err(); err != nil {
		v.add("plate", plate, "marks", "%w", err)
	}
	for _, line := range m.Lines {
		for _, at := range line {
			if !v.finite("plate", plate, "marks", at.X, at.Y) {
				return
			}
		}
	}
}

func (v *validation) joint(name string, j joints.Joint) {
	if name == "" {
		v.add("joint", "", "name", "a joint has no name")
	}
	r := reflect.ValueOf(j)
	if !r.IsValid() || r.Kind() == reflect.Pointer && r.IsNil() {
		v.add("joint", name, "", "the joint is nil")
		return
	}
	if field, wrong := odd(r, ""); field != "" {
		v.add("joint", name, field, "%s", wrong)
	}
	for _, plate := range j.Ties() {
		if plate == "" || !v.plates[plate] {
			v.unknown("joint", name, "", "plate", plate, slices.Collect(maps.Keys(v.plates)))
		}
	}
}
