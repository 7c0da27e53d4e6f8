package joints_test

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/joints/jointtest"
	"github.com/platewright/platewright/layers"
)

// seatSite has a frame and two inserts beside each other in one layer, on a
// back plate.
func seatSite(frame layers.Material, inserts ...layers.Material) joints.Site {
	hosts := []joints.Host{jointtest.Flat("frame", frame, layers.Rectangle(120, 100))}
	s := jointtest.Stacked("seat", hosts...)
	for i, m := range inserts {
		name := fmt.Sprintf("insert %d", i+1)
		h := jointtest.Flat(name, m, layers.Rectangle(110, 90))
		h.Pose = layers.Flat(0)
		s.Hosts[name] = h
		s.Stock = s.Stock.With(m)
	}
	return s
}

// windows are shapes of windows with a name for messages.
var windows = map[string]layers.Region{
	"rectangle": layers.Rectangle(60, 40),
	"rounded":   layers.RoundedRectangle(60, 40, 6),
	"circle":    layers.Circle(50),
	"slot":      layers.SlotShape(60, 24),
	"hexagon":   layers.RegularPolygon(6, 50),
	"triangle":  layers.RegularPolygon(3, 60),
	"ell": layers.Polygon(layers.Point{X: -25, Y: -20}, layers.Point{X: 25, Y: -20}, layers.Point{X: 25, Y: 0},
		layers.Point{X: 5, Y: 0}, layers.Point{X: 5, Y: 22}, layers.Point{X: -25, Y: 22}),
}

func TestSeatPromises(t *testing.T) {
	inserts := []string{"insert 1", "insert 2"}
	for name, shape := range windows {
		for _, j := range []joints.Joint{
			joints.Seat{In: "frame", Inserts: inserts, Shape: shape},
			joints.Seat{In: "frame", Inserts: inserts, At: layers.Point{X: 3, Y: -2}, Turn: 20, Shape: shape, Key: 3, KeyAt: 70, Thumb: 8},
			&joints.Seat{In: "frame", Inserts: inserts[:1], At: layers.Point{X: 3, Y: -2}, Turn: 90, Shape: shape, Key: 2.5, Thumb: 6,
				Fit: joints.Fit{Exact: &joints.Play{Along: 0.4}}},
		} {
			s := seatSite(birch(3), acrylic(3), acrylic(3))
			if w := j.Realize(s); len(w.Findings) > 0 {
				t.Errorf("%s, %+v: findings\n%s", name, j, w.Findings)
			}
			if err := jointtest.Test(j, s, seatSite(acrylic(3), birch(3), birch(3))); err != nil {
				t.Errorf("%s:\n%v", name, err)
			}
		}
	}
}

// finishedAt returns the finished outlines.
func finishedAt(s joints.Site, w joints.Work) map[string]layers.Region {
	var plates []layers.Plate
	for _, h := range s.Hosts {
		plates = append(plates, h.Plate)
	}
	for _, m := range w.Makes {
		plates = append(plates, m.Plate)
	}
	out := map[string]layers.Region{}
	for _, p := range joints.Finish(plates, map[string]joints.Work{s.Name: w}) {
		out[p.Name] = p.Outline
	}
	return out
}

// Every insert lies in the window with half the play to spare all round, and
// no other way round.
func TestSeatAllRound(t *testing.T) {
	for name, shape := range windows {
		s := seatSite(birch(3), acrylic(3), birch(3))
		w := joints.Seat{In: "frame", Inserts: []string{"insert 1", "insert 2"}, Shape: shape, Key: 3, KeyAt: 30, Thumb: 7}.Realize(s)
		out := finishedAt(s, w)
		play := w.Matings[0].Gaps[0].Play
		for _, insert := range []string{"insert 1", "insert 2"} {
			if mm, at := layers.Clearance(out["frame"], out[insert]); math.Abs(mm-play/2) > 1e-4 {
				t.Errorf("%s: %s has %g mm to spare at %v, want half of %g", name, insert, mm, at, play)
			}
			for turn := layers.Degrees(30); turn < 360; turn += 30 {
				if mm2, _ := out["frame"].Overlap(out[insert].Rotate(turn)); mm2 < 5 {
					t.Errorf("%s: %s goes in turned by %g°: it overlaps by %g mm² only", name, insert, turn, mm2)
				}
			}
		}
		if d := out["insert 1"].Xor(out["insert 2"]).Area(); d > 1e-3 {
			t.Errorf("%s: the inserts differ by %g mm²", name, d)
		}
	}
}

// Windows of any shape in any sheets keep the play all round.
func TestSeatAnySheet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		names := slices.Sorted(maps.Keys(windows))
		name := rapid.SampledFrom(names).Draw(t, "window")
		s := seatSite(anySheet("a").Draw(t, "frame"), anySheet("b").Draw(t, "insert"))
		j := joints.Seat{
			In: "frame", Inserts: []string{"insert 1"}, Shape: windows[name],
			At:    layers.Point{X: rapid.Float64Range(-5, 5).Draw(t, "x"), Y: rapid.Float64Range(-5, 5).Draw(t, "y")},
			Turn:  layers.Degrees(rapid.Float64Range(-180, 180).Draw(t, "turn")),
			Key:   rapid.SampledFrom([]float64{0, 2, 3.7}).Draw(t, "key"),
			KeyAt: layers.Degrees(rapid.Float64Range(-180, 180).Draw(t, "key at")),
			Thumb: rapid.SampledFrom([]float64{0, 6}).Draw(t, "thumb"),
		}
		w := j.Realize(s)
		if len(w.Matings) != 1 || len(w.Matings[0].Gaps) != 2 {
			t.Fatalf("%s: no two directions:\n%s", name, w.Findings)
		}
		out := finishedAt(s, w)
		for _, g := range w.Matings[0].Gaps {
			if play, err := joints.Measure(g, out["insert 1"], out["frame"], 3); err != nil || math.Abs(play-g.Play) > 1e-5 {
				t.Errorf("%s: play %g measures %g, %v", name, g.Play, play, err)
			}
		}
		play := joints.Fit{Class: joints.Slide}.Play(s.Hosts["insert 1"].Material, s.Hosts["frame"].Material).Along
		if mm, at := layers.Clearance(out["frame"], out["insert 1"]); math.Abs(mm-play/2) > 1e-4 {
			t.Errorf("%s: %g mm to spare at %v, want half of %g", name, mm, at, play)
		}
	})
}

// An insert's own windows do not disturb its seat, even where they lie on the
// lines that measure it.
func TestSeatInsertWithWindows(t *testing.T) {
	s := seatSite(birch(3), acrylic(3))
	h := s.Hosts["insert 1"]
	h.Plate.Outline = h.Plate.Outline.Subtract(layers.Circle(6), layers.Circle(5).Move(layers.Point{X: 12}), layers.Circle(5).Move(layers.Point{X: -18}),
		layers.Circle(5).Move(layers.Point{Y: 14}), layers.Circle(4).Move(layers.Point{X: 45}))
	s.Hosts["insert 1"] = h
	j := joints.Seat{In: "frame", Inserts: []string{"insert 1"}, Shape: layers.Rectangle(60, 40)}
	if w := j.Realize(s); len(w.Findings) > 0 {
		t.Fatalf("findings:\n%s", w.Findings)
	}
	if err := jointtest.Test(j, s); err != nil {
		t.Error(err)
	}
}

func TestSeatFindings(t *testing.T) {
	s := seatSite(birch(3), acrylic(3), acrylic(3.05), acrylic(3.3), acrylic(3), acrylic(3))
	small := s.Hosts["insert 4"]
	small.Plate.Outline = layers.Rectangle(58, 60)
	s.Hosts["insert 4"] = small
	front := s.Hosts["insert 5"]
	front.Layer, front.Pose = 1, layers.Flat(3)
	s.Hosts["insert 5"] = front
	seat := func(change func(*joints.Seat)) joints.Seat {
		j := joints.Seat{In: "frame", Inserts: []string{"insert 1", "insert 2"}, Shape: layers.Rectangle(60, 40)}
		change(&j)
		return j
	}
	for _, tt := range []struct {
		name string
		seat joints.Seat
		want string
		at   [2]float64
	}{
		{"defaults", seat(func(j *joints.Seat) {}), "", [2]float64{}},
		{"same thickness", seat(func(j *joints.Seat) { j.Inserts = j.Inserts[:1] }), "", [2]float64{}},
		{"thick and thin", seat(func(j *joints.Seat) { j.Inserts = append(j.Inserts, "insert 3") }), "warning seat-thickness", [2]float64{0.3, 0.1}},
		{"too small", seat(func(j *joints.Seat) { j.Inserts = []string{"insert 4"} }), "error seat-short, error seat-short", [2]float64{}},
		{"another layer", seat(func(j *joints.Seat) { j.Inserts = []string{"insert 5"} }), "error seat-layer", [2]float64{3, 0.05}},
		{"small key", seat(func(j *joints.Seat) { j.Key = 0.8 }), "error seat-key", [2]float64{0.8, 1}},
		{"key beside the shape", seat(func(j *joints.Seat) { j.Shape, j.Key = j.Shape.Move(layers.Point{X: -40}), 3 }), "error seat-key", [2]float64{}},
		{"thumb beside the shape", seat(func(j *joints.Seat) { j.Shape, j.Thumb = j.Shape.Move(layers.Point{X: 40}), 3 }), "error seat-thumb", [2]float64{}},
		{"pressed", seat(func(j *joints.Seat) { j.Fit.Class = joints.Press }), "error seat-fit", [2]float64{}},
		{"tight", seat(func(j *joints.Seat) { j.Fit.Exact = &joints.Play{} }), "error seat-fit", [2]float64{0, 0.01}},
		{"no shape", seat(func(j *joints.Seat) { j.Shape = layers.Region{} }), "error seat-shape", [2]float64{}},
		{"two shapes", seat(func(j *joints.Seat) { j.Shape = layers.Row(layers.Circle(20), 2, layers.Point{X: 30}) }), "error seat-shape", [2]float64{}},
		{"ring", seat(func(j *joints.Seat) { j.Shape = layers.Circle(40).Subtract(layers.Circle(20)) }), "error seat-shape", [2]float64{}},
		{"broken shape", seat(func(j *joints.Seat) { j.Shape = layers.PathData("M0 0") }), "error seat-shape", [2]float64{}},
		{"neck", seat(func(j *joints.Seat) {
			j.Shape = layers.Rectangle(20, 20).Move(layers.Point{X: -15}).Union(layers.Rectangle(20, 20).Move(layers.Point{X: 15}), layers.Rectangle(20, 0.8))
		}), "error seat-narrow", [2]float64{0.8, 1.18}},
		{"over the edge", seat(func(j *joints.Seat) { j.At.X = 40 }), "error seat-place, error seat-short, error seat-short", [2]float64{}},
		{"no insert", seat(func(j *joints.Seat) { j.Inserts = nil }), "error joint-names", [2]float64{}},
		{"twice", seat(func(j *joints.Seat) { j.Inserts = []string{"insert 1", "insert 1"} }), "error joint-names", [2]float64{}},
		{"negative", seat(func(j *joints.Seat) { j.Key = -1 }), "error joint-value", [2]float64{-1, 0}},
	} {
		w := tt.seat.Realize(s)
		if got := strings.Join(findings(w), ", "); got != tt.want {
			t.Errorf("%s: got %s, want %s\n%s", tt.name, got, tt.want, w.Findings)
			continue
		}
		if tt.at != [2]float64{} {
			m := w.Findings[0].Measure
			if math.Abs(m.Value-tt.at[0]) > 1e-3 || math.Abs(m.Limit-tt.at[1]) > 1e-3 {
				t.Errorf("%s: measures %v, want %v", tt.name, *m, tt.at)
			}
		}
	}
}

// TestDrawSeat draws a seat and its insert apart.
func TestDrawSeat(t *testing.T) {
	var parts []string
	for i, name := range slices.Sorted(maps.Keys(windows)) {
		s := seatSite(birch(3), acrylic(3))
		w := joints.Seat{In: "frame", Inserts: []string{"insert 1"}, Shape: windows[name], Key: 3, KeyAt: 90, Thumb: 8}.Realize(s)
		out := finishedAt(s, w)
		at := layers.Point{X: 65 + 130*float64(i), Y: 55}
		parts = append(parts, picture(out["frame"].Move(at), `fill="#e9d3ae"`), picture(out["insert 1"].Move(at), `fill="#a9c6de"`))
	}
	svg(t, "seats", 130*float64(len(windows)), 110, parts...)
}
