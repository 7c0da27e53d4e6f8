package stock_test

import (
	"errors"
	"math"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"gopkg.in/yaml.v3"

	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/stock"
	"github.com/platewright/platewright/layers/written"
)

func TestCommon(t *testing.T) {
	hex := regexp.MustCompile(`^#[0-9A-F]{6}$`)
	for m := range stock.Common().All() {
		if fs := m.Question(); len(fs) > 0 {
			t.Errorf("%s is questioned:\n%s", m.Name, fs)
		}
		if !slices.Contains(layers.Kinds(), m.Kind) || m.Sheet.Width <= 0 {
			t.Errorf("%s: kind %q, sheet %v", m.Name, m.Kind, m.Sheet)
		}
		pens := []string{m.Pens.Cut, m.Pens.InsideCut, m.Pens.Score, m.Pens.Engrave, m.Pens.Label}
		for _, c := range append(pens, m.Colour) {
			if !hex.MatchString(c) {
				t.Errorf("%s: colour %q", m.Name, c)
			}
		}
		slices.Sort(pens)
		if len(slices.Compact(pens)) != 5 {
			t.Errorf("%s: pens share a colour: %v", m.Name, m.Pens)
		}
		for _, f := range stock.Fields() {
			source, v := m.Source(f.Name), f.Value(m)
			if source == "" {
				t.Errorf("%s: %s has no source", m.Name, f.Name)
			}
			if (source == stock.Unpublished) != (v == 0) {
				t.Errorf("%s: %s = %v by %q", m.Name, f.Name, v, source)
			}
		}
		for _, p := range []string{"kerf", "kerf-x", "kerf-y"} {
			if !strings.HasSuffix(m.Source(p), "measure yours") {
				t.Errorf("%s: %s does not ask to be measured: %q", m.Name, p, m.Source(p))
			}
		}
		if off := m.Thickness.Mean - m.Nominal; off < -m.Tolerance.Minus || off > m.Tolerance.Plus {
			t.Errorf("%s: %v mm is outside %v about %v", m.Name, m.Thickness.Mean, m.Tolerance, m.Nominal)
		}
	}
	a, b := must(t, stock.Common(), "mdf 3"), must(t, stock.Common(), "mdf 3")
	a.Sources["kerf"] = "changed"
	if b.Sources["kerf"] == "changed" {
		t.Error("two libraries share their sources")
	}
}

// reference reads an item of a file of published values.
func reference(t *testing.T, file, id string, into any) {
	t.Helper()
	data, err := os.ReadFile("../../testdata/reference/" + file)
	if err != nil {
		t.Fatal(err)
	}
	var doc struct {
		Items []yaml.Node `yaml:"items"`
	}
	if err := yaml.Unmarshal(data, &doc); err != nil {
		t.Fatal(err)
	}
	for _, n := range doc.Items {
		var item struct {
			ID string `yaml:"id"`
		}
		if err := n.Decode(&item); err != nil {
			t.Fatal(err)
		}
		if item.ID == id {
			if err := n.Decode(into); err != nil {
				t.Fatal(err)
			}
			return
		}
	}
	t.Fatalf("%s holds no %s", file, id)
}

func TestReferenceFiles(t *testing.T) {
	files, err := os.ReadDir("../../testdata/reference")
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]string{}
	for _, f := range files {
		if !strings.HasSuffix(f.Name(), ".yaml") {
			continue
		}
		root, err := written.Open(os.DirFS("../../testdata/reference"), f.Name())
		if err != nil {
			t.Error(err)
			continue
		}
		r := written.Reader{File: f.Name()}
		top, _ := r.Fields(root, "", "about", "items")
		items, _ := r.Items(top.Get("items"), "items")
		for _, n := range items {
			m, _ := r.Fields(n, "items", "id", "about", "given", "expect", "units", "tolerance", "source", "address", "standing", "note")
			id, _ := r.Text(m.Get("id"), "id")
			if seen[id] != "" {
				t.Errorf("%s stands in %s and in %s", id, seen[id], f.Name())
			}
			seen[id] = f.Name()
			r.Text(m.Get("source"), id+".source")
			r.OneOf(m.Get("standing"), id+".standing", "read", "quoted", "computed")
			if !m.Has("expect") {
				t.Errorf("%s: %s expects nothing", f.Name(), id)
			}
		}
		if err := r.Err(); err != nil {
			t.Error(err)
		}
	}
	if len(seen) < 40 {
		t.Errorf("only %d published values", len(seen))
	}
}

// TestThicknessStandards checks the built-in tolerances against the limits of
// ISO 7823-1 and -2 as sheet makers quote them, exactly.
func TestThicknessStandards(t *testing.T) {
	var cast struct {
		Given  struct{ T []float64 }
		Expect struct{ Tol, Min, Max []float64 }
	}
	reference(t, "thickness.yaml", "TOL-PMMA-1", &cast)
	checked := 0
	for m := range stock.Common().All() {
		if !strings.Contains(m.Name, "cast") {
			continue
		}
		i := slices.Index(cast.Given.T, m.Nominal)
		if i < 0 {
			t.Errorf("%s: no published limits for %v mm", m.Name, m.Nominal)
			continue
		}
		near(t, m.Name+": tolerance below", m.Tolerance.Minus, cast.Expect.Tol[i])
		near(t, m.Name+": tolerance above", m.Tolerance.Plus, cast.Expect.Tol[i])
		near(t, m.Name+": thinnest", m.Nominal-m.Tolerance.Minus, cast.Expect.Min[i])
		near(t, m.Name+": thickest", m.Nominal+m.Tolerance.Plus, cast.Expect.Max[i])
		checked++
	}
	if checked < 3 {
		t.Errorf("only %d cast sheets", checked)
	}

	var thick struct {
		Given  struct{ T []float64 }
		Expect struct{ Percent []float64 }
	}
	reference(t, "thickness.yaml", "TOL-PMMA-2", &thick)
	black := must(t, stock.Common(), "black extruded acrylic 3")
	i := slices.Index(thick.Given.T, black.Nominal)
	if i < 0 {
		t.Fatalf("no published limits for extruded %v mm", black.Nominal)
	}
	near(t, "extruded", black.Tolerance.Plus, black.Nominal*thick.Expect.Percent[i]/100)
	near(t, "extruded", black.Tolerance.Minus, black.Nominal*thick.Expect.Percent[i]/100)
}

// TestPlywoodThickness checks the plywood against a mill's datasheet (4 mm) and
// against the formula for sanded sheet, which the mill's table cuts off after
// one decimal.
func TestPlywoodThickness(t *testing.T) {
	var sheet struct {
		Given  struct{ Nominal []float64 }
		Expect struct{ Average, Lower, Upper, Density []float64 }
	}
	reference(t, "thickness.yaml", "MAT-PLY-1", &sheet)
	m := must(t, stock.Common(), "birch ply 4")
	i := slices.Index(sheet.Given.Nominal, m.Nominal)
	near(t, "average", m.Thickness.Mean, sheet.Expect.Average[i])
	near(t, "lower limit", m.Nominal-m.Tolerance.Minus, sheet.Expect.Lower[i])
	near(t, "upper limit", m.Nominal+m.Tolerance.Plus, sheet.Expect.Upper[i])
	near(t, "density", m.Density, sheet.Expect.Density[i])

	var sanded struct {
		Expect struct {
			Plus, Minus struct{ Fixed, Share float64 }
		}
	}
	reference(t, "thickness.yaml", "TOL-PLY-1", &sanded)
	for _, name := range []string{"birch ply 3", "poplar ply 3", "walnut-faced ply 3"} {
		m := must(t, stock.Common(), name)
		near(t, name+": below", m.Tolerance.Minus, sanded.Expect.Minus.Fixed+sanded.Expect.Minus.Share*m.Nominal)
		near(t, name+": above", m.Tolerance.Plus, sanded.Expect.Plus.Fixed+sanded.Expect.Plus.Share*m.Nominal)
	}
}

// TestSheetMass checks Mass against the masses of whole sheets in a mill's
// datasheet, which gives one decimal of a kilogram: 0.05 kg, and 0.01 kg more
// for the density, which is rounded to 5 kg/m³.
func TestSheetMass(t *testing.T) {
	var c struct {
		Given struct {
			Size, T, Density []float64
		}
		Expect struct{ Mass []float64 }
	}
	reference(t, "mass.yaml", "MASS-01", &c)
	for i, thickness := range c.Given.T {
		m := layers.Material{Thickness: layers.Spread{Mean: thickness}, Density: c.Given.Density[i]}
		kg := m.Mass(c.Given.Size[0]*c.Given.Size[1]) / 1000
		if math.Abs(kg-c.Expect.Mass[i]) > 0.06 {
			t.Errorf("%v mm sheet: %v kg, want %v", thickness, kg, c.Expect.Mass[i])
		}
	}
	if len(c.Given.T) != 5 {
		t.Errorf("%d sheets, want 5", len(c.Given.T))
	}
}

func TestPalette(t *testing.T) {
	var c struct{ Expect struct{ Hex []string } }
	reference(t, "palette.yaml", "DRAW-04", &c)
	p := must(t, stock.Common(), "mdf 3").Pens
	for _, pen := range []string{p.Cut, p.InsideCut, p.Score, p.Engrave, p.Label} {
		if !slices.Contains(c.Expect.Hex, pen) {
			t.Errorf("%s is not in the palette %v", pen, c.Expect.Hex)
		}
	}
}

func TestSet(t *testing.T) {
	common := stock.Common()
	lib, err := stock.Set(common, "birch ply 4.thickness", 3.7)
	if err != nil {
		t.Fatal(err)
	}
	m := must(t, lib, "birch ply 4")
	if m.Thickness != (layers.Spread{Mean: 3.7, SD: 0.1}) || m.Source("thickness") != "set for this run" || m.Source("thickness-sd") == "set for this run" {
		t.Errorf("thickness %v by %q", m.Thickness, m.Source("thickness"))
	}
	if got := must(t, common, "birch ply 4").Thickness.Mean; got != 3.8 {
		t.Errorf("Set changed its library: %v", got)
	}
	lib, err = stock.SetAll(lib, map[string]float64{"birch ply 4.kerf-y": 0.15, "birch ply 4.kerf": 0.25})
	if err != nil {
		t.Fatal(err)
	}
	m = must(t, lib, "birch ply 4")
	if m.Kerf.X.Mean != 0.25 || m.Kerf.Y.Mean != 0.15 || m.Kerf.X.SD != 0.02 {
		t.Errorf("kerf %v", m.Kerf)
	}
	for name, want := range map[string]string{
		"thickness":               `expected a material and a field of it, "birch ply 3.thickness"`,
		"birch ply.thickness":     `there is no material "birch ply"; nearest is "birch ply 3"`,
		"birch ply 3.thicknes":    `a material has no field "thicknes"; nearest is "thickness"`,
		"birch ply 3.tickness-sd": `nearest is "thickness-sd"`,
		"birch ply 3.opacity":     `a material has no field "opacity"; nearest is "picture-opacity"`,
	} {
		if _, err := stock.Set(common, name, 1); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("Set(%q): error %v, want one with %q", name, err, want)
		}
		if _, err := stock.Get(common, name); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("Get(%q): error %v, want one with %q", name, err, want)
		}
	}
	for _, v := range []float64{0, -1, math.NaN(), math.Inf(1), math.Inf(-1)} {
		if _, err := stock.Set(common, "mdf 3.thickness", v); err == nil || !strings.Contains(err.Error(), `set "mdf 3.thickness": thickness: expected 0.01 to 1000 mm`) {
			t.Errorf("thickness %v: error %v", v, err)
		}
	}
	_, err = stock.SetAll(common, map[string]float64{"a.kerf": 1, "mdf 3.krf": 1})
	var all written.Errors
	if !errors.As(err, &all) || len(all) != 2 {
		t.Errorf("SetAll reports %v, want both mistakes", err)
	}
}

// TestSetOfOneDirection sets one of two: a figure that stands for both is then
// nobody's but the mean, and the other keeps the source that it had.
func TestSetOfOneDirection(t *testing.T) {
	common := stock.Common()
	for part, c := range map[string]struct{ other, both, mean string }{
		"kerf-x":         {"kerf-y", "kerf", "the mean of kerf-x and kerf-y"},
		"kerf-y-sd":      {"kerf-x-sd", "kerf-sd", "the mean of kerf-x-sd and kerf-y-sd"},
		"modulus-across": {"modulus-along", "modulus", "the mean of modulus-along and modulus-across"},
	} {
		before := must(t, common, "birch ply 3")
		lib, err := stock.Set(common, "birch ply 3."+part, 1)
		if err != nil {
			t.Fatal(err)
		}
		m := must(t, lib, "birch ply 3")
		if m.Source(part) != "set for this run" || m.Source(c.both) != c.mean || m.Source(c.other) != before.Source(c.other) {
			t.Errorf("%s comes from %q, %s from %q, %s from %q", part, m.Source(part), c.both, m.Source(c.both), c.other, m.Source(c.other))
		}
	}
}

func TestEveryField(t *testing.T) {
	common := stock.Common()
	names := stock.Names(common)
	if want := len(common.Names()) * len(stock.Fields()); len(names) != want || !slices.IsSorted(names) {
		t.Errorf("%d names, want %d, sorted", len(names), want)
	}
	for _, f := range stock.Fields() {
		v := f.Least + (min(f.Most, 100)-f.Least)/4
		lib, err := stock.Set(common, "mdf 3."+f.Name, v)
		if err != nil {
			t.Errorf("%s: %v", f.Name, err)
			continue
		}
		if got, err := stock.Get(lib, "mdf 3."+f.Name); err != nil || got != v {
			t.Errorf("%s: got %v, %v back, want %v", f.Name, got, err, v)
		}
		if f.Doc == "" || !slices.Contains(stock.Properties(), f.Name) {
			t.Errorf("%s: doc %q, or not among Properties", f.Name, f.Doc)
		}
		changed := 0
		before, after := must(t, common, "mdf 3"), must(t, lib, "mdf 3")
		for _, g := range stock.Fields() {
			if g.Value(before) != g.Value(after) {
				changed++
			}
		}
		if changed == 0 || changed > 3 {
			t.Errorf("setting %s changes %d fields", f.Name, changed)
		}
	}
}

func TestFieldParse(t *testing.T) {
	for _, c := range []struct {
		field, text string
		want        float64
	}{
		{"thickness", "2.8 mm", 2.8}, {"thickness", "0.11 in", 2.794}, {"density", "0.66 g/cm3", 660},
		{"modulus-along", "10 GPa", 10000}, {"strain-once", "0.8 %", 0.008}, {"speed-cut", "600 mm/min", 10}, {"price", "4.5", 4.5},
	} {
		f, err := stock.FindField(c.field)
		if err != nil {
			t.Fatal(err)
		}
		got, err := f.Parse(c.text)
		if err != nil {
			t.Error(err)
		}
		near(t, c.field+" "+c.text, got, c.want)
	}
	f, err := stock.FindField("thickness")
	if err != nil {
		t.Fatal(err)
	}
	for text, want := range map[string]string{"2.8 kg": `thickness: expected a number, alone or with`, "0": "thickness: expected 0.01 to 1000 mm, found 0"} {
		if _, err := f.Parse(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: error %v, want one with %q", text, err, want)
		}
	}
}

// TestRemedies applies every input that a question about a material proposes:
// the question must go.
func TestRemedies(t *testing.T) {
	applied := 0
	for _, f := range stock.Fields() {
		for _, times := range []float64{0.001, 0.01, 1 / 25.4, 0.1, 0.5, 2, 10, 100, 1000, 1e6} {
			name := "birch ply 4." + f.Name
			v, err := stock.Get(stock.Common(), name)
			if err != nil {
				t.Fatal(err)
			}
			lib, err := stock.Set(stock.Common(), name, v*times)
			if err != nil {
				continue // beyond what is accepted at all
			}
			for _, finding := range must(t, lib, "birch ply 4").Question() {
				if len(finding.Remedy.Set) == 0 {
					continue
				}
				cured, err := stock.SetAll(lib, finding.Remedy.Set)
				if err != nil {
					t.Errorf("%s = %v: the remedy of %s: %v", name, v*times, finding.ID, err)
					continue
				}
				applied++
				for _, left := range must(t, cured, "birch ply 4").Question() {
					if left.ID == finding.ID {
						t.Errorf("%s = %v: after its remedy %v still %v", name, v*times, finding.Remedy.Set, left)
					}
				}
			}
		}
	}
	if applied < 10 {
		t.Errorf("only %d remedies were tried", applied)
	}
}
