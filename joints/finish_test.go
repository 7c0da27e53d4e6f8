package joints_test

import (
	"math"
	"testing"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
)

// Everything is added before anything is cut, whatever the joints are called.
func TestFinishOrder(t *testing.T) {
	add := func(r layers.Region) joints.Work {
		return joints.Work{Features: []joints.Feature{{Plate: "p", Action: joints.Add, Region: r}}}
	}
	cut := func(r layers.Region) joints.Work {
		return joints.Work{Features: []joints.Feature{{Plate: "p", Action: joints.Remove, Region: r}}}
	}
	score := joints.Work{Features: []joints.Feature{{Plate: "p", Action: joints.Mark, Mark: layers.Mark{Operation: layers.Score}}}}
	tab, hole := layers.Rectangle(4, 4).Move(layers.Point{X: 10}), layers.Rectangle(2, 2).Move(layers.Point{X: 11})
	plates := []layers.Plate{
		{Name: "p", Outline: layers.Rectangle(20, 20), Marks: []layers.Mark{{Operation: layers.Engrave}}},
		{Name: "q", Outline: layers.Rectangle(5, 5)},
	}
	for _, works := range []map[string]joints.Work{
		{"a": add(tab), "b": cut(hole), "c": score},
		{"b": add(tab), "a": cut(hole), "c": score},
	} {
		got := joints.Finish(plates, works)
		if area := got[0].Outline.Area(); math.Abs(area-(400+8-4)) > 1e-6 {
			t.Errorf("the area is %g, want 404", area)
		}
		if m := got[0].Marks; len(m) != 2 || m[0].Operation != layers.Engrave || m[1].Operation != layers.Score {
			t.Errorf("the marks are %v", m)
		}
		if got[1].Outline.Area() != 25 || got[1].Name != "q" {
			t.Errorf("the other plate changed: %v", got[1])
		}
	}
	if len(plates[0].Marks) != 1 || math.Abs(plates[0].Outline.Area()-400) > 1e-9 {
		t.Error("Finish changed the plates it was given")
	}
}

func TestMeasure(t *testing.T) {
	opening := layers.Rectangle(40, 40).Subtract(layers.Rectangle(10.2, 3.1))
	insert := layers.Rectangle(10, 50)
	sheet := joints.Probe{Sheet: true}
	tests := []struct {
		name string
		gap  joints.Gap
		want float64 // NaN: an error
	}{
		{"along", joints.Gap{}, 0.2},
		{"across", joints.Gap{Opening: joints.Probe{Turn: 90}, Insert: sheet}, 0.1},
		{"off the middle", joints.Gap{Opening: joints.Probe{At: layers.Point{X: 4, Y: 1}}, Insert: joints.Probe{At: layers.Point{X: -4, Y: 20}}}, 0.2},
		// A sheet 3 mm thick passes one of 2 mm at 60° through 3.1 mm.
		{"aslant", joints.Gap{Opening: joints.Probe{Turn: 90}, Insert: sheet, Angle: 60, Depth: 2}, 3.1*math.Sqrt(3)/2 - 1 - 3},
		{"in material", joints.Gap{Opening: joints.Probe{At: layers.Point{Y: 5}}}, math.NaN()},
		{"beside the plate", joints.Gap{Opening: joints.Probe{At: layers.Point{X: 50}}}, math.NaN()},
		{"beside the insert", joints.Gap{Insert: joints.Probe{At: layers.Point{X: 50}}}, math.NaN()},
		{"no opening", joints.Gap{Opening: sheet}, math.NaN()},
	}
	for _, tt := range tests {
		play, err := joints.Measure(tt.gap, insert, opening, 3)
		if (err != nil) != math.IsNaN(tt.want) || err == nil && math.Abs(play-tt.want) > 1e-6 {
			t.Errorf("%s: measured %g, %v; want %g", tt.name, play, err, tt.want)
		}
	}
}
