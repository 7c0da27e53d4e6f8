package assembly

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/stock"
)

// Param is a named number of a design.
type Param struct {
	Name     string
	Value    float64 // where no input sets it
	Min, Max float64 // both included; both 0: any value is well
	Unit     string  // "mm", "deg" or "" for a plain number
	Doc      string
}

// takes reports whether v lies in the parameter's range.
func (p Param) takes(v float64) bool {
	if p.Min == 0 && p.Max == 0 {
		return !math.IsNaN(v) && !math.IsInf(v, 0)
	}
	return v >= p.Min && v <= p.Max
}

// Design is a product as a function of its inputs. Everything that repeats a
// build takes a Design and Inputs.
type Design struct {
	Name   string // of the product, where Make gives it none
	Params []Param
	// Make declares the product. It must be pure: the same Values give the
	// same Product, and builds may run at the same time.
	Make func(Values) Product
}

// Inputs is what a design is built with. It is a value: the With methods
// return a changed copy.
type Inputs struct {
	Materials layers.Library
	// Set holds parameters by name, and figures of materials by the names that
	// package stock gives them, such as "birch ply 3.thickness".
	Set map[string]float64
}

// With returns a copy of in that sets the parameter or figure of that name.
func (in Inputs) With(name string, v float64) Inputs {
	set := maps.Clone(in.Set)
	if set == nil {
		set = map[string]float64{}
	}
	set[name] = v
	in.Set = set
	return in
}

// WithThickness returns a copy of in with the material's mean thickness as
// measured, mm.
func (in Inputs) WithThickness(material string, mm float64) Inputs {
	return in.With(material+".thickness", mm)
}

// Build makes the product of d with the inputs and builds it. Like
// [Product.Build] it returns an error only where the inputs or what Make
// declares make no sense: a [*DeclarationError] with all mistakes.
func (d Design) Build(in Inputs) (*Kit, error) {
	r := &reading{params: map[string]float64{}}
	names := d.params(r)
	library := in.Materials
	for _, name := range slices.Sorted(maps.Keys(in.Set)) { // "kerf" before "kerf-x"
		v := in.Set[name]
		i := slices.IndexFunc(d.Params, func(p Param) bool { return p.Name == name })
		if _, _, field := stock.Split(name); i < 0 && field {
			lib, err := stock.Set(library, name, v)
			if err != nil {
				r.add("input", name, "", "%w", err)
			}
			library = lib
			continue
		}
		switch {
		case i < 0:
			r.unknown("input", name, "", "parameter", name, names)
		case !d.Params[i].takes(v):
			r.outside(d.Params[i], v)
		default:
			r.params[name] = v
		}
	}
	if d.Make == nil {
		r.add("product", d.Name, "make", "the design has no Make")
	}
	if err := r.err(); err != nil {
		return nil, err
	}
	r.library = library
	p := d.Make(Values{r})
	r.sources = p.Sources
	if err := r.err(); err != nil {
		return nil, err
	}
	p.Name = cmp.Or(p.Name, d.Name)
	return p.Build(library)
}

// params checks the parameters as declared, lets r read them, and returns
// their names.
func (d Design) params(r *reading) []string {
	var names []string
	for _, p := range d.Params {
		_, twice := r.params[p.Name]
		_, _, dotted := stock.Split(p.Name)
		switch {
		case p.Name == "":
			r.add("parameter", "", "name", "a parameter has no name")
		case twice:
			r.add("parameter", p.Name, "name", "two parameters have this name")
		case dotted:
			r.add("parameter", p.Name, "name", "a full stop stands between a material and its figure and in no parameter's name")
		}
		if !p.takes(p.Value) {
			r.outside(p, p.Value)
		}
		r.params[p.Name] = p.Value
		names = append(names, p.Name)
	}
	return names
}

// Values is what Make reads: the parameters and materials of one build. A name
// that is not known is noted and reads as 0; the build then fails with it, so
// that Make needs no error of its own. Only Build makes Values.
type Values struct{ r *reading }

// reading is the values of one build and what went wrong in reading them.
type reading struct {
	mistakes
	params  map[string]float64
	library layers.Library
}

// outside notes that v is not in the parameter's range.
func (r *reading) outside(p Param, v float64) {
	if p.Min == 0 && p.Max == 0 {
		r.add("parameter", p.Name, "value", "%g is no number", v)
		return
	}
	r.add("parameter", p.Name, "value", "expected %g to %g, found %g", p.Min, p.Max, v)
}

// Param returns the parameter of that name.
func (v Values) Param(name string) float64 {
	x, ok := v.r.params[name]
	if !ok {
		v.r.unknown("parameter", name, "", "parameter", name, slices.Collect(maps.Keys(v.r.params)))
	}
	return x
}

// Material returns the material of that name.
func (v Values) Material(name string) layers.Material {
	m, err := v.r.library.Find(name)
	if err != nil {
		v.r.unknown("material", name, "", "material", name, v.r.library.Names())
	}
	return m
}

// Thickness returns the measured thickness of the material, mm.
func (v Values) Thickness(material string) float64 { return v.Material(material).Thickness.Mean }

// Fail makes the build fail with err; nil changes nothing.
func (v Values) Fail(err error) {
	if err != nil {
		v.r.add("product", "", "", "%w", err)
	}
}
