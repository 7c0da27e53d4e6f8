package joints_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/joints/jointtest"
	"github.com/platewright/platewright/layers"
)

// fin is an upright 40 wide and 30 high whose own origin is the middle of its
// lower edge.
var fin = layers.Rectangle(40, 30).Move(layers.Point{Y: 15})

// tabSite has an upright on the front of two plates.
func tabSite(m layers.Material, z float64) joints.Site {
	panel := layers.Rectangle(120, 80)
	return jointtest.Stacked("fin tab",
		jointtest.Flat("base", m, panel), jointtest.Flat("cover", m, panel),
		jointtest.Standing("fin", m, fin, layers.Point{X: 5, Y: -3}, 25, z))
}

// behindSite has an upright hung behind the same plates.
func behindSite(m layers.Material) joints.Site {
	panel := layers.Rectangle(120, 80)
	return jointtest.Stacked("fin tab",
		jointtest.Flat("base", m, panel), jointtest.Flat("cover", m, panel),
		jointtest.Standing("fin", m, fin.Move(layers.Point{Y: -30}), layers.Point{X: 5, Y: -3}, 90, 0))
}

var fullTab = joints.TabSlot{
	Upright: "fin", Through: []string{"base", "cover"},
	At: -4, Width: 12, Proud: 0.5, Relief: 0.4, Fit: joints.Fit{Class: joints.Slide},
}

func TestTabSlotPromises(t *testing.T) {
	for _, j := range []joints.Joint{
		fullTab, &fullTab,
		joints.TabSlot{Upright: "fin", Through: []string{"cover", "base"}},
		joints.TabSlot{Upright: "fin", Through: []string{"cover"}, Length: 2},
		joints.TabSlot{Upright: "fin", Through: []string{"cover", "cover"}},
	} {
		if err := jointtest.Test(j, tabSite(birch(3), 6), behindSite(acrylic(3)), tabSite(birch(3), 6.4)); err != nil {
			t.Errorf("%+v:\n%v", j, err)
		}
	}
}

func TestTabSlotPromisesInAnySheet(t *testing.T) {
	panel := layers.Rectangle(150, 150)
	rapid.Check(t, func(t *rapid.T) {
		base, cover, up := anySheet("a").Draw(t, "base"), anySheet("b").Draw(t, "cover"), anySheet("c").Draw(t, "upright")
		z := base.Thickness.Mean + cover.Thickness.Mean
		s := jointtest.Stacked("tab", jointtest.Flat("base", base, panel), jointtest.Flat("cover", cover, panel),
			jointtest.Standing("fin", up, fin, layers.Point{X: rapid.Float64Range(-20, 20).Draw(t, "x")}, layers.Degrees(rapid.Float64Range(0, 360).Draw(t, "turn")), z))
		j := joints.TabSlot{
			Upright: "fin", Through: []string{"base", "cover"},
			At:    rapid.SampledFrom([]float64{-10, -3.3, 0, 7.123456789, 10}).Draw(t, "at"),
			Width: rapid.SampledFrom([]float64{0, 6, 20}).Draw(t, "width"), // 20: flush with an end at 10
			Proud: rapid.SampledFrom([]float64{0, 1.5}).Draw(t, "proud"),
			Fit:   anyFit().Draw(t, "fit"),
		}
		if w := j.Realize(s); len(w.Findings) > 0 || len(w.Matings) != 2 {
			t.Fatalf("%d matings, findings:\n%s", len(w.Matings), w.Findings)
		}
		if err := jointtest.At(j, s); err != nil {
			t.Fatal(err)
		}
		if n := len(joints.Finish([]layers.Plate{s.Hosts["fin"].Plate}, map[string]joints.Work{"j": j.Realize(s)})[0].Outline.Pieces()); n != 1 {
			t.Fatalf("the upright falls into %d pieces", n)
		}
	})
}

// A tab reaches through the stack as measured, whatever the sheets were sold
// as, and stands proud as asked.
func TestTabSlotLength(t *testing.T) {
	for _, mm := range []float64{2.5, 2.8, 3.2, 4.1, 6.5} {
		for site, edge := range map[*joints.Site]float64{
			ptr(tabSite(birch(mm), 2*mm)): -2*mm - 0.5,
			ptr(behindSite(birch(mm))):    2*mm + 0.5,
		} {
			w := fullTab.Realize(*site)
			plates := joints.Finish([]layers.Plate{site.Hosts["fin"].Plate}, map[string]joints.Work{"j": w})
			b := plates[0].Outline.Bounds()
			if got := map[bool]float64{true: b.Min.Y, false: b.Max.Y}[edge < 0]; !near(got, edge) {
				t.Errorf("%g mm: the tab ends at %g, want %g", mm, got, edge)
			}
			if pieces := plates[0].Outline.Pieces(); len(pieces) != 1 {
				t.Errorf("%g mm: the upright falls into %d pieces", mm, len(pieces))
			}
		}
	}
}

func ptr[T any](v T) *T { return &v }

func TestTabSlotFindings(t *testing.T) {
	slab := func(edit func(*joints.TabSlot)) joints.TabSlot {
		j := fullTab
		edit(&j)
		return j
	}
	tests := []struct {
		name         string
		joint        joints.TabSlot
		z            float64 // of the upright over two 3 mm sheets
		want         []string
		value, limit float64 // of the first finding that is measured
	}{
		{"well", fullTab, 6, nil, 0, 0},
		{"floats", fullTab, 6.4, []string{"error tab-off"}, 0.4, 0.05},
		{"sunk", fullTab, 5.2, []string{"error tab-off"}, 0.8, 0.05},
		{"beyond its end", slab(func(j *joints.TabSlot) { j.At = 23 }), 6, []string{"error tab-off"}, 3, 0},
		{"only one plate named", slab(func(j *joints.TabSlot) { j.Through = []string{"base"} }), 6, []string{"error tab-off"}, 3, 0.05},
		{"too wide", slab(func(j *joints.TabSlot) { j.At, j.Width = 17, 7 }), 6, []string{"error tab-wide"}, 7, 6},
		{"no edge to stand on", joints.TabSlot{Upright: "fin", Through: []string{"base", "cover"}, At: 18}, 6, []string{"error tab-wide"}, 4, 6},
		{"flush with the end", slab(func(j *joints.TabSlot) { j.At, j.Width = 17, 6 }), 6, nil, 0, 0},
		{"no shoulder", slab(func(j *joints.TabSlot) { j.At, j.Width = 0, 38 }), 6, []string{"warning tab-shoulder"}, 0.2, 1},
		{"all of its edge", slab(func(j *joints.TabSlot) { j.At, j.Width = 0, 40 }), 6, []string{"warning tab-shoulder"}, 0, 1},
		{"hardly a shoulder", slab(func(j *joints.TabSlot) { j.At, j.Width = 0, 36.4 }), 6, nil, 0, 0},
		{"a little short", slab(func(j *joints.TabSlot) { j.Length = 5.9 }), 6, []string{"warning tab-short"}, 5.9, 6},
		{"short", slab(func(j *joints.TabSlot) { j.Length = 5 }), 6, []string{"warning tab-short"}, 5, 6},
		{"far too short", slab(func(j *joints.TabSlot) { j.Length = 3 }), 6, []string{"error tab-short"}, 3, 6},
		{"small ears", slab(func(j *joints.TabSlot) { j.Relief = 0.05 }), 6, []string{"warning relief-small", "warning relief-small", "warning relief-small"}, 0, 0},
		{"large ears", slab(func(j *joints.TabSlot) { j.Relief = 1.2 }), 6, []string{"warning relief-large", "warning relief-large"}, 0, 0},
		{"negative", slab(func(j *joints.TabSlot) { j.Width = -1 }), 6, []string{"error joint-value"}, -1, 0},
		{"no opening left", slab(func(j *joints.TabSlot) { j.Fit.Exact = &joints.Play{Across: -3} }), 6, []string{"error joint-value"}, 0, 0},
		{"no plates", slab(func(j *joints.TabSlot) { j.Through = nil }), 6, []string{"error joint-names"}, 0, 0},
		{"wrong kinds", joints.TabSlot{Upright: "base", Through: []string{"fin"}}, 6, []string{"error joint-names", "error joint-names"}, 0, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := tt.joint.Realize(tabSite(birch(3), tt.z))
			if got := findings(w); !slices.Equal(got, tt.want) {
				t.Fatalf("got %v, want %v:\n%s", got, tt.want, w.Findings)
			}
			if tt.limit == 0 && tt.value == 0 {
				return
			}
			if m := w.Findings[0].Measure; m == nil || !near(m.Value, tt.value) || !near(m.Limit, tt.limit) {
				t.Errorf("measured %v, want %g against %g", m, tt.value, tt.limit)
			}
		})
	}
}

// Ears in brittle sheet that are smaller than 0.5 mm are a warning, whether
// asked for or because what goes in is thin.
func TestReliefSmallInBrittleSheet(t *testing.T) {
	for _, tt := range []struct {
		fin, base layers.Material
		relief    float64
		want      []float64 // radius of each ear warned of
	}{
		{birch(3), acrylic(3), 0, nil},
		{birch(3), acrylic(3), 0.5, nil},
		{birch(3), acrylic(3), 0.49, []float64{0.49, 0.49}},
		{birch(3), birch(3), 0.1, nil},
		{acrylic(3), birch(3), 0.1, []float64{0.1}}, // the shoulders
		{birch(1.7), acrylic(3), 0, nil},
		{birch(1.6), acrylic(3), 0, []float64{0.48, 0.48}},
		{birch(1.6), birch(3), 0, nil},
	} {
		s := tabSite(tt.base, 6)
		fin := s.Hosts["fin"]
		fin.Material, fin.Plate.Material = tt.fin, tt.fin.Name
		s.Hosts["fin"] = fin
		w := joints.TabSlot{Upright: "fin", Through: []string{"cover", "base"}, Relief: tt.relief}.Realize(s)
		var got []float64
		for _, f := range w.Findings {
			if f.ID != "relief-small" || f.Severity != layers.Warning || f.Measure.Limit != 0.5 {
				t.Errorf("%+v: %s", tt, f)
			}
			got = append(got, f.Measure.Value)
		}
		if !slices.EqualFunc(got, tt.want, near) {
			t.Errorf("%s in %s, relief %g: ears of %v are warned of, want %v", tt.fin.Name, tt.base.Name, tt.relief, got, tt.want)
		}
	}
}

// The default ears follow the sheet: half the kerf and 0.1 in wood, 0.5 in
// acrylic, so that no inside corner is sharper.
func TestTabSlotRelief(t *testing.T) {
	for _, tt := range []struct {
		sheet  layers.Material
		radius float64
	}{{birch(3), 0.18}, {acrylic(3), 0.5}} {
		j := joints.TabSlot{Upright: "fin", Through: []string{"cover", "base"}}
		w := j.Realize(tabSite(tt.sheet, 6))
		arcs := 0
		for _, f := range w.Features {
			for c := range f.Region.Contours() {
				for _, s := range c.Segments {
					if s.Radius > 0 {
						arcs++
						if !near(s.Radius, tt.radius) {
							t.Errorf("%s: an ear of radius %g, want %g", tt.sheet.Name, s.Radius, tt.radius)
						}
					}
				}
			}
		}
		if arcs < 2+4+4 {
			t.Errorf("%s: %d ears, want 10", tt.sheet.Name, arcs)
		}
	}
}
