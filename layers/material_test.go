package layers

import (
	"math"
	"slices"
	"strings"
	"testing"
)

func TestSpreadOf(t *testing.T) {
	for _, c := range []struct {
		in   []float64
		want Spread
	}{
		{nil, Spread{}},
		{[]float64{2.81}, Spread{Mean: 2.81}},
		{[]float64{2.8, 2.8, 2.8}, Spread{Mean: 2.8}}, // exactly
		// Squares of the differences from 5: 9+1+1+1+0+0+4+16 = 32, over 7.
		{[]float64{2, 4, 4, 4, 5, 5, 7, 9}, Spread{Mean: 5, SD: math.Sqrt(32.0 / 7)}},
	} {
		got := SpreadOf(c.in...)
		if math.Abs(got.Mean-c.want.Mean) > 1e-15 || math.Abs(got.SD-c.want.SD) > 1e-15 {
			t.Errorf("SpreadOf(%v) = %v, want %v", c.in, got, c.want)
		}
	}
}

func TestKerf(t *testing.T) {
	k := Kerf{X: Spread{0.18, 0.02}, Y: Spread{0.16, 0.03}}
	if got := k.Spread(); math.Abs(got.Mean-0.17) > 1e-15 || got.SD != 0.03 {
		t.Errorf("Spread = %v, want the mean of the means and the larger SD", got)
	}
}

func TestMass(t *testing.T) {
	// 100 × 100 × 3 mm is 30 cm³; at 1.19 g/cm³ that is 35.7 g.
	m := Material{Thickness: Spread{Mean: 3}, Density: 1190}
	if got := m.Mass(100 * 100); math.Abs(got-35.7) > 1e-12 {
		t.Errorf("Mass = %v g, want 35.7", got)
	}
}

func TestSources(t *testing.T) {
	m := Material{Sources: map[string]string{"kerf": "a shop's table", "kerf-y": "measured"}}
	for property, want := range map[string]string{"kerf-x": "a shop's table", "kerf-x-sd": "a shop's table", "kerf-y": "measured", "kerf-y-sd": "measured", "ker": ""} {
		if got := m.Source(property); got != want {
			t.Errorf("%s is from %q, want %q", property, got, want)
		}
	}
	changed := m.WithSource("coupon", "kerf-x", "kerf-y")
	if got := changed.Source("kerf-y") + changed.Source("kerf-x") + changed.Source("kerf"); got != "couponcoupona shop's table" {
		t.Errorf("after WithSource: %q", got)
	}
	if got := m.Source("kerf-x"); got != "a shop's table" {
		t.Errorf("WithSource changed its receiver: %q", got)
	}
	if got := (Material{}).Source("density"); got != "" {
		t.Errorf("source of the zero material: %q", got)
	}
}

func TestLibrary(t *testing.T) {
	var none Library
	if _, err := none.Find("birch"); err == nil || !strings.Contains(err.Error(), "the library is empty") {
		t.Errorf("Find in the zero library: %v", err)
	}
	one := none.With(Material{Name: "mdf", Density: 1}, Material{Name: "birch"})
	two := one.With(Material{Name: "mdf", Density: 2})
	if m, err := one.Find("mdf"); err != nil || m.Density != 1 {
		t.Errorf("With changed its receiver: %v, %v", m.Density, err)
	}
	if m, err := two.Find("mdf"); err != nil || m.Density != 2 {
		t.Errorf("With replaced nothing: %v, %v", m.Density, err)
	}
	if _, err := two.Find("oak"); err == nil || err.Error() != `no material "oak"; known are birch, mdf` {
		t.Errorf("Find of an unknown: %v", err)
	}
	var names []string
	for m := range two.All() {
		names = append(names, m.Name)
	}
	if !slices.Equal(names, []string{"birch", "mdf"}) || !slices.Equal(names, two.Names()) {
		t.Errorf("All yields %v, Names gives %v", names, two.Names())
	}
	if len(none.Names()) != 0 {
		t.Errorf("With changed the zero library: %v", none.Names())
	}
}

func TestBrittle(t *testing.T) {
	for _, k := range Kinds() {
		if k.Brittle() != (k == Acrylic) {
			t.Errorf("%s: Brittle = %v", k, k.Brittle())
		}
	}
}

// sound is a material that nobody would question.
func sound() Material {
	return Material{
		Name: "ply", Kind: Plywood, Nominal: 3, Thickness: Spread{3.1, 0.05}, Tolerance: Band{0.4, 0.2},
		Kerf: Kerf{X: Spread{0.18, 0.02}, Y: Spread{0.17, 0.02}}, Density: 660, Along: 10000, Across: 5000,
		Strain: Strain{0.0035, 0.002, 0.001}, Friction: 0.4, Sheet: Sheet{Width: 600, Height: 400, Margin: 5, Price: 4, Currency: "EUR"},
		Opacity: 1,
	}
}

func TestQuestion(t *testing.T) {
	if got := sound().Question(); len(got) != 0 {
		t.Errorf("a sound material is questioned:\n%s", got)
	}
	for _, c := range []struct {
		name   string
		change func(m *Material)
		id     string
		cause  string  // part of it
		key    string  // of Remedy.Set; "" where no single slip explains it
		value  float64 // of Remedy.Set
	}{
		{"thickness 30", func(m *Material) { m.Thickness.Mean = 30 }, "thickness-unusual", "slipped to the right", "ply.thickness", 3},
		{"thickness 0.3", func(m *Material) { m.Thickness.Mean = 0.3 }, "thickness-unusual", "slipped to the left", "ply.thickness", 3},
		{"thickness 0.118 in", func(m *Material) { m.Thickness.Mean = 0.118 }, "thickness-unusual", "inches were typed", "ply.thickness", 2.9972},
		{"thickness 3100 µm", func(m *Material) { m.Thickness.Mean = 3100 }, "thickness-unusual", "µm were typed", "ply.thickness", 3.1},
		{"thickness 0.3 of unknown nominal", func(m *Material) { m.Nominal, m.Thickness.Mean = 0, 0.3 }, "thickness-unusual", ", or inches", "", 0},
		{"thickness of another sheet", func(m *Material) { m.Thickness.Mean = 6.5 }, "thickness-off-nominal", "far from the nominal", "", 0},
		{"nominal 30", func(m *Material) { m.Nominal = 30 }, "thickness-unusual", "nominal thickness", "ply.nominal", 3},
		{"kerf half", func(m *Material) { m.Kerf.X.Mean, m.Kerf.Y.Mean = 0.07, 0.07 }, "kerf-unusual", "half the width", "", 0},
		{"kerf 0.015", func(m *Material) { m.Kerf.X.Mean, m.Kerf.Y.Mean = 0.015, 0.015 }, "kerf-unusual", "slipped to the left, or inches", "", 0},
		{"kerf 1.5", func(m *Material) { m.Kerf.X.Mean, m.Kerf.Y.Mean = 1.5, 1.5 }, "kerf-unusual", "slipped to the right", "ply.kerf", 0.15},
		{"kerf 0.007 in", func(m *Material) { m.Kerf.X.Mean, m.Kerf.Y.Mean = 0.007, 0.007 }, "kerf-unusual", "inches", "ply.kerf", 0.1778},
		{"kerf 180 µm", func(m *Material) { m.Kerf.X.Mean, m.Kerf.Y.Mean = 180, 180 }, "kerf-unusual", "µm", "ply.kerf", 0.18},
		{"kerf none", func(m *Material) { m.Kerf = Kerf{} }, "kerf-unusual", "no kerf is given", "", 0},
		{"kerf uneven", func(m *Material) { m.Kerf.X.Mean, m.Kerf.Y.Mean = 0.1, 0.3 }, "kerf-uneven", "twice", "", 0},
		{"density 6", func(m *Material) { m.Density = 6 }, "density-unusual", "factor of a hundred", "ply.density", 600},
		{"density in g/cm³", func(m *Material) { m.Density = 0.66 }, "density-unusual", "g/cm³", "ply.density", 660},
		{"acrylic as light as wood", func(m *Material) { m.Kind, m.Along, m.Across = Acrylic, 3300, 3300 }, "density-unusual", "far from the usual", "", 0},
		{"modulus in GPa", func(m *Material) { m.Along = 10 }, "modulus-unusual", "GPa", "ply.modulus-along", 10000},
		{"modulus in Pa", func(m *Material) { m.Across = 5e9 }, "modulus-unusual", "Pa were", "ply.modulus-across", 5000},
		{"strain in per cent", func(m *Material) { m.Strain.Once = 0.35 }, "strain-unusual", "per cent", "ply.strain-once", 0.0035},
		{"strain order", func(m *Material) { m.Strain.Held = 0.003 }, "strain-order", "for good", "", 0},
		{"friction 4", func(m *Material) { m.Friction = 4 }, "friction-unusual", "to the right", "ply.friction", 0.4},
		{"sheet in cm", func(m *Material) { m.Sheet.Height = 40 }, "sheet-unusual", "cm were typed", "", 0},
		{"sheet all margin", func(m *Material) { m.Sheet.Margin = 200 }, "sheet-unusual", "no room", "", 0},
	} {
		m := sound()
		c.change(&m)
		got := m.Question()
		if len(got) != 1 {
			t.Errorf("%s: %d findings, want 1:\n%s", c.name, len(got), got)
			continue
		}
		f := got[0]
		if f.ID != c.id || f.Severity != Warning || f.Subject != (Subject{"material", "ply"}) || !strings.Contains(f.Cause, c.cause) {
			t.Errorf("%s: got %v, want a warning %s with %q", c.name, f, c.id, c.cause)
		}
		if f.Measure != nil && f.Measure.Margin() > 0 {
			t.Errorf("%s: the measure is good: %v", c.name, f.Measure)
		}
		v, ok := f.Remedy.Set[c.key]
		if ok != (c.key != "") || math.Abs(v-c.value) > 1e-12 || len(f.Remedy.Set) > 1 {
			t.Errorf("%s: remedy sets %v, want %q to %v", c.name, f.Remedy.Set, c.key, c.value)
		}
	}
}

func TestQuestionInvalid(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(m *Material)
		id     string
	}{
		{"thickness 0", func(m *Material) { m.Thickness.Mean = 0 }, "thickness-invalid"},
		{"thickness -3", func(m *Material) { m.Thickness.Mean = -3 }, "thickness-invalid"},
		{"thickness NaN", func(m *Material) { m.Thickness.Mean = math.NaN() }, "thickness-invalid"},
		{"thickness Inf", func(m *Material) { m.Thickness.Mean = math.Inf(1) }, "thickness-invalid"},
		{"thickness -Inf", func(m *Material) { m.Thickness.Mean = math.Inf(-1) }, "thickness-invalid"},
		{"kerf NaN", func(m *Material) { m.Kerf.Y.Mean = math.NaN() }, "figure-invalid"},
		{"density -1", func(m *Material) { m.Density = -1 }, "figure-invalid"},
		{"price Inf", func(m *Material) { m.Sheet.Price = math.Inf(1) }, "figure-invalid"},
	} {
		m := sound()
		c.change(&m)
		got := m.Question()
		if len(got) != 1 || got[0].ID != c.id || got[0].Severity != Error || got.Err() == nil {
			t.Errorf("%s: got\n%s want one error %s", c.name, got, c.id)
		}
	}
	if got := (Material{}).Question(); len(got) != 1 || got[0].ID != "thickness-invalid" {
		t.Errorf("the zero material: %s", got)
	}
}

func TestQuestionThinCast(t *testing.T) {
	// ISO 7823-1 lets 2 mm cast sheet be 1.4 to 2.6 mm thick, which is farther
	// off than a quarter of its nominal thickness.
	m := sound()
	m.Nominal, m.Thickness.Mean, m.Tolerance = 2, 1.42, Band{0.6, 0.6}
	if got := m.Question(); len(got) != 0 {
		t.Errorf("a sheet within its standard is questioned:\n%s", got)
	}
}
