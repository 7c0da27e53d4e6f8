package stock

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/written"
)

// Field is a figure of a material that has a name: what Set changes and a
// finding's remedy names.
type Field struct {
	Name        string  // "kerf-x"
	Unit        string  // "mm", "kg/m³", "MPa", "mm/s" or "" for a plain number
	Doc         string  // one line
	Least, Most float64 // what is accepted at all, both included; far wider than what is usual

	units map[string]float64 // of the written form; nil for a length
	of    func(m *layers.Material) []*float64
}

var (
	plain     = map[string]float64{"": 1}
	densities = map[string]float64{"": 1, "kg/m³": 1, "kg/m3": 1, "g/cm³": 1000, "g/cm3": 1000}
	moduli    = map[string]float64{"": 1, "MPa": 1, "N/mm²": 1, "N/mm2": 1, "GPa": 1000}
	fractions = map[string]float64{"": 1, "%": 0.01}
	speeds    = map[string]float64{"": 1, "mm/s": 1, "mm/min": 1.0 / 60}
)

// Fields returns all fields, in the order of the materials file.
func Fields() []Field {
	type m = layers.Material
	one := func(of func(m *m) *float64) func(m *m) []*float64 {
		return func(m *layers.Material) []*float64 { return []*float64{of(m)} }
	}
	length := func(name, doc string, least, most float64, of func(m *m) *float64) Field {
		return Field{name, "mm", doc, least, most, nil, one(of)}
	}
	return []Field{
		length("nominal", "thickness the sheet is sold as", 0.01, 1000, func(m *m) *float64 { return &m.Nominal }),
		length("thickness", "thickness as measured, the mean", 0.01, 1000, func(m *m) *float64 { return &m.Thickness.Mean }),
		length("thickness-sd", "standard deviation of the thickness", 0, 100, func(m *m) *float64 { return &m.Thickness.SD }),
		length("tolerance-minus", "how far below nominal the sheet may be", 0, 100, func(m *m) *float64 { return &m.Tolerance.Minus }),
		length("tolerance-plus", "how far above nominal the sheet may be", 0, 100, func(m *m) *float64 { return &m.Tolerance.Plus }),
		{"kerf", "mm", "full width of the cut in both directions", 0, 10, nil, func(m *m) []*float64 { return []*float64{&m.Kerf.X.Mean, &m.Kerf.Y.Mean} }},
		{"kerf-sd", "mm", "standard deviation of the kerf in both directions", 0, 10, nil, func(m *m) []*float64 { return []*float64{&m.Kerf.X.SD, &m.Kerf.Y.SD} }},
		length("kerf-x", "full width that a cut along y takes away in x", 0, 10, func(m *m) *float64 { return &m.Kerf.X.Mean }),
		length("kerf-x-sd", "standard deviation of kerf-x", 0, 10, func(m *m) *float64 { return &m.Kerf.X.SD }),
		length("kerf-y", "full width that a cut along x takes away in y", 0, 10, func(m *m) *float64 { return &m.Kerf.Y.Mean }),
		length("kerf-y-sd", "standard deviation of kerf-y", 0, 10, func(m *m) *float64 { return &m.Kerf.Y.SD }),
		{"density", "kg/m³", "density", 0, 30000, densities, one(func(m *m) *float64 { return &m.Density })},
		{"modulus", "MPa", "modulus in both directions", 0, 1e6, moduli, func(m *m) []*float64 { return []*float64{&m.Along, &m.Across} }},
		{"modulus-along", "MPa", "modulus along the face grain", 0, 1e6, moduli, one(func(m *m) *float64 { return &m.Along })},
		{"modulus-across", "MPa", "modulus across the face grain", 0, 1e6, moduli, one(func(m *m) *float64 { return &m.Across })},
		{"strain-once", "", "strain a spring arm bears one time", 0, 1, fractions, one(func(m *m) *float64 { return &m.Strain.Once })},
		{"strain-repeated", "", "strain a spring arm bears many times", 0, 1, fractions, one(func(m *m) *float64 { return &m.Strain.Repeated })},
		{"strain-held", "", "strain a spring arm bears for good", 0, 1, fractions, one(func(m *m) *float64 { return &m.Strain.Held })},
		{"friction", "", "friction of the sheet on itself", 0, 10, plain, one(func(m *m) *float64 { return &m.Friction })},
		length("sheet-width", "width of the sheet", 0, 100000, func(m *m) *float64 { return &m.Sheet.Width }),
		length("sheet-height", "height of the sheet", 0, 100000, func(m *m) *float64 { return &m.Sheet.Height }),
		length("sheet-margin", "what is left free along each edge", 0, 10000, func(m *m) *float64 { return &m.Sheet.Margin }),
		{"price", "", "price of one sheet, in the material's currency", 0, 1e9, plain, one(func(m *m) *float64 { return &m.Sheet.Price })},
		{"speed-cut", "mm/s", "cutting speed", 0, 1e5, speeds, one(func(m *m) *float64 { return &m.Speeds.Cut })},
		{"speed-score", "mm/s", "scoring speed", 0, 1e5, speeds, one(func(m *m) *float64 { return &m.Speeds.Score })},
		{"speed-engrave", "mm/s", "engraving speed", 0, 1e5, speeds, one(func(m *m) *float64 { return &m.Speeds.Engrave })},
		{"picture-opacity", "", "opacity in pictures", 0.01, 1, fractions, one(func(m *m) *float64 { return &m.Opacity })},
	}
}

// FindField returns the field of that name; the error names the nearest.
func FindField(name string) (Field, error) {
	names := make([]string, 0, len(fields))
	for _, f := range fields {
		if f.Name == name {
			return f, nil
		}
		names = append(names, f.Name)
	}
	return Field{}, fmt.Errorf("a material has no field %q; %s", name, written.Hint(name, names))
}

// fields is Fields once and for all; nothing changes it.
var fields = Fields()

// Value returns the figure; where the field stands for both directions it is
// the mean of both.
func (f Field) Value(m layers.Material) float64 {
	sum, ps := 0.0, f.of(&m)
	for _, p := range ps {
		sum += *p
	}
	return sum / float64(len(ps))
}

// With returns m with the figure changed to v, in the field's unit, and source
// as where it comes from. A new thickness or kerf replaces the mean only. The
// date and set-up at which a kerf was measured go when the kerf changes.
func (f Field) With(m layers.Material, v float64, source string) (layers.Material, error) {
	if err := f.check(v); err != nil {
		return layers.Material{}, err
	}
	for _, p := range f.of(&m) {
		*p = v
	}
	if f.Name == "kerf" || f.Name == "kerf-x" || f.Name == "kerf-y" {
		m.Kerf.Date, m.Kerf.At = "", ""
	}
	if group, parts := f.group(); group != "" {
		for _, p := range parts { // they may have had their source from the group
			m = m.WithSource(m.Source(p), p)
		}
		m = m.WithSource("the mean of "+strings.Join(parts, " and "), group)
	}
	return m.WithSource(source, f.covers()...), nil
}

// group returns the field that stands for f and another one, and both of them;
// "" where there is none.
func (f Field) group() (name string, parts []string) {
	for _, g := range fields {
		if parts := g.covers()[1:]; slices.Contains(parts, f.Name) {
			return g.Name, parts
		}
	}
	return "", nil
}

// covers returns the name of f, and of the fields that f stands for.
func (f Field) covers() []string {
	switch f.Name {
	case "kerf":
		return []string{"kerf", "kerf-x", "kerf-y"}
	case "kerf-sd":
		return []string{"kerf-sd", "kerf-x-sd", "kerf-y-sd"}
	case "modulus":
		return []string{"modulus", "modulus-along", "modulus-across"}
	}
	return []string{f.Name}
}

// Parse returns the figure that text gives, in the field's unit: as in a
// materials file, with or without a unit.
func (f Field) Parse(text string) (float64, error) {
	var v float64
	var err error
	if f.units == nil {
		v, err = written.Length(text)
	} else {
		v, err = written.Quantity(text, f.units)
	}
	if err != nil {
		return 0, fmt.Errorf("%s: %w", f.Name, err)
	}
	return v, f.check(v)
}

func (f Field) check(v float64) error {
	if math.IsNaN(v) || v < f.Least || v > f.Most {
		unit := ""
		if f.Unit != "" {
			unit = " " + f.Unit
		}
		return fmt.Errorf("%s: expected %g to %g%s, found %g", f.Name, f.Least, f.Most, unit, v)
	}
	return nil
}

// Names returns the names that Set takes for lib, sorted: every field of every
// material, "birch ply 3.thickness".
func Names(lib layers.Library) []string {
	var out []string
	for _, name := range lib.Names() {
		for _, f := range fields {
			out = append(out, name+"."+f.Name)
		}
	}
	slices.Sort(out)
	return out
}

// Split takes a name apart into the material and the field, at its last full
// stop; no field has one. ok is false where there is none.
func Split(name string) (material, field string, ok bool) {
	i := strings.LastIndexByte(name, '.')
	if i < 0 {
		return "", "", false
	}
	return name[:i], name[i+1:], true
}

// find returns the material and the field that name names.
func find(lib layers.Library, name string) (layers.Material, Field, error) {
	material, field, ok := Split(name)
	if !ok {
		return layers.Material{}, Field{}, fmt.Errorf("%q: expected a material and a field of it, %q", name, "birch ply 3.thickness")
	}
	m, err := lib.Find(material)
	if err != nil {
		text := fmt.Sprintf("%q: there is no material %q", name, material)
		if h := written.Hint(material, lib.Names()); h != "" {
			text += "; " + h
		}
		return layers.Material{}, Field{}, fmt.Errorf("%s", text)
	}
	f, err := FindField(field)
	if err != nil {
		return layers.Material{}, Field{}, fmt.Errorf("%q: %w", name, err)
	}
	return m, f, nil
}

// Get returns the figure of that name, "birch ply 3.thickness", in its field's
// unit.
func Get(lib layers.Library, name string) (float64, error) {
	m, f, err := find(lib, name)
	if err != nil {
		return 0, fmt.Errorf("get %w", err)
	}
	return f.Value(m), nil
}

// Set returns a copy of lib in which the figure of that name,
// "birch ply 3.thickness", is v in its field's unit; see [Field.With].
func Set(lib layers.Library, name string, v float64) (layers.Library, error) {
	m, f, err := find(lib, name)
	if err != nil {
		return lib, fmt.Errorf("set %w", err)
	}
	m, err = f.With(m, v, "set for this run")
	if err != nil {
		return lib, fmt.Errorf("set %q: %w", name, err)
	}
	return lib.With(m), nil
}

// SetAll is Set for several figures; names are taken in sorted order, so that
// "kerf" comes before "kerf-x". The error holds all mistakes.
func SetAll(lib layers.Library, figures map[string]float64) (layers.Library, error) {
	var mistakes written.Errors
	for _, name := range slices.Sorted(maps.Keys(figures)) {
		changed, err := Set(lib, name, figures[name])
		if err != nil {
			mistakes = append(mistakes, &written.Error{Message: err.Error()})
			continue
		}
		lib = changed
	}
	return lib, mistakes.Err()
}
