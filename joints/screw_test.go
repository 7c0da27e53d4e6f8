package joints_test

import (
	"math"
	"slices"
	"testing"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/joints/jointtest"
	"github.com/platewright/platewright/layers"
)

func TestScrewPromises(t *testing.T) {
	for _, j := range []joints.Joint{
		joints.Screw{Through: all},
		&joints.Screw{Size: "M4", Through: all, At: layers.Point{X: 20, Y: -5}, Turn: 12, Series: "coarse", Head: "front", Nut: "back"},
		joints.Screw{Size: "M2.5", Through: []string{"middle"}, Head: "back", Nut: "front"},
		joints.Screw{Size: "M7", Through: all},
	} {
		if err := jointtest.Test(j, three("screw", birch(3), acrylic(4), birch(3))); err != nil {
			t.Errorf("%+v:\n%v", j, err)
		}
	}
}

// Clearance holes of ISO 273:1979, fine, medium and coarse series, as quoted at
// engineeringhardware.com/?p=50 and, from M2 and without M2.5, at nbk1560.com
// "Diameter of Clearance Holes and Counterbores for Bolts and Screws".
func TestScrewHolesISO273(t *testing.T) {
	table := map[string][3]float64{
		"M1.6": {1.7, 1.8, 2}, "M2": {2.2, 2.4, 2.6}, "M2.5": {2.7, 2.9, 3.1},
		"M3": {3.2, 3.4, 3.6}, "M4": {4.3, 4.5, 4.8}, "M5": {5.3, 5.5, 5.8},
		"M6": {6.4, 6.6, 7}, "M8": {8.4, 9, 10}, "M10": {10.5, 11, 12},
	}
	for size, holes := range table {
		for i, series := range []string{"fine", "medium", "coarse"} {
			w := joints.Screw{Size: size, Through: all, Series: series}.Realize(three("s", birch(3), birch(3), birch(3)))
			for _, f := range w.Features {
				if b := f.Region.Bounds(); !near(b.Width(), holes[i]) || !near(b.Height(), holes[i]) {
					t.Errorf("%s %s: the hole in %s is %g wide, want %g", size, series, f.Plate, b.Width(), holes[i])
				}
			}
			if len(w.Features) != 3 {
				t.Errorf("%s %s: %d holes, want 3:\n%s", size, series, len(w.Features), w.Findings)
			}
		}
	}
}

// Heads of ISO 7045 (fullerfasteners.com, "ISO 7045 specifications") and nuts of
// ISO 4032:2001 table 1 (engineersedge.com): greatest head diameter and height,
// greatest width across flats and height.
func TestScrewPockets(t *testing.T) {
	table := map[string][4]float64{
		"M1.6": {3.2, 1.3, 3.2, 1.3}, "M2": {4, 1.6, 4, 1.6}, "M2.5": {5, 2.1, 5, 2},
		"M3": {5.6, 2.4, 5.5, 2.4}, "M4": {8, 3.1, 7, 3.2}, "M5": {9.5, 3.7, 8, 4.7},
		"M6": {12, 4.6, 10, 5.2}, "M8": {16, 6, 13, 6.8}, "M10": {20, 7.5, 16, 8.4},
	}
	for size, want := range table {
		w := joints.Screw{Size: size, Through: all, Head: "front", Nut: "back"}.Realize(three("s", birch(1), birch(3), birch(1)))
		if got := removed(w, "front").Bounds().Width(); !near(got, want[0]+1) {
			t.Errorf("%s: the head's pocket is %g wide, want 1 more than %g", size, got, want[0])
		}
		flats := removed(w, "back").Along(layers.Point{}, 30)
		if len(flats) != 1 || math.Abs(flats[0].Len()-want[2]-0.1) > 1e-5 {
			t.Errorf("%s: the nut's pocket is %v across its flats, want 0.1 more than %g", size, flats, want[2])
		}
		if m := measured(t, w, "screw-head-high"); m.Value != 1 || m.Limit != want[1] {
			t.Errorf("%s: the head: %v, want %g", size, m, want[1])
		}
		if m := measured(t, w, "screw-nut-high"); m.Value != 1 || m.Limit != want[3] {
			t.Errorf("%s: the nut: %v, want %g", size, m, want[3])
		}
	}
}

// Nuts' pockets in acrylic have no inside corner sharper than 0.5 mm, and flats
// that still hold the nut.
func TestScrewNutPocketIsRound(t *testing.T) {
	for _, size := range []string{"M1.6", "M2", "M2.5", "M3", "M10"} {
		s := three("s", acrylic(9), acrylic(3), acrylic(3))
		w := joints.Screw{Size: size, Through: all, Nut: "back"}.Realize(s)
		pocket := removed(w, "back")
		if r, at := sharpest(s.Hosts["back"].Plate.Outline.Subtract(pocket)); r < 0.5-1e-6 {
			t.Errorf("%s: an inside corner has radius %g at %v", size, r, at)
		}
		for c := range pocket.Contours() {
			for _, e := range c.Segments {
				if wide := pocket.Bounds().Width(); e.Radius == 0 && e.To.Sub(e.From).Len() < wide/7 {
					t.Errorf("%s: a flat of %g mm is left in a pocket of %g", size, e.To.Sub(e.From).Len(), wide)
				}
			}
		}
	}
}

// Head and nut have room to bear: an M4 has a head of 8 mm over a hole of 4.5,
// and a nut of 7/cos 30° across its corners.
func TestScrewBears(t *testing.T) {
	head, nut, hole := (8-4.5)/2, (7/math.Cos(math.Pi/6)-4.5)/2, 1.0
	for _, tt := range []struct {
		joint               joints.Screw
		back, middle, front float64
	}{
		{joints.Screw{Through: all, Size: "M4"}, nut, hole, head},
		{joints.Screw{Through: all, Size: "M4", Head: "back"}, hole, head, nut},
		{joints.Screw{Through: all, Size: "M4", Nut: "front"}, head, nut, hole},
		{joints.Screw{Through: []string{"middle"}, Size: "M4"}, 0, nut, 0},
	} {
		w := tt.joint.Realize(three("s", birch(2), birch(2), birch(2)))
		for _, f := range w.Features {
			if want := map[string]float64{"back": tt.back, "middle": tt.middle, "front": tt.front}[f.Plate]; !near(f.Margin, want) {
				t.Errorf("%+v: the %s in %s asks for %g, want %g", tt.joint, f.Name, f.Plate, f.Margin, want)
			}
		}
	}
}

// Head, nut and what of the screw stands out of it lie outside of what is held:
// an M3 has a head of 5.6 × 2.4 mm and a nut of 5.5 across its flats and 2.4
// high, and is 12 or 8 mm long here.
func TestScrewBodies(t *testing.T) {
	at := layers.Point{X: 7, Y: -4}
	corners := 5.5 / 2 / math.Cos(math.Pi/6)
	for _, tt := range []struct {
		joint joints.Screw
		want  []joints.Body
	}{
		{joints.Screw{Through: all, At: at}, []joints.Body{{"head", at, 2.8, 9, 11.4}, {"nut", at, corners, -2.4, 0}, {"end", at, 1.6, -3, -2.4}}},
		{joints.Screw{Through: all, At: at, Head: "back"}, []joints.Body{{"head", at, 2.8, 0.6, 3}, {"nut", at, corners, 9, 11.4}, {"end", at, 1.6, 11.4, 13}}},
		{joints.Screw{Through: all, At: at, Nut: "back"}, []joints.Body{{"head", at, 2.8, 9, 11.4}, {"nut", at, 2.75, 0.6, 3}, {"end", at, 1.6, -1, 0.6}}},
	} {
		got := tt.joint.Realize(three("s", birch(3), birch(3), birch(3))).Bodies
		if !slices.EqualFunc(got, tt.want, func(a, b joints.Body) bool {
			return a.Name == b.Name && a.At == b.At && near(a.Radius, b.Radius) && near(a.From, b.From) && near(a.To, b.To)
		}) {
			t.Errorf("%+v:\ngot  %v,\nwant %v", tt.joint, got, tt.want)
		}
	}
}

// A screw reaches through what is held, the nut and one thread more, in the
// next standard length.
func TestScrewLength(t *testing.T) {
	for _, tt := range []struct {
		joint joints.Screw
		mm    float64
		want  string
	}{
		{joints.Screw{Through: all}, 3, "M3 × 12 pan head screw, ISO 7045"},                            // 9 + 2.4 + 0.5 = 11.9
		{joints.Screw{Through: all}, 3.1, "M3 × 16 pan head screw, ISO 7045"},                          // 12.2
		{joints.Screw{Through: all, Head: "front", Nut: "back"}, 3, "M3 × 6 pan head screw, ISO 7045"}, // 5.9
		{joints.Screw{Through: all, Size: "M5", Nut: "front"}, 4, "M5 × 16 pan head screw, ISO 7045"},  // 8 + 4.7 + 0.8 = 13.5
	} {
		w := tt.joint.Realize(three("s", birch(tt.mm), birch(tt.mm), birch(tt.mm)))
		if len(w.Needs) != 2 || w.Needs[0] != (joints.Item{Name: tt.want, Count: 1}) {
			t.Errorf("%+v: needs %v, want %s", tt.joint, w.Needs, tt.want)
		}
	}
}

func TestScrewFindings(t *testing.T) {
	for _, tt := range []struct {
		name         string
		joint        joints.Screw
		mm           float64
		want         []string
		value, limit float64
	}{
		{"well", joints.Screw{Through: all}, 3, nil, 0, 0},
		{"hidden", joints.Screw{Through: all, Head: "back", Nut: "front"}, 3, nil, 0, 0},
		{"unknown size", joints.Screw{Size: "3", Through: all}, 3, []string{"error screw-size"}, 0, 0},
		{"unknown series", joints.Screw{Series: "wide", Through: all}, 3, []string{"error screw-size"}, 0, 0},
		{"head inside", joints.Screw{Through: all, Head: "middle"}, 3, []string{"error screw-order"}, 0, 0},
		{"nut inside", joints.Screw{Through: all, Head: "front", Nut: "middle"}, 3, []string{"error screw-order"}, 0, 0},
		{"nothing held", joints.Screw{Through: []string{"back"}, Head: "back"}, 3, []string{"error screw-order"}, 0, 0},
		{"both in one", joints.Screw{Through: all, Head: "front", Nut: "front"}, 3, []string{"error screw-order"}, 0, 0},
		{"proud", joints.Screw{Through: all, Nut: "back"}, 3, []string{"note screw-proud"}, 1, 0},
		{"thin", joints.Screw{Through: all, Size: "M5", Head: "front"}, 3, []string{"warning screw-head-high"}, 3, 3.7},
		{"long", joints.Screw{Through: all, Size: "M10"}, 18, []string{"error screw-long"}, 63.9, 60},
	} {
		w := tt.joint.Realize(three("s", birch(tt.mm), birch(tt.mm), birch(tt.mm)))
		if got := findings(w); !slices.Equal(got, tt.want) {
			t.Errorf("%s: got %v, want %v", tt.name, got, tt.want)
			continue
		}
		if tt.limit == 0 && tt.value == 0 {
			continue
		}
		if m := w.Findings[0].Measure; m == nil || !near(m.Value, tt.value) || m.Limit != tt.limit {
			t.Errorf("%s: measured %v, want %g against %g", tt.name, m, tt.value, tt.limit)
		}
	}
}
