package joints_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/joints/jointtest"
	"github.com/platewright/platewright/layers"
)

// lapSite has two 100 × 40 uprights whose lower edges lie at height 0 and at
// rise; b crosses a at angle, 10 mm from a's middle.
func lapSite(a, b layers.Material, angle layers.Degrees, rise float64) joints.Site {
	wall := layers.Rectangle(100, 40).Move(layers.Point{Y: 20})
	return jointtest.Stacked("lap",
		jointtest.Standing("a", a, wall, layers.Point{}, 0, 0),
		jointtest.Standing("b", b, wall, layers.Point{X: 10}, angle, rise))
}

func TestCrossLapPromises(t *testing.T) {
	for _, j := range []joints.Joint{
		joints.CrossLap{A: "a", B: "b"},
		&joints.CrossLap{A: "b", B: "a", Share: 0.3, Relief: 0.4, Fit: joints.Fit{Class: joints.Slide}},
		joints.CrossLap{A: "a", B: "a"},
	} {
		err := jointtest.Test(j,
			lapSite(birch(3), acrylic(3), 90, 0), lapSite(birch(3), birch(4), 35, 0), lapSite(birch(3), birch(3), -60, 15),
			lapSite(birch(3), birch(3), 20, 0), lapSite(birch(3), birch(3), 0, 0), lapSite(birch(3), birch(3), 90, 45))
		if err != nil {
			t.Errorf("%+v:\n%v", j, err)
		}
	}
}

func TestCrossLapPromisesInAnySheet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		angle := layers.Degrees(rapid.Float64Range(31, 149).Draw(t, "angle"))
		s := lapSite(anySheet("a").Draw(t, "a"), anySheet("b").Draw(t, "b"), angle, rapid.Float64Range(-10, 10).Draw(t, "rise"))
		j := joints.CrossLap{A: "a", B: "b", Share: joints.Fraction(rapid.Float64Range(0.25, 0.75).Draw(t, "share")), Fit: anyFit().Draw(t, "fit")}
		if w := j.Realize(s); len(w.Findings) > 0 || len(w.Matings) != 2 {
			t.Fatalf("%d matings, findings:\n%s", len(w.Matings), w.Findings)
		}
		if err := jointtest.At(j, s); err != nil {
			t.Fatal(err)
		}
	})
}

// The slots together are as deep as the common height, and as wide as two
// sheets crossing at φ need: t/sin φ + T/tan φ.
func TestCrossLapSlots(t *testing.T) {
	const ta, tb, play = 3.1, 4.2, 0.1
	for _, angle := range []layers.Degrees{90, 60, 30, 135, -45} {
		for _, rise := range []float64{0, 12} {
			s := lapSite(birch(ta), birch(tb), angle, rise)
			j := joints.CrossLap{A: "a", B: "b", Share: 0.25, Relief: 1e-9, Fit: joints.Fit{Exact: &joints.Play{Across: play}}}
			w := j.Realize(s)
			if w.Findings.Err() != nil {
				t.Fatal(w.Findings)
			}
			a, b := removed(w, "a"), removed(w, "b")
			sin, tan := math.Abs(math.Sin(angle.Radians())), math.Abs(math.Tan(angle.Radians()))
			if got, want := a.Bounds().Width(), (tb+play)/sin+ta/tan; math.Abs(got-want) > 1e-5 {
				t.Errorf("%g°: a's slot is %g wide, want %g", float64(angle), got, want)
			}
			if got, want := b.Bounds().Width(), (ta+play)/sin+tb/tan; math.Abs(got-want) > 1e-5 {
				t.Errorf("%g°: b's slot is %g wide, want %g", float64(angle), got, want)
			}
			common := 40 - rise
			if got, want := a.Bounds().Min.Y, 40-0.25*common; math.Abs(got-want) > 1e-5 {
				t.Errorf("rise %g: a's slot goes down to %g, want %g", rise, got, want)
			}
			if got, want := b.Bounds().Max.Y+rise, 40-0.25*common; math.Abs(got-want) > 1e-5 {
				t.Errorf("rise %g: b's slot goes up to %g, want %g", rise, got, want)
			}
			if a.Bounds().Max.Y <= 40 || b.Bounds().Min.Y >= 0 {
				t.Errorf("a slot does not run out of its edge")
			}
		}
	}
}

// Where the two sheets pass each other, neither the one's material nor the
// other's is left: sample the crossing in the horizontal plane.
func TestCrossLapLeavesNoOverlap(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := lapSite(anySheet("a").Draw(t, "a"), anySheet("b").Draw(t, "b"), layers.Degrees(rapid.Float64Range(30, 150).Draw(t, "angle")), 0)
		w := joints.CrossLap{A: "a", B: "b", Fit: joints.Fit{Class: joints.Slide}}.Realize(s)
		plates := joints.Finish([]layers.Plate{s.Hosts["a"].Plate, s.Hosts["b"].Plate}, map[string]joints.Work{"lap": w})
		for _, z := range []float64{1, 19, 21, 39} {
			section := func(i int) layers.Region {
				h := s.Hosts[plates[i].Name]
				var r layers.Region
				for _, span := range plates[i].Outline.Along(layers.Point{Y: z}, 0) {
					r = r.Union(layers.Rectangle(span.Len(), h.Thickness()).Move(layers.Point{X: (span.From + span.To) / 2}))
				}
				u := layers.Point{X: h.Pose.X[0], Y: h.Pose.X[1]}
				return r.Rotate(layers.Degrees(math.Atan2(u.Y, u.X) * 180 / math.Pi)).Move(layers.Point{X: h.Pose.Origin[0], Y: h.Pose.Origin[1]})
			}
			if over, at := section(0).Overlap(section(1)); over > 1e-6 {
				t.Fatalf("at height %g the sheets share %g mm² at %v", z, over, at)
			}
		}
	})
}

func TestCrossLapFindings(t *testing.T) {
	lap := joints.CrossLap{A: "a", B: "b"}
	short := lapSite(birch(3), birch(3), 90, 0) // b ends 4 mm before it reaches a
	b := short.Hosts["b"]
	b.Plate.Outline = layers.Rectangle(50, 40).Move(layers.Point{X: 29, Y: 20})
	short.Hosts["b"] = b
	ending := lapSite(birch(3), birch(3), 90, 0) // a ends in the crossing
	a := ending.Hosts["a"]
	a.Plate.Outline = layers.Rectangle(61, 40).Move(layers.Point{X: -20, Y: 20})
	ending.Hosts["a"] = a
	near := lapSite(birch(3), birch(3), 90, 0) // a ends 1 mm beyond the crossing sheet
	a.Plate.Outline = layers.Rectangle(62.5, 40).Move(layers.Point{X: -19.75 + 1, Y: 20})
	near.Hosts["a"] = a

	tests := []struct {
		name         string
		joint        joints.CrossLap
		site         joints.Site
		want         []string
		value, limit float64
	}{
		{"well", lap, lapSite(birch(3), birch(3), 90, 0), nil, 0, 0},
		{"one above the other", lap, lapSite(birch(3), birch(3), 90, 46), []string{"error lap-miss"}, 6, 0},
		{"too short", lap, short, []string{"error lap-miss"}, 4, 0},
		{"too flat", lap, lapSite(birch(3), birch(3), 24, 0), []string{"error lap-flat"}, 24, 30},
		{"parallel", lap, lapSite(birch(3), birch(3), 180, 0), []string{"error lap-flat"}, 0, 30},
		{"through the end", lap, ending, []string{"error lap-edge"}, -1.025, 1.5},
		{"near the end", lap, near, []string{"warning lap-narrow"}, 0.975, 1.5},
		{"no opening left", joints.CrossLap{A: "a", B: "b", Fit: joints.Fit{Exact: &joints.Play{Across: -3}}}, lapSite(birch(3), birch(4), 90, 0), []string{"error joint-value"}, 0, 0},
		{"no share", joints.CrossLap{A: "a", B: "b", Share: 1}, lapSite(birch(3), birch(3), 90, 0), []string{"error joint-value"}, 0, 0},
		{"one upright", joints.CrossLap{A: "a", B: "a"}, lapSite(birch(3), birch(3), 90, 0), []string{"error joint-names"}, 0, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			w := tt.joint.Realize(tt.site)
			if got := findings(w); !slices.Equal(got, tt.want) {
				t.Fatalf("got %v, want %v:\n%s", got, tt.want, w.Findings)
			}
			if tt.limit == 0 && tt.value == 0 {
				return
			}
			if m := w.Findings[0].Measure; m == nil || math.Abs(m.Value-tt.value) > 1e-5 || m.Limit != tt.limit {
				t.Errorf("measured %v, want %g against %g", m, tt.value, tt.limit)
			}
		})
	}
}
