package joints_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/joints/jointtest"
	"github.com/platewright/platewright/layers"
)

// disc is a joint's work: a hole in the plate "base" at a place, with a margin.
func disc(at layers.Point, diameter, margin float64) joints.Work {
	return joints.Work{Features: []joints.Feature{{
		Plate: "base", Action: joints.Remove, Name: "hole", Margin: margin,
		Region: layers.Circle(diameter).Move(at),
	}}}
}

// slot is a joint's work: a slot of 12 × 3 in the plate "base", 1 mm from all.
func slot(at layers.Point, turn layers.Degrees) joints.Work {
	w := disc(layers.Point{}, 1, 1)
	w.Features[0].Region = layers.Rectangle(12, 3).Rotate(turn).Move(at)
	return w
}

// opened lets the work's holes run out of the edge.
func opened(w joints.Work) joints.Work {
	w.Features[0].Open = true
	return w
}

func TestRoom(t *testing.T) {
	frame := layers.Rectangle(100, 60).Subtract(layers.Rectangle(40, 20))
	hosts := jointtest.Stacked("", jointtest.Flat("under", birch(3), frame), jointtest.Flat("base", birch(3), frame)).Hosts
	at := func(x, y float64) layers.Point { return layers.Point{X: x, Y: y} }
	tests := []struct {
		name  string
		works map[string]joints.Work
		want  []string
		mm    float64
	}{
		{"alone", map[string]joints.Work{"a": disc(at(40, 20), 4, 2)}, nil, 0},
		{"just enough", map[string]joints.Work{"a": disc(at(46, 20), 4, 2), "b": disc(at(40, 20), 4, 2)}, nil, 0},
		{"near the outer edge", map[string]joints.Work{"a": disc(at(46.5, 20), 4, 2)}, []string{"warning joint-edge"}, 1.5},
		{"near the window", map[string]joints.Work{"a": disc(at(22.5, 0), 4, 2)}, []string{"warning joint-edge"}, 0.5},
		{"over the edge", map[string]joints.Work{"a": disc(at(49, 20), 4, 2)}, []string{"error joint-edge"}, -1},
		{"asks nothing", map[string]joints.Work{"a": disc(at(49, 20), 4, 0)}, nil, 0},
		{"open at the edge", map[string]joints.Work{"a": opened(disc(at(49, 20), 4, 2))}, nil, 0},
		{"open but too near", map[string]joints.Work{"a": opened(disc(at(49, 20), 4, 2)), "b": disc(at(44, 20), 4, 0)}, []string{"warning joint-room"}, 1},
		{"off the plate", map[string]joints.Work{"a": disc(at(400, 20), 4, 2)}, []string{"error joint-edge"}, -352},
		{"in the window", map[string]joints.Work{"a": disc(at(0, 8), 4, 2)}, []string{"error joint-edge"}, -4},
		{"side by side", map[string]joints.Work{"a": disc(at(40, 20), 4, 1), "b": disc(at(35, 20), 4, 2)}, []string{"warning joint-room"}, 1},
		{"in each other", map[string]joints.Work{"a": disc(at(40, 20), 4, 1), "b": disc(at(38, 20), 4, 0)}, []string{"error joint-room"}, -2},
		{"across each other", map[string]joints.Work{"a": slot(at(40, 20), 0), "b": slot(at(41, 20), 90)}, []string{"error joint-room"}, -6.5},
		{"neither minds", map[string]joints.Work{"a": disc(at(40, 20), 4, 0), "b": disc(at(38, 20), 4, 0)}, nil, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			fs := joints.Room(hosts, tt.works)
			if got := findings(joints.Work{Findings: fs}); !slices.Equal(got, tt.want) {
				t.Fatalf("got %v, want %v:\n%s", got, tt.want, fs)
			}
			if len(fs) == 0 {
				return
			}
			tolerance := 1e-5
			if tt.mm < 0 {
				tolerance = 1e-3 // points of arcs stand for them
			}
			if m := fs[0].Measure; math.Abs(m.Value-tt.mm) > tolerance || m.Sense != layers.AtLeast {
				t.Errorf("measured %v, want %g", m, tt.mm)
			}
			if z := fs[0].At[2]; !near(z, 4.5) {
				t.Errorf("reported at height %g, want the middle of the sheet, 4.5", z)
			}
		})
	}
	fs := joints.Room(hosts, tests[10].works)
	related := []layers.Subject{{Kind: "joint", Name: "a"}, {Kind: "plate", Name: "base"}}
	if fs[0].Subject.Name != "b" || !slices.Equal(fs[0].Related, related) {
		t.Errorf("the finding is about %v, related to %v", fs[0].Subject, fs[0].Related)
	}
}

// Room finds exactly the pairs that a comparison of all with all finds.
func TestRoomMissesNoPair(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		place := rapid.Custom(func(t *rapid.T) layers.Point {
			return layers.Point{X: rapid.Float64Range(-45, 45).Draw(t, "x"), Y: rapid.Float64Range(-45, 45).Draw(t, "y")}
		})
		centres := rapid.SliceOfN(place, 2, 40).Draw(t, "centres")
		const margin, diameter = 3.0, 4.0
		works := map[string]joints.Work{}
		want := 0
		for i, c := range centres {
			works[fmt.Sprint(i)] = disc(c, diameter, margin)
			for _, d := range centres[:i] {
				if c.Sub(d).Len() < diameter+margin-1e-6 {
					want++
				}
			}
		}
		hosts := jointtest.Stacked("", jointtest.Flat("base", birch(3), layers.Rectangle(200, 200))).Hosts
		if got := len(joints.Room(hosts, works)); got != want {
			t.Fatalf("%d findings, want %d", got, want)
		}
	})
}

// Ten times the joints may take about ten times as long.
func BenchmarkRoom(b *testing.B) {
	for _, n := range []int{1000, 10000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			side := int(math.Ceil(math.Sqrt(float64(n))))
			works := map[string]joints.Work{}
			for i := range n {
				works[fmt.Sprintf("%06d", i)] = disc(layers.Point{X: float64(i%side) * 10, Y: float64(i/side) * 10}, 4, 2)
			}
			edge := float64(side) * 5
			hosts := jointtest.Stacked("", jointtest.Flat("base", birch(3), layers.Rectangle(10*float64(side)+20, 10*float64(side)+20).Move(layers.Point{X: edge, Y: edge}))).Hosts
			for b.Loop() {
				if fs := joints.Room(hosts, works); len(fs) > 0 {
					b.Fatal(fs[0])
				}
			}
		})
	}
}
