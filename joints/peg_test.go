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

// three has three panels of the given sheets.
func three(name string, back, middle, front layers.Material) joints.Site {
	panel := layers.Rectangle(120, 80)
	return jointtest.Stacked(name, jointtest.Flat("back", back, panel), jointtest.Flat("middle", middle, panel), jointtest.Flat("front", front, panel))
}

var all = []string{"back", "middle", "front"}

func TestPegPromises(t *testing.T) {
	for _, j := range []joints.Joint{
		joints.Peg{Through: all},
		&joints.Peg{Through: []string{"front", "middle"}, At: layers.Point{X: 10, Y: 4}, Turn: 33, Width: 6, Head: 2, Proud: 1, Cut: "acrylic 4", Fit: joints.Fit{Class: joints.Press}},
		joints.Peg{Through: all, Cut: "brass"},
	} {
		if err := jointtest.Test(j, three("peg", birch(3), acrylic(4), birch(3)), three("peg", acrylic(4), birch(3), acrylic(6))); err != nil {
			t.Errorf("%+v:\n%v", j, err)
		}
	}
}

func TestPegPromisesInAnySheet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := three("peg", anySheet("a").Draw(t, "back"), anySheet("b").Draw(t, "middle"), anySheet("c").Draw(t, "front"))
		j := joints.Peg{
			Through: all, Turn: layers.Degrees(rapid.Float64Range(-180, 180).Draw(t, "turn")),
			Cut: rapid.SampledFrom([]string{"", "b"}).Draw(t, "cut"), Fit: anyFit().Draw(t, "fit"),
		}
		if w := j.Realize(s); len(w.Findings) > 0 || len(w.Matings) != 3 {
			t.Fatalf("%d matings, findings:\n%s", len(w.Matings), w.Findings)
		}
		if err := jointtest.At(j, s); err != nil {
			t.Fatal(err)
		}
	})
}

// The shaft is as long as the stack is thick, whatever the sheets measure, and
// the head lies behind the back.
func TestPegLength(t *testing.T) {
	for _, mm := range []float64{2.5, 2.9, 3.3, 6.5} {
		w := joints.Peg{Through: all, Head: 2, Proud: 0.75}.Realize(three("peg", birch(mm), acrylic(mm), birch(mm)))
		if len(w.Makes) != 1 {
			t.Fatal(w.Findings)
		}
		made := w.Makes[0]
		b := made.Plate.Outline.Bounds()
		if !near(b.Max.Y, 3*mm+0.75) || !near(b.Min.Y, -2) || !near(b.Width(), 3*mm+4) {
			t.Errorf("%g mm: the peg's bounds are %v", mm, b)
		}
		if made.Pose.Origin[2] != 0 || !near(made.Pose.Back, -mm/2) {
			t.Errorf("%g mm: the peg stands at %v", mm, made.Pose)
		}
	}
}

// Where shaft and notch touch there is no slit that the beam could not cut.
func TestPegHasNoSlit(t *testing.T) {
	check := func(t interface{ Errorf(string, ...any) }, m layers.Material) {
		w := joints.Peg{Through: all}.Realize(three("peg", m, m, m))
		peg := w.Makes[0].Plate.Outline
		if mm, at, ok := peg.Window(m.Kerf.Mean()); ok {
			t.Errorf("%s: %g mm wide at %v", m.Name, mm, at)
		}
		if mm, at, ok := peg.Web(1); ok {
			t.Errorf("%s: a web of %g mm at %v", m.Name, mm, at)
		}
		least := m.Kerf.Mean() / 2
		if m.Kind.Brittle() {
			least = 0.5
		}
		if r, at := sharpest(peg); r < least-1e-6 {
			t.Errorf("%s: an inside corner has radius %g at %v", m.Name, r, at)
		}
	}
	for _, mm := range []float64{6.104371868919699, 3.8320992655547643} { // once had one
		check(t, birch(mm))
		check(t, acrylic(mm))
	}
	rapid.Check(t, func(t *rapid.T) { check(t, anySheet("a").Draw(t, "sheet")) })
}

func TestPegFindings(t *testing.T) {
	for _, tt := range []struct {
		name  string
		joint joints.Peg
		want  []string
	}{
		{"well", joints.Peg{Through: all}, nil},
		{"no plates", joints.Peg{}, []string{"error joint-names"}},
		{"one twice", joints.Peg{Through: []string{"back", "back"}}, []string{"error joint-names"}},
		{"hardly a head", joints.Peg{Through: all, Head: 0.4}, []string{"warning peg-head"}},
		{"unknown sheet", joints.Peg{Through: all, Cut: "brass"}, []string{"error joint-material"}},
		{"negative", joints.Peg{Through: all, Head: -1, Proud: math.Inf(-1)}, []string{"error joint-value", "error joint-value"}},
	} {
		w := tt.joint.Realize(three("peg", birch(3), birch(3), birch(3)))
		if got := findings(w); !slices.Equal(got, tt.want) {
			t.Errorf("%s: got %v, want %v", tt.name, got, tt.want)
		}
	}
}
