package joints_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/joints/flex"
	"github.com/platewright/platewright/joints/jointtest"
	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/stock"
)

var armForms = []flex.Form{flex.Arched, flex.Straight, flex.Tapered}

// stackOf returns a site of one plate a sheet, back to front, and their names;
// the sheets in stock besides can be cut into clips.
func stackOf(besides []layers.Material, sheets ...layers.Material) (s joints.Site, names []string) {
	var hosts []joints.Host
	for i, m := range sheets {
		names = append(names, fmt.Sprintf("plate %d", i+1))
		hosts = append(hosts, jointtest.Flat(names[i], m, layers.Rectangle(60, 40)))
	}
	s = jointtest.Stacked("clip", hosts...)
	s.Stock = s.Stock.With(besides...)
	return s, names
}

// common returns a built-in material.
func common(t testing.TB, name string) layers.Material {
	t.Helper()
	m, err := stock.Common().Find(name)
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func TestSpringClipPromises(t *testing.T) {
	strong := acrylic(3)
	strong.Strain.Once, strong.Friction, strong.Along = 0.008, 0.6, 3300
	two, names := stackOf([]layers.Material{strong}, birch(3), strong)
	four, _ := stackOf([]layers.Material{strong}, birch(3), birch(4), birch(3), birch(4))
	for _, j := range []joints.Joint{
		joints.SpringClip{Through: names},
		&joints.SpringClip{Through: names, At: layers.Point{X: 5, Y: -3}, Turn: 90, Cut: strong.Name, Arm: flex.Straight},
		joints.SpringClip{Through: names, At: layers.Point{X: 5, Y: -3}, Turn: 30, Cut: strong.Name, Arm: flex.Tapered, Taper: 0.9,
			Width: 2.6, Reach: 12, Gap: 1.8, Hook: 0.7, Lead: 40, Allowance: 0.3, Fit: joints.Fit{Class: joints.Slide}},
		joints.SpringClip{Through: names, Radius: 5, Reach: 9, Grip: 7},
	} {
		if err := jointtest.Test(j, two, four); err != nil {
			t.Errorf("%+v:\n%v", j, err)
		}
	}
}

// beyond returns where the clip's outline reaches furthest along its own x at
// heights from lo to hi.
func beyond(outline layers.Region, lo, hi float64) layers.Box {
	band := layers.Rectangle(200, hi-lo).Move(layers.Point{Y: (lo + hi) / 2})
	return outline.Intersect(band).Bounds()
}

// slotWidth returns the width of the slot in a plate along the clip.
func slotWidth(t *rapid.T, s joints.Site, w joints.Work, plate string, j joints.SpringClip) float64 {
	h := s.Hosts[plate]
	spans := h.Plate.Outline.Subtract(removed(w, plate)).Along(j.At, j.Turn)
	for i := range spans[1:] {
		if spans[i].To < 0 && spans[i+1].From > 0 {
			return spans[i+1].From - spans[i].To
		}
	}
	t.Fatalf("no slot in %s", plate)
	return 0
}

// TestSpringClipWorks draws any clip at its default sizes and looks at nothing
// but outlines.
func TestSpringClipWorks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sheet := anySheet("clip sheet").Draw(t, "clip sheet")
		plates := []layers.Material{anySheet("a").Draw(t, "a"), anySheet("b").Draw(t, "b")}
		for range rapid.IntRange(0, 4).Draw(t, "more plates") {
			plates = append(plates, plates[len(plates)-2])
		}
		s, names := stackOf([]layers.Material{sheet}, plates...)
		j := joints.SpringClip{Through: names, Cut: sheet.Name, Arm: rapid.SampledFrom(armForms).Draw(t, "arm"),
			Fit: joints.Fit{Class: rapid.SampledFrom([]joints.Class{joints.Snug, joints.Slide}).Draw(t, "fit")}}
		w := j.Realize(s)
		if len(w.Makes) != 1 || len(w.Springs) != 1 || len(w.Matings) != len(names) {
			t.Fatalf("no clip:\n%s", w.Findings)
		}
		clip, spring := w.Makes[0].Plate.Outline, w.Springs[0]

		// One piece, nothing too thin to last, no sharp inside corner.
		if n := len(clip.Pieces()); n != 1 || clip.Filled().Xor(clip).Area() > 0 {
			t.Fatalf("the clip has %d pieces, or holes", n)
		}
		if mm, at, ok := clip.Web(0.95); ok {
			t.Errorf("the clip is %g mm wide at %v", mm, at)
		}
		least := sheet.Kerf.Mean() / 2
		if sheet.Kind.Brittle() {
			least = 0.5
		}
		if r, at := sharpest(clip); r < least-1e-6 {
			t.Errorf("an inside corner has radius %g at %v, want at least %g", r, at, least)
		}
		// The slit is as wide as the beam and the web rule want.
		if mm, at, ok := clip.Window(2*least - 1e-6); ok {
			t.Errorf("the clip has an opening of %g mm at %v", mm, at)
		}

		// Seated, it touches no plate, and holds them between shoulder and hook.
		z, tightest, front := 0.0, math.Inf(1), 0.0
		for i, name := range names {
			width := slotWidth(t, s, w, name, j)
			b := beyond(clip, z+1e-3, z+plates[i].Thickness.Mean-1e-3)
			if b.Min.X < -width/2 || b.Max.X > width/2 {
				t.Errorf("in %s the clip reaches from %g to %g, but its slot is %g wide", name, b.Min.X, b.Max.X, width)
			}
			z += plates[i].Thickness.Mean
			tightest, front = min(tightest, width), width
		}
		if spring.Held != z || spring.Grip < z+0.1 || spring.Grip > z+1.5 {
			t.Errorf("plates %g high are held %g, gripped %g", z, spring.Held, spring.Grip)
		}
		hook := beyond(clip, spring.Grip, spring.Grip+30)
		shoulder := beyond(clip, -50, 0)
		mid := beyond(clip, spring.Held/2-0.1, spring.Held/2+0.1)
		left, right := tightest/2+mid.Min.X, tightest/2-mid.Max.X // clearances
		if catch := hook.Max.X - left - front/2; catch < 0.6-1e-6 {
			t.Errorf("pushed to the shoulder's end the hook catches by %g mm", catch)
		}
		if rest := -front/2 - shoulder.Min.X - right; rest < 1 {
			t.Errorf("pushed to the hook's end the shoulder rests on %g mm", rest)
		}

		// Bent by the deflection stated, and no less, the hook passes; what it
		// bends into is free.
		if off := hook.Max.X - spring.Deflection - tightest/2; math.Abs(off) > 1e-6 {
			t.Errorf("bent by %g mm the hook stands %g mm off the edge of the slot", spring.Deflection, off)
		}
		part := layers.Rectangle(100, 100).Move(layers.Point{X: 50 + (mid.Min.X+mid.Max.X)/2, Y: 50 + spring.Held})
		bent := clip.Intersect(part).Move(layers.Point{X: -spring.Deflection})
		if mm2, at := clip.Subtract(part).Overlap(bent); mm2 > 0 && at.X < mid.Max.X-spring.Deflection-1.5 {
			t.Errorf("the bent arm meets the rigid leg at %v", at)
		}

		// And comes back through the written formula.
		if spring.Limit == 0 && spring.Strain > 0.0026 {
			t.Errorf("an unknown sheet is strained %g", spring.Strain)
		}
	})
}

// sharpest returns the least radius of the outline's inside corners and where
// it is. A bend of less than 6° is no corner.
func sharpest(r layers.Region) (radius float64, at layers.Point) {
	radius = math.Inf(1)
	for c := range r.Contours() {
		for i, s := range c.Segments {
			if s.Radius > 0 && s.Sweep < 0 && s.Radius < radius {
				radius, at = s.Radius, s.From
			}
			next := c.Segments[(i+1)%len(c.Segments)]
			out, in := tangent(s, s.To), tangent(next, next.From)
			if math.Atan2(out.Cross(in), out.Dot(in)) < -0.1 {
				radius, at = 0, s.To
			}
		}
	}
	return radius, at
}

// tangent returns the way the segment runs at one of its ends.
func tangent(s layers.Segment, at layers.Point) layers.Point {
	if s.Radius == 0 {
		return s.To.Sub(s.From)
	}
	d := at.Sub(s.Centre).Perp()
	if s.Sweep < 0 {
		return d.Mul(-1)
	}
	return d
}
