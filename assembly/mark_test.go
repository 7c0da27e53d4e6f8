package assembly

import (
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"github.com/platewright/platewright/layers"
)

func TestRunsOf(t *testing.T) {
	frame := layers.Rectangle(40, 40).Subtract(layers.Rectangle(20, 20))
	line := func(xy ...float64) layers.Line {
		var l layers.Line
		for i := 0; i < len(xy); i += 2 {
			l = append(l, layers.Point{X: xy[i], Y: xy[i+1]})
		}
		return l
	}
	for _, test := range []struct {
		name string
		line layers.Line
		want []layers.Line
		off  float64
	}{
		{"inside", line(-15, -15, 15, -15, 15, 15), []layers.Line{line(-15, -15, 15, -15, 15, 15)}, 0},
		{"beyond", line(15, 0, 60, 0), []layers.Line{line(15, 0, 20, 0)}, 40},
		{"outside", line(30, 0, 60, 0, 60, 10), nil, 40},
		{"across the window", line(-30, 0, 30, 0), []layers.Line{line(-20, 0, -10, 0), line(10, 0, 20, 0)}, 40},
		{"along the edge", line(-20, 20, 20, 20), []layers.Line{line(-20, 20, 20, 20)}, 0},
		{"along the window's edge", line(-15, 10, 15, 10), []layers.Line{line(-15, 10, 15, 10)}, 0},
		{"out and in again", line(15, 15, 25, 15, 25, -15, 15, -15), []layers.Line{line(15, 15, 20, 15), line(20, -15, 15, -15)}, 40},
		{"round the corner", line(-30, 15, 15, 15, 15, -30), []layers.Line{line(-20, 15, 15, 15, 15, -20)}, 20},
		{"closed", line(15, 15, -15, 15, -15, 0, 15, 0, 15, 15), []layers.Line{line(10, 0, 15, 0, 15, 15, -15, 15, -15, 0, -10, 0)}, 20},
		{"closed and whole", line(15, 15, -15, 15, -15, -15, 15, -15, 15, 15), []layers.Line{line(15, 15, -15, 15, -15, -15, 15, -15, 15, 15)}, 0},
		{"a stop on the way", line(15, 0, 15, 0, 25, 0), []layers.Line{line(15, 0, 20, 0)}, 5},
		{"a point", line(15, 0), []layers.Line{line(15, 0)}, 0},
		{"nothing", nil, []layers.Line{nil}, 0},
	} {
		t.Run(test.name, func(t *testing.T) {
			off := 0.0
			got := runsOf(test.line, frame, func(from, to layers.Point) { off += to.Sub(from).Len() })
			if !reflect.DeepEqual(got, test.want) || math.Abs(off-test.off) > 1e-9 {
				t.Errorf("got %v and %g mm off, want %v and %g", got, off, test.want, test.off)
			}
		})
	}
}

// What is kept and what is off add up to the line; every run lies on the plate,
// and no piece that is off does.
func TestRunsOfAddUp(t *testing.T) {
	outline := layers.Circle(60).Subtract(layers.Circle(20).Move(layers.Point{X: 8}), layers.Rectangle(12, 7).Rotate(20).Move(layers.Point{X: -15, Y: 12}))
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.Float64Range(-40, 40)
		var line layers.Line
		for range rapid.IntRange(2, 6).Draw(t, "corners") {
			line = append(line, layers.Point{X: at.Draw(t, "x"), Y: at.Draw(t, "y")})
		}
		if rapid.Bool().Draw(t, "closed") {
			line = append(line, line[0])
		}
		length := func(l layers.Line) (mm float64) {
			for i := range max(0, len(l)-1) {
				mm += l[i+1].Sub(l[i]).Len()
			}
			return mm
		}
		sum := 0.0
		inside := func(a, b layers.Point) bool { return outline.Contains(a.Add(b).Mul(0.5)) }
		runs := runsOf(line, outline, func(from, to layers.Point) {
			sum += to.Sub(from).Len()
			if to.Sub(from).Len() > 1e-3 && inside(from, to) {
				t.Errorf("off, but on the plate: %v to %v", from, to)
			}
		})
		for _, r := range runs {
			sum += length(r)
			for i := range len(r) - 1 {
				if r[i+1].Sub(r[i]).Len() > 1e-3 && !inside(r[i], r[i+1]) {
					t.Errorf("kept, but off the plate: %v to %v", r[i], r[i+1])
				}
			}
		}
		if math.Abs(sum-length(line)) > 1e-5 {
			t.Errorf("%g of %g mm", sum, length(line))
		}
	})
}

// The kit's marks are those on the finished plate, and nothing else.
func TestMarked(t *testing.T) {
	outline := layers.Rectangle(80, 50).Subtract(layers.Circle(10))
	inside := layers.Mark{Operation: layers.Engrave, Area: layers.Circle(5).Move(layers.Point{X: 20})}
	kept, lost := marked([]layers.Mark{
		{Operation: layers.Engrave, Area: layers.Circle(200)},
		inside,
		{Operation: layers.Engrave, Area: layers.Circle(9)},
		{Operation: layers.Score, Lines: []layers.Line{{{X: 10}, {X: 20}}, {{X: 50}, {X: 60}}}},
		{Operation: layers.Score, Lines: []layers.Line{{{X: 50}, {X: 60}}}},
	}, outline)
	if len(kept) != 3 || len(lost) != 4 {
		t.Fatalf("%d kept and %d lost, want 3 and 4", len(kept), len(lost))
	}
	if off := kept[0].Area.Xor(outline).Area(); off > 1e-6 {
		t.Errorf("the engraved face is %g mm² off the plate", off)
	}
	if !reflect.DeepEqual(kept[1], inside) {
		t.Error("a mark on the plate changed")
	}
	if want := []layers.Line{{{X: 10}, {X: 20}}}; !reflect.DeepEqual(kept[2].Lines, want) {
		t.Errorf("scored %v, want %v", kept[2].Lines, want)
	}
	for i, all := range []bool{false, true, false, true} {
		if lost[i].all != all || outline.Contains(lost[i].at) {
			t.Errorf("lost %d: %+v", i, lost[i])
		}
	}
}
