package assembly

import (
	"math"
	"testing"

	"github.com/platewright/platewright/layers"
)

// Published stack-ups, in the units of their source. Independent errors add in
// the worst case and as root sum square.
func TestCombinePublished(t *testing.T) {
	for _, test := range []struct {
		source     string
		errs       map[string]float64
		worst, rss float64
		tolerance  float64
	}{
		// An article on tolerance stack-up analysis: parts of 2.0 ± 0.005,
		// 1.5 ± 0.003 and 0.5 ± 0.002 in in a housing of 4.02 ± 0.005 in leave
		// a gap of 0.02 ± 0.015, by RSS ± 0.00794; the parts alone ± 0.00616.
		{"four parts of a housing", map[string]float64{"A": 0.005, "B": 0.003, "C": 0.002, "housing": 0.005}, 0.015, 0.00794, 1e-5},
		{"its three parts", map[string]float64{"A": 0.005, "B": 0.003, "C": 0.002}, 0.010, 0.00616, 1e-5},
		// Worked answer to a machine design textbook's problem: 1.500 ± 0.001,
		// 2.000 ± 0.003 and 3.000 ± 0.004 in in a slot of 6.520 ± 0.010 in:
		// worst case 0.018; the RSS value follows by arithmetic.
		{"three parts in a slot", map[string]float64{"a": 0.001, "b": 0.003, "c": 0.004, "d": 0.010}, 0.018, 0.011225, 1e-6},
		// An explanation of RSS analysis: ten equal parts of ± 0.1 mm, worst
		// case 1.0, RSS 0.316 mm.
		{"ten equal parts", map[string]float64{"0": .1, "1": .1, "2": .1, "3": .1, "4": .1, "5": .1, "6": .1, "7": .1, "8": .1, "9": .1}, 1.0, 0.316, 5e-4},
		{"nothing", nil, 0, 0, 0},
	} {
		worst, rss := combine(test.errs)
		if math.Abs(worst-test.worst) > max(test.tolerance, 1e-12) || math.Abs(rss-test.rss) > test.tolerance {
			t.Errorf("%s: worst %.6g, rss %.6g, want %g and %g", test.source, worst, rss, test.worst, test.rss)
		}
	}
}

// Ten sheets of ten materials err like the ten equal parts above; ten sheets of
// one batch err the same way, so that nothing evens out.
func TestColumnOfBatches(t *testing.T) {
	var p Product
	lib := layers.Library{}
	for i := range 10 {
		name := string(rune('a' + i))
		lib = lib.With(layers.Material{Name: name, Thickness: layers.Spread{Mean: 3, SD: 0.1 / sigmas}})
		p.Stack = append(p.Stack, Layer{{Name: name, Material: name, Outline: layers.Rectangle(50, 50)}})
	}
	k, err := p.Build(lib)
	if err != nil {
		t.Fatal(err)
	}
	c := k.Column()
	if len(c.Plates) != 10 || math.Abs(c.Height-30) > 1e-9 || math.Abs(c.Worst-1) > 1e-9 || math.Abs(c.RSS-0.316) > 5e-4 {
		t.Errorf("ten batches: %+v, want 30 + 1.0 or + 0.316", c)
	}
	for i := range p.Stack {
		p.Stack[i][0].Material = "a"
	}
	if k, err = p.Build(lib); err != nil {
		t.Fatal(err)
	}
	if c := k.Column(); math.Abs(c.Worst-1) > 1e-9 || math.Abs(c.RSS-1) > 1e-9 {
		t.Errorf("one batch: %+v, want 30 + 1.0 both ways", c)
	}
}

// A column follows what lies over what, not the layers.
func TestColumnFollowsOverlap(t *testing.T) {
	lib := layers.Library{}.With(
		layers.Material{Name: "thin", Thickness: layers.Spread{Mean: 2, SD: 0.2}},
		layers.Material{Name: "thick", Thickness: layers.Spread{Mean: 5, SD: 0.01}},
	)
	plate := func(name, material string, x, w float64) layers.Plate {
		return layers.Plate{Name: name, Material: material, Outline: layers.Rectangle(w, 20).Move(layers.Point{X: x})}
	}
	// Left: thick on thin. Right: thin, thin, thin. The bridge in front lies
	// over the left end's thick plate only.
	p := Product{Stack: []Layer{
		{plate("l1", "thin", -20, 30), plate("r1", "thin", 20, 30)},
		{plate("l2", "thick", -20, 20), plate("r2", "thin", 20, 20)},
		{plate("r3", "thin", 20, 20)},
		{plate("bridge", "thin", -10, 30)},
	}}
	k, err := p.Build(lib)
	if err != nil {
		t.Fatal(err)
	}
	c := k.Column()
	if want := 2.0 + 5 + 2; c.Height != want || len(c.Plates) != 3 || c.Plates[1] != "l2" {
		t.Errorf("got %+v, want l1, l2 and bridge, %g high", c, want)
	}
	if math.Abs(c.Worst-(2*0.6+0.03)) > 1e-12 || math.Abs(c.RSS-math.Hypot(2*0.6, 0.03)) > 1e-12 {
		t.Errorf("got %+v", c)
	}
	if k.Height() != 2+5+2+2 {
		t.Errorf("the layers stand %g high", k.Height())
	}
}
