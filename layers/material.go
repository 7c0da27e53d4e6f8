package layers

import (
	"fmt"
	"iter"
	"maps"
	"math"
	"slices"
	"strings"
)

// Kind is the family a sheet belongs to. Rules that depend on how a material
// breaks or burns ask the kind.
type Kind string

const (
	Plywood Kind = "plywood"
	MDF     Kind = "mdf"
	Acrylic Kind = "acrylic"
)

// Kinds returns all kinds there are.
func Kinds() []Kind { return []Kind{Plywood, MDF, Acrylic} }

// Brittle reports whether sharp inside corners crack the material.
func (k Kind) Brittle() bool { return k == Acrylic }

// Spread is a measured quantity: its mean and standard deviation, in the
// quantity's own unit. The zero SD means that it is not known or that there is
// none.
type Spread struct{ Mean, SD float64 }

// SpreadOf returns the mean and the sample standard deviation (n − 1) of
// readings; the SD of a single reading is 0.
func SpreadOf(readings ...float64) Spread {
	n := float64(len(readings))
	if n == 0 {
		return Spread{}
	}
	// Differences from the first reading keep equal readings exact.
	var s Spread
	for _, x := range readings {
		s.Mean += (x - readings[0]) / n
	}
	s.Mean += readings[0]
	if n > 1 {
		for _, x := range readings {
			s.SD += (x - s.Mean) * (x - s.Mean) / (n - 1)
		}
		s.SD = math.Sqrt(s.SD)
	}
	return s
}

// Band is how far a quantity may lie from its nominal value: Minus and Plus
// are both positive.
type Band struct{ Minus, Plus float64 }

// Kerf is the full width that the cut takes away, mm: both sides of the line
// together. X is the width measured across cuts that take away in x (the cut
// runs along y), Y the other way.
type Kerf struct {
	X, Y Spread
	Date string // when it was measured, YYYY-MM-DD; "" for never
	At   string // machine, lens, power and speed it was measured at
}

// Mean returns the mean full width over both directions.
func (k Kerf) Mean() float64 { return (k.X.Mean + k.Y.Mean) / 2 }

// Spread returns the mean of both directions with the larger of the two
// deviations.
func (k Kerf) Spread() Spread { return Spread{k.Mean(), math.Max(k.X.SD, k.Y.SD)} }

// Strain is how far a spring arm of the material may be bent, as a fraction of
// length (0.005 is 0.5 %); 0 is not known.
type Strain struct {
	Once     float64 // snapped home one time
	Repeated float64 // opened and closed many times
	Held     float64 // left bent
}

// Sheet is the stock as bought.
type Sheet struct {
	Width, Height float64 // mm
	Margin        float64 // left free along each edge, mm
	Price         float64 // a sheet, in Currency
	Currency      string  // ISO 4217
}

// Speeds are the machine's figures for the material, mm/s; 0 is not known.
type Speeds struct{ Cut, Score, Engrave float64 }

// Pens are the colours that tell the laser's software what a line is, as
// #rrggbb.
type Pens struct{ Cut, InsideCut, Score, Engrave, Label string }

// Material is a sheet as it is measured, not as it is sold. It is a value;
// Sources is shared by copies and must not be written to: use WithSource.
type Material struct {
	Name      string
	Kind      Kind
	Nominal   float64 // thickness it is sold as, mm
	Thickness Spread  // as measured, mm
	Tolerance Band    // published limits about Nominal, mm
	Kerf      Kerf
	Density   float64 // kg/m³
	Along     float64 // modulus along the face grain, MPa; 0 is not known
	Across    float64 // modulus across it, MPa
	Strain    Strain
	Friction  float64 // sheet on the same sheet; 0 is not known
	Grain     bool    // the sheet has a direction, along its longer side
	Sheet     Sheet
	Speeds    Speeds
	Pens      Pens
	Colour    string  // in pictures, #rrggbb
	Opacity   float64 // in pictures, 0 < Opacity ≤ 1

	// Sources tells by property where the figure comes from; see Source.
	Sources map[string]string
}

// Source tells where the figure of the property comes from; "" is not known.
// Properties have the names of package stock's fields. What Sources says of
// "kerf-x" also holds for "kerf-x-sd" where that has no source of its own, and
// what it says of "kerf" for both.
func (m Material) Source(property string) string {
	for {
		if s, ok := m.Sources[property]; ok {
			return s
		}
		i := strings.LastIndexByte(property, '-')
		if i < 0 {
			return ""
		}
		property = property[:i]
	}
}

// WithSource returns a copy of m that gives text as the source of each of the
// properties.
func (m Material) WithSource(text string, properties ...string) Material {
	sources := make(map[string]string, len(m.Sources)+len(properties))
	maps.Copy(sources, m.Sources)
	for _, p := range properties {
		sources[p] = text
	}
	m.Sources = sources
	return m
}

// Mass returns the mass in g of area mm² of the sheet at its measured
// thickness.
func (m Material) Mass(area float64) float64 {
	return area * m.Thickness.Mean * m.Density * 1e-6
}

// Library is a set of materials by name. It is a value: With returns a changed
// copy. The zero Library is empty.
type Library struct{ byName map[string]Material }

// With returns a copy of l that holds ms too, in place of any of the same name.
func (l Library) With(ms ...Material) Library {
	out := make(map[string]Material, len(l.byName)+len(ms))
	maps.Copy(out, l.byName)
	for _, m := range ms {
		out[m.Name] = m
	}
	return Library{out}
}

// Find returns the material of that name.
func (l Library) Find(name string) (Material, error) {
	if m, ok := l.byName[name]; ok {
		return m, nil
	}
	if len(l.byName) == 0 {
		return Material{}, fmt.Errorf("no material %q; the library is empty", name)
	}
	return Material{}, fmt.Errorf("no material %q; known are %s", name, strings.Join(l.Names(), ", "))
}

// Names returns the names of the materials, sorted.
func (l Library) Names() []string { return slices.Sorted(maps.Keys(l.byName)) }

// All yields the materials sorted by name.
func (l Library) All() iter.Seq[Material] {
	return func(yield func(Material) bool) {
		for _, name := range l.Names() {
			if !yield(l.byName[name]) {
				return
			}
		}
	}
}
