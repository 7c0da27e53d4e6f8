package joints_test

import (
	"fmt"
	"math"
	"testing"

	_ "pgregory.net/rapid"

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

// uncover returns the finished outlines.
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
