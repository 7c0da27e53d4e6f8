package stock_test

import (
	"errors"
	"math"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/stock"
	"github.com/platewright/platewright/layers/written"
)

// open reads text as a materials file over the built-in materials.
func open(text string) (layers.Library, error) {
	return stock.Open(fstest.MapFS{"m.yaml": {Data: []byte(text)}}, "m.yaml", stock.Common())
}

func must(t *testing.T, lib layers.Library, name string) layers.Material {
	t.Helper()
	m, err := lib.Find(name)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > 1e-12*math.Max(1, math.Abs(want)) {
		t.Errorf("%s = %v, want %v", what, got, want)
	}
}

func TestOpen(t *testing.T) {
	lib, err := open(`
materials:
  grandchild: {like: walnut, nominal: 4}
  birch ply 3:
    thickness: {readings: [2.81, 2.79 mm, 2830 µm]}
    kerf: {x: 0.18, y: {mean: 0.17, sd: 0.01}, date: 2026-10-02, at: "60 W tube, 2 in lens, 14 mm/s"}
    density: 0.7 g/cm³
    strain: {once: 0.4 %}
    sources: {density: weighed, strain: "own coupon"}
  walnut:
    like: walnut-faced ply 3
    price: 14.5 EUR
    sheet: {width: 24 in, height: 400, margin: 6}
    thickness: 3.3
    speed: {cut: 720 mm/min, engrave: 300}
  oak ply 4:
    kind: plywood
    nominal: 4
    tolerance: {minus: 0.4, plus: 0.3}
    modulus: 9 GPa
    grain: true
    pens: {cut: "#ff0000", inside-cut: "#00FF00"}
    picture: {colour: "#c0a070", opacity: 0.9}
  opal cast acrylic 3: {kerf: 0.16, tolerance: 0.3}
`)
	if err != nil {
		t.Fatal(err)
	}
	common := stock.Common()

	birch := must(t, lib, "birch ply 3")
	near(t, "mean of readings", birch.Thickness.Mean, 2.81)
	near(t, "sd of readings", birch.Thickness.SD, 0.02)
	near(t, "kerf x", birch.Kerf.X.Mean, 0.18)
	near(t, "kerf x sd, kept", birch.Kerf.X.SD, must(t, common, "birch ply 3").Kerf.X.SD)
	near(t, "kerf y", birch.Kerf.Y.Mean, 0.17)
	near(t, "kerf y sd", birch.Kerf.Y.SD, 0.01)
	near(t, "density", birch.Density, 700)
	near(t, "strain", birch.Strain.Once, 0.004)
	near(t, "strain, kept", birch.Strain.Repeated, 0.0021)
	if birch.Kerf.Date != "2026-10-02" || birch.Kerf.At != "60 W tube, 2 in lens, 14 mm/s" {
		t.Errorf("kerf of %q at %q", birch.Kerf.Date, birch.Kerf.At)
	}
	for property, want := range map[string]string{
		"thickness": "given in m.yaml, line 5", "thickness-sd": "given in m.yaml, line 5", "kerf-y": "given in m.yaml, line 6",
		"density": "weighed", "strain-once": "own coupon", "friction": stock.Assumed,
	} {
		if got := birch.Source(property); got != want {
			t.Errorf("source of %s: %q, want %q", property, got, want)
		}
	}

	walnut := must(t, lib, "walnut")
	near(t, "sheet width", walnut.Sheet.Width, 609.6)
	near(t, "price", walnut.Sheet.Price, 14.5)
	near(t, "speed", walnut.Speeds.Cut, 12)
	near(t, "modulus, kept", walnut.Along, must(t, common, "walnut-faced ply 3").Along)
	if walnut.Sheet.Currency != "EUR" || walnut.Kind != layers.Plywood || walnut.Name != "walnut" {
		t.Errorf("walnut is %q, %s, in %q", walnut.Name, walnut.Kind, walnut.Sheet.Currency)
	}
	child := must(t, lib, "grandchild")
	near(t, "nominal", child.Nominal, 4)
	near(t, "thickness after a new nominal", child.Thickness.Mean, 4)
	near(t, "price of what it is like", child.Sheet.Price, 14.5)
	if child.Tolerance != (layers.Band{}) || child.Source("tolerance-plus") != stock.Unpublished {
		t.Errorf("tolerance of another thickness is kept: %v", child.Tolerance)
	}

	oak := must(t, lib, "oak ply 4")
	near(t, "thickness of a new one", oak.Thickness.Mean, 4)
	near(t, "modulus across", oak.Across, 9000)
	if !oak.Grain || oak.Pens.Cut != "#ff0000" || oak.Pens.InsideCut != "#00FF00" || oak.Pens.Label == "" || oak.Colour != "#c0a070" || oak.Opacity != 0.9 {
		t.Errorf("oak: %+v", oak)
	}
	near(t, "tolerance", must(t, lib, "opal cast acrylic 3").Tolerance.Minus, 0.3)
	if _, err := common.Find("oak ply 4"); err == nil {
		t.Error("the base library was changed")
	}
	if b := must(t, common, "birch ply 3"); b.Source("density") == "weighed" {
		t.Error("the sources of the base were changed")
	}
}

func TestOpenMistakes(t *testing.T) {
	const head = "materials:\n  birch ply 3:\n    "
	for _, c := range []struct{ name, in, want string }{
		{"empty", "", "m.yaml:1:1: expected a mapping, found an empty file"},
		{"list", "- a\n", "m.yaml:1:1: expected a mapping, found a list"},
		{"no materials", "{}\n", "m.yaml:1:1: materials: expected a mapping from names to materials, found nothing"},
		{"misspelt", "material: {}\n", `m.yaml:1:1: material: there is no field "material"; nearest is "materials"`},
		{"null", "materials:\n", "materials: expected a mapping, found nothing"},
		{"name", "materials:\n  \" a\": {like: mdf 3}\n", `m.yaml:2:3: materials: expected a name of 1 to 100 letters, without =, line breaks or spaces around it, found " a"`},
		{"new", "materials:\n  birhc ply 3: {thickness: 3}\n", `m.yaml:2:3: materials.birhc ply 3: expected kind and nominal, which a new material needs, or like: a material to start from; "birhc ply 3" is not built in; nearest is "birch ply 3"`},
		{"field", head + "thicknes: 3\n", `m.yaml:3:5: materials.birch ply 3.thicknes: there is no field "thicknes"; nearest is "thickness"`},
		{"twice", head + "density: 3\n    density: 4\n", "m.yaml:4:5: density: stands twice; it stands first in line 3"},
		{"like", "materials:\n  a: {like: birch ply}\n", `m.yaml:2:13: materials.a.like: there is no material "birch ply"; nearest is "birch ply 3"`},
		{"like list", "materials:\n  a: {like: [mdf 3]}\n", "materials.a.like: expected text, found a list"},
		{"like in a ring", "materials:\n  a: {like: b}\n  b: {like: a}\n", `m.yaml:3:13: materials.b.like: expected a material that is not itself like "b", found "a"`},
		{"like itself", "materials:\n  a: {like: a}\n", `there is no material "a"; known are amber cast`},
		{"kind", head + "kind: plywod\n", `kind: expected one of plywood, mdf, acrylic, found "plywod"; nearest is "plywood"`},
		{"thickness word", head + "thickness: thick\n", `m.yaml:3:16: materials.birch ply 3.thickness: expected a number, alone or with cm, in, m, mm, um, µm, found "thick"`},
		{"thickness NaN", head + "thickness: .nan\n", `found ".nan"`},
		{"thickness inf", head + "thickness: 1e999\n", "beyond all numbers"},
		{"thickness none", head + "thickness: 0\n", "thickness: expected 0.01 to 1000 mm, found 0"},
		{"thickness list", head + "thickness: [3]\n", "expected a number, alone or with cm, in, m, mm, um, µm, found a list"},
		{"thickness empty", head + "thickness: {}\n", "expected a mean, an sd or readings, found none of them"},
		{"sd", head + "thickness: {sd: -1}\n", "thickness.sd: expected 0 to 100 mm, found -1"},
		{"readings and mean", head + "thickness: {mean: 3, readings: [3]}\n", "expected either readings, or a mean and an sd"},
		{"no readings", head + "thickness: {readings: []}\n", "expected one reading or more, found none"},
		{"reading", head + "thickness: {readings: [2.8, no]}\n", `m.yaml:3:33: materials.birch ply 3.thickness.readings[2]: expected a number`},
		{"reading of nothing", head + "thickness: {readings: [-2]}\n", "readings[1]: expected 0.01 to 1000 mm, found -2"},
		{"readings not listed", head + "thickness: {readings: 3}\n", "expected a list, found a number"},
		{"nominal", head + "nominal: -3\n", "nominal: expected 0.01 to 1000 mm, found -3"},
		{"tolerance", head + "tolerance: {over: 1}\n", `tolerance.over: there is no field "over"; known are minus, plus`},
		{"kerf both", head + "kerf: {x: 0.1, mean: 0.2}\n", "expected either one width for both directions, or x and y"},
		{"kerf empty", head + "kerf: {}\n", "expected x and y, a mean or readings, found none of them"},
		{"kerf date", head + "kerf: {x: 0.1, date: 2026-02-30}\n", `kerf.date: expected a date as 2026-10-02, found "2026-02-30"`},
		{"kerf large", head + "kerf: 1 in\n", "kerf: expected 0 to 10 mm, found 25.4"},
		{"kerf at", head + "kerf: {x: 0.1, at: [1]}\n", "kerf.at: expected text, found a list"},
		{"density", head + "density: 1 lb\n", `density: expected a number, alone or with g/cm3, g/cm³, kg/m3, kg/m³, found "1 lb"`},
		{"modulus", head + "modulus: {along: 3 psi}\n", "modulus.along: expected a number, alone or with GPa, MPa, N/mm2, N/mm²"},
		{"strain", head + "strain: {once: 2}\n", "strain.once: expected 0 to 1, found 2"},
		{"strain plain", head + "strain: 0.01\n", "strain: expected a mapping, found a number"},
		{"grain", head + "grain: yes\n", `grain: expected true or false, found "yes"`},
		{"sheet", head + "sheet: {width: 600, depth: 3}\n", `sheet.depth: there is no field "depth"; known are height, margin, width`},
		{"price", head + "price: 14,5 EUR\n", `price: expected a number and the three letters of a currency, 14.5 EUR, found "14,5 EUR"`},
		{"price alone", head + "price: 14.5\n", `price: expected a number and the three letters`},
		{"price negative", head + "price: -1 EUR\n", "price: expected 0 to 1e+09, found -1"},
		{"colour", head + "pens: {cut: red}\n", `pens.cut: expected a colour in quotes, "#1a2b3c", found "red"`},
		{"colour unquoted", head + "picture:\n      colour: #ffffff\n", `picture.colour: expected a colour in quotes, "#1a2b3c", found ""`},
		{"opacity", head + "picture: {opacity: 0}\n", "picture.opacity: expected 0.01 to 1, found 0"},
		{"source", head + "sources: {kref: me}\n", `sources.kref: there is no field "kref"; nearest is "kerf"`},
		{"source list", head + "sources: {kerf: [1]}\n", "sources.kerf: expected text, found a list"},
	} {
		lib, err := open(c.in)
		var at *written.Error
		if !errors.As(err, &at) || at.File != "m.yaml" || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error\n%v\nwant\n%s", c.name, err, c.want)
		}
		if len(lib.Names()) > 0 {
			t.Errorf("%s: a wrong file gives a library", c.name)
		}
	}
	if _, err := stock.Open(fstest.MapFS{}, "gone.yaml", stock.Common()); err == nil || !strings.Contains(err.Error(), "read materials: ") || !strings.Contains(err.Error(), "gone.yaml") {
		t.Errorf("missing file: %v", err)
	}
	many := "materials:\n" + strings.Repeat("  ", 1)
	many += "{"
	for i := range 1001 {
		many += string(rune('a'+i%26)) + strings.Repeat("x", i/26) + ": {}, "
	}
	if _, err := open(many + "}"); err == nil || !strings.Contains(err.Error(), "expected at most 1000 materials, found 1001") {
		t.Errorf("too many materials: %v", err)
	}
}

func TestOpenReportsAll(t *testing.T) {
	_, err := open(`
materials:
  birch ply 3:
    thickness: {readings: [2.81, x]}
    kerf: {x: 0.18, w: 0.17}
  walnut: {like: walnut ply 3, price: 14.5}
  mdf 3: {density: 0,8}
`)
	const want = `read materials: m.yaml:4:34: materials.birch ply 3.thickness.readings[2]: expected a number, alone or with cm, in, m, mm, um, µm, found "x"
m.yaml:5:21: materials.birch ply 3.kerf.w: there is no field "w"; known are at, date, mean, readings, sd, x, y
m.yaml:6:18: materials.walnut.like: there is no material "walnut ply 3"; nearest is "walnut-faced ply 3"
m.yaml:6:39: materials.walnut.price: expected a number and the three letters of a currency, 14.5 EUR, found "14.5"
m.yaml:7:22: materials.mdf 3.8: there is no field "8"; known are density, friction, grain, kerf, kind, like, modulus, nominal, pens, picture, price, sheet and 5 more`
	if err == nil || err.Error() != want {
		t.Errorf("got\n%v\nwant\n%s", err, want)
	}
}

func FuzzOpen(f *testing.F) {
	for _, s := range []string{
		"materials:\n  birch ply 3: {thickness: {readings: [2.81, 2.79 mm]}, kerf: {x: 0.1, date: 2026-10-02}}\n",
		"materials: {a: {like: b}, b: {like: a}}", "materials: {a: {kind: mdf, nominal: 3, price: 3 EUR, pens: {cut: '#000000'}}}",
		"materials: {a: &x {like: mdf 3, sources: {kerf: me}}, b: *x}", "materials: {mdf 3: {strain: {once: 3 %}, grain: true, modulus: 3 GPa}}",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		lib, err := open(text)
		if err != nil {
			var at *written.Error
			if !errors.As(err, &at) {
				t.Errorf("an error without a place: %v", err)
			}
			return
		}
		for m := range lib.All() {
			if err := m.Question().Err(); err != nil {
				t.Errorf("an accepted file gives a material that makes no sense: %v", err)
			}
		}
	})
}
