package layers

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// slip is a way in which a figure comes to be typed wrong.
type slip struct {
	cause string  // completes "…, as if "
	times float64 // what the typed figure has to be multiplied by
}

var (
	tooSmall = slip{"the decimal point slipped to the left", 10}
	tooLarge = slip{"the decimal point slipped to the right", 0.1}
	inches   = slip{"inches were typed for mm", 25.4}
	halved   = slip{"half the width were typed, what one side loses", 2}
	microns  = slip{"µm were typed for mm", 1e-3}
	grams    = slip{"g/cm³ were typed for kg/m³", 1000}
	giga     = slip{"GPa were typed for MPa", 1000}
	pascals  = slip{"Pa were typed for MPa", 1e-6}
	percent  = slip{"per cent were typed for a fraction", 0.01}
)

// usual is a figure of a material with the range in which such figures lie.
type usual struct {
	id          string
	field       string // as package stock names it
	what        string
	unit        string
	value       float64
	least, most float64
	unknown     bool // 0 means that the figure is not known, and is not questioned
	slips       []slip
}

// Question returns doubts about the figures of m. A figure that makes no sense
// at all (not finite, negative, a thickness of nothing) is an Error; one that is
// far from the usual is a Warning that names the slip which would explain it. A
// warning whose remedy holds an input has exactly one such explanation.
//
// The ids, and when they occur:
//
//	figure-invalid          a figure is negative, infinite or not a number
//	thickness-invalid       the measured thickness is 0 or less, or not a number
//	thickness-unusual       outside 1 to 12 mm
//	thickness-off-nominal   beyond 0.75 to 1.33 times nominal and beyond Tolerance
//	kerf-unusual            full width outside 0.08 to 0.45 mm
//	kerf-uneven             one direction more than twice the other
//	density-unusual         outside what the kind weighs
//	modulus-unusual         outside how stiff the kind is
//	strain-unusual          above 0.03
//	strain-order            held above repeated, or repeated above once
//	friction-unusual        outside 0.1 to 1.2
//	sheet-unusual           a side outside 50 to 3500 mm, or no room between margins
//
// The range of the kerf is what a cutting service publishes for sheet that is
// not metal (testdata/reference/kerf.yaml, KERF-03); the others are our
// judgement of what such sheets are.
func (m Material) Question() Findings {
	invalid := m.invalid()
	if len(invalid) > 0 {
		return invalid.Sorted() // comparing such figures tells nothing
	}
	var out Findings
	for _, u := range m.usuals() {
		if f, ok := m.question(u); ok {
			out = append(out, f)
		}
	}
	return append(out, m.uneven()...).Sorted()
}

// warn returns a Warning about m.
func (m Material) warn(id, cause, remedy string, measure *Measure) Finding {
	return Finding{
		ID: id, Severity: Warning, Subject: Subject{"material", m.Name},
		Measure: measure, Cause: cause, Remedy: Fix{Text: remedy},
	}
}

// invalid returns an Error for each figure that makes no sense.
func (m Material) invalid() Findings {
	var out Findings
	if t := m.Thickness.Mean; !(t > 0) || math.IsInf(t, 0) {
		f := m.warn("thickness-invalid", "the measured thickness is no thickness", "measure the sheet in several places and give the mean", nil)
		f.Severity = Error
		if t <= 0 && !math.IsInf(t, 0) {
			f.Measure = &Measure{Value: t, Limit: 0.1, Sense: AtLeast, Unit: "mm"}
		}
		out = append(out, f)
	}
	for _, figure := range []struct {
		name  string
		value float64
	}{
		{"nominal thickness", m.Nominal}, {"thickness deviation", m.Thickness.SD},
		{"thickness tolerance", m.Tolerance.Minus}, {"thickness tolerance", m.Tolerance.Plus},
		{"kerf in x", m.Kerf.X.Mean}, {"deviation of the kerf in x", m.Kerf.X.SD},
		{"kerf in y", m.Kerf.Y.Mean}, {"deviation of the kerf in y", m.Kerf.Y.SD},
		{"density", m.Density}, {"modulus along the grain", m.Along}, {"modulus across the grain", m.Across},
		{"strain allowed once", m.Strain.Once}, {"strain allowed repeatedly", m.Strain.Repeated}, {"strain allowed for good", m.Strain.Held},
		{"friction", m.Friction}, {"sheet width", m.Sheet.Width}, {"sheet height", m.Sheet.Height}, {"sheet margin", m.Sheet.Margin},
		{"price", m.Sheet.Price}, {"cutting speed", m.Speeds.Cut}, {"scoring speed", m.Speeds.Score}, {"engraving speed", m.Speeds.Engrave},
		{"opacity", m.Opacity},
	} {
		if figure.value >= 0 && !math.IsInf(figure.value, 1) {
			continue
		}
		f := m.warn("figure-invalid", "the "+figure.name+" is negative, infinite or not a number", "give the "+figure.name+" as a plain number from 0 up", nil)
		f.Severity = Error
		out = append(out, f)
	}
	return out
}

// usuals returns the figures of m that have a usual range.
func (m Material) usuals() []usual {
	density, modulus := [2]float64{300, 1400}, [2]float64{500, 20000}
	switch m.Kind {
	case Plywood:
		density, modulus = [2]float64{350, 900}, [2]float64{1000, 20000}
	case MDF:
		density, modulus = [2]float64{500, 1000}, [2]float64{1000, 6000}
	case Acrylic:
		density, modulus = [2]float64{1150, 1250}, [2]float64{1500, 4000}
	}
	thickness := []slip{tooSmall, tooLarge, inches, microns}
	kerf := []slip{tooSmall, tooLarge, inches, halved, microns}
	stiff := []slip{giga, pascals}
	us := []usual{
		{id: "thickness-unusual", field: "thickness", what: "measured thickness", unit: "mm", value: m.Thickness.Mean, least: 1, most: 12, slips: thickness},
		{id: "density-unusual", field: "density", what: "density", unit: "kg/m³", value: m.Density, least: density[0], most: density[1], unknown: true, slips: []slip{grams, {"a factor of a hundred were lost", 100}, tooSmall, tooLarge}},
		{id: "strain-unusual", field: "strain-once", what: "strain allowed once", value: m.Strain.Once, most: 0.03, slips: []slip{percent}},
		{id: "strain-unusual", field: "strain-repeated", what: "strain allowed repeatedly", value: m.Strain.Repeated, most: 0.03, slips: []slip{percent}},
		{id: "strain-unusual", field: "strain-held", what: "strain allowed for good", value: m.Strain.Held, most: 0.03, slips: []slip{percent}},
		{id: "friction-unusual", field: "friction", what: "friction", value: m.Friction, least: 0.1, most: 1.2, unknown: true, slips: []slip{tooLarge, tooSmall}},
		{id: "sheet-unusual", field: "sheet-width", what: "sheet width", unit: "mm", value: m.Sheet.Width, least: 50, most: 3500, unknown: true, slips: []slip{inches, {"cm were typed for mm", 10}, {"m were typed for mm", 1000}}},
		{id: "sheet-unusual", field: "sheet-height", what: "sheet height", unit: "mm", value: m.Sheet.Height, least: 50, most: 3500, unknown: true, slips: []slip{inches, {"cm were typed for mm", 10}, {"m were typed for mm", 1000}}},
	}
	if m.Nominal > 0 {
		// The nominal thickness tells which slip it was.
		us[0].least = max(1, min(m.Nominal*lowest, m.Nominal-m.Tolerance.Minus))
		us[0].most = min(12, max(m.Nominal*highest, m.Nominal+m.Tolerance.Plus))
		if us[0].least >= us[0].most { // the nominal thickness is the unusual one
			us[0].least, us[0].most = 1, 12
		}
		if m.Thickness.Mean >= 1 && m.Thickness.Mean <= 12 {
			us[0].id = "thickness-off-nominal"
		}
		us = append(us, usual{id: "thickness-unusual", field: "nominal", what: "nominal thickness", unit: "mm", value: m.Nominal, least: 1, most: 12, slips: thickness})
	}
	if m.Along == m.Across {
		us = append(us, usual{id: "modulus-unusual", field: "modulus", what: "modulus", unit: "MPa", value: m.Along, least: modulus[0], most: modulus[1], unknown: true, slips: stiff})
	} else {
		us = append(us,
			usual{id: "modulus-unusual", field: "modulus-along", what: "modulus along the grain", unit: "MPa", value: m.Along, least: modulus[0], most: modulus[1], unknown: true, slips: stiff},
			usual{id: "modulus-unusual", field: "modulus-across", what: "modulus across the grain", unit: "MPa", value: m.Across, least: min(modulus[0], 300), most: modulus[1], unknown: true, slips: stiff})
	}
	if m.Kerf.X.Mean == m.Kerf.Y.Mean {
		return append(us, usual{id: "kerf-unusual", field: "kerf", what: "kerf", unit: "mm", value: m.Kerf.X.Mean, least: 0.08, most: 0.45, slips: kerf})
	}
	return append(us,
		usual{id: "kerf-unusual", field: "kerf-x", what: "kerf in x", unit: "mm", value: m.Kerf.X.Mean, least: 0.08, most: 0.45, slips: kerf},
		usual{id: "kerf-unusual", field: "kerf-y", what: "kerf in y", unit: "mm", value: m.Kerf.Y.Mean, least: 0.08, most: 0.45, slips: kerf})
}

// A sheet farther from its nominal thickness than this, and than its own
// tolerance, is another sheet. The widest published band at 3 mm, that of cast
// acrylic (testdata/reference/thickness.yaml), ends at 0.77 and 1.23.
const lowest, highest = 0.75, 1.33

// question returns the finding about u, if there is one.
func (m Material) question(u usual) (Finding, bool) {
	if u.value >= u.least && u.value <= u.most || u.unknown && u.value == 0 {
		return Finding{}, false
	}
	measure := &Measure{Value: u.value, Limit: u.most, Sense: AtMost, Unit: u.unit}
	if u.value < u.least {
		measure = &Measure{Value: u.value, Limit: u.least, Sense: AtLeast, Unit: u.unit}
	}
	cause := "the " + u.what + " is far from the usual"
	if u.id == "thickness-off-nominal" {
		cause = "the measured thickness is far from the nominal one"
	}
	remedy := "measure again"
	if u.value == 0 {
		cause, remedy = "no "+u.what+" is given", "measure it"
	}
	var fits []slip
	for _, s := range u.slips {
		if v := rounded(u.value * s.times); v >= u.least && v <= u.most && v > 0 {
			fits = append(fits, s)
		}
	}
	if len(fits) > 0 {
		var causes, cures []string
		for _, s := range fits {
			causes = append(causes, s.cause)
			cures = append(cures, fmt.Sprintf("%g", rounded(u.value*s.times)))
		}
		cause += ", as if " + strings.Join(causes, ", or ")
		remedy = "was " + strings.Join(cures, " or ") + " meant? if not, measure again"
	}
	f := m.warn(u.id, cause, remedy, measure)
	if len(fits) == 1 {
		f.Remedy.Set = map[string]float64{m.Name + "." + u.field: rounded(u.value * fits[0].times)}
	}
	return f, true
}

// rounded rounds v to nine significant figures, which hides what multiplying
// by 0.1 leaves behind.
func rounded(v float64) float64 {
	if v == 0 {
		return 0
	}
	scale := math.Pow(10, 8-math.Floor(math.Log10(math.Abs(v))))
	if r := math.Round(v*scale) / scale; !math.IsNaN(r) && !math.IsInf(r, 0) {
		return r
	}
	return v
}

// uneven returns warnings about figures that do not go together.
func (m Material) uneven() Findings {
	var out Findings
	if x, y := m.Kerf.X.Mean, m.Kerf.Y.Mean; x > 0 && y > 0 && max(x, y) > 2*min(x, y) {
		out = append(out, m.warn("kerf-uneven", "the kerf in one direction is more than twice that in the other",
			"measure both again; a beam that is this uneven wants aligning",
			&Measure{Value: max(x, y), Limit: 2 * min(x, y), Sense: AtMost, Unit: "mm"}))
	}
	known := slices.DeleteFunc([]float64{m.Strain.Once, m.Strain.Repeated, m.Strain.Held}, func(s float64) bool { return s == 0 })
	if !slices.IsSortedFunc(known, func(a, b float64) int { return cmp.Compare(b, a) }) {
		out = append(out, m.warn("strain-order", "what may be bent often or for good is bent less than what is bent once",
			"give strain-once, strain-repeated and strain-held in falling order", nil))
	}
	if s := m.Sheet; s.Width > 0 && s.Height > 0 && min(s.Width, s.Height) <= 2*s.Margin {
		out = append(out, m.warn("sheet-unusual", "the margins leave no room on the sheet", "give a smaller margin or the whole size of the sheet",
			&Measure{Value: 2 * s.Margin, Limit: min(s.Width, s.Height), Sense: AtMost, Unit: "mm"}))
	}
	return out
}
