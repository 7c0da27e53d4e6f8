package joints_test

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
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
		if mm, at, ok := clip.Web(1); ok {
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

		// A sheet whose strain nobody knows is bent with care.
		if spring.Limit == 0 && spring.Strain > 0.002 {
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

// ply and plastic are sheets whose figures are known.
func ply(thickness float64) layers.Material {
	m := birch(thickness)
	m.Strain.Once, m.Friction, m.Along, m.Grain = 0.0035, 0.4, 10000, true
	return m
}

func plastic(thickness float64) layers.Material {
	m := acrylic(thickness)
	m.Strain.Once, m.Friction, m.Along = 0.008, 0.6, 3300
	return m
}

// Notches beside the legs of an acrylic clip stay clear of the middle of the
// outermost plates; in thin ones they are small enough to crack.
func TestSpringClipInThinPlates(t *testing.T) {
	for mm, want := range map[float64]string{2.1: "", 2: "warning relief-small"} {
		s, names := stackOf([]layers.Material{plastic(3)}, sheet("back", layers.Plywood, mm), sheet("front", layers.Plywood, 3))
		w := joints.SpringClip{Through: names, Cut: "acrylic 3"}.Realize(s)
		if got := strings.Join(findings(w), ", "); got != want {
			t.Errorf("%g mm: got %s, want %s", mm, got, want)
		}
	}
}

func TestSpringClipFindings(t *testing.T) {
	slippery := plastic(3)
	slippery.Name, slippery.Friction = "slippery", 0.05
	s, names := stackOf([]layers.Material{ply(3), plastic(3), slippery, sheet("mystery", layers.MDF, 3)}, sheet("back", layers.Plywood, 3), sheet("front", layers.Plywood, 3))
	clip := func(material string, change func(*joints.SpringClip)) joints.SpringClip {
		j := joints.SpringClip{Through: names, Cut: material}
		if change != nil {
			change(&j)
		}
		return j
	}
	const wood, glassy = "birch 3", "acrylic 3"
	for _, tt := range []struct {
		name string
		clip joints.SpringClip
		want string // "severity id" of every finding
		at   [2]float64
	}{
		{"defaults", clip(glassy, nil), "", [2]float64{}},
		{"grain", clip(wood, func(j *joints.SpringClip) { j.Radius = 6 }), "", [2]float64{}},
		{"across the grain", clip(wood, func(j *joints.SpringClip) { j.Radius = 4 }), "warning clip-grain", [2]float64{0, 0.2}},
		{"unknown strain", clip("mystery", nil), "warning clip-strain-unknown", [2]float64{}},
		{"short arm", clip(glassy, func(j *joints.SpringClip) { j.Arm, j.Reach = flex.Straight, 3 }), "error clip-strain", [2]float64{0, 0.8}},
		{"grip too small", clip(glassy, func(j *joints.SpringClip) { j.Grip = 5.9 }), "error clip-grip", [2]float64{5.9, 6}},
		{"grip tight", clip(glassy, func(j *joints.SpringClip) { j.Grip = 6.05 }), "warning clip-grip", [2]float64{6.05, 6.1}},
		{"grip loose", clip(glassy, func(j *joints.SpringClip) { j.Grip = 7 }), "warning clip-grip", [2]float64{7, 6.6}},
		{"no hook", clip(glassy, func(j *joints.SpringClip) { j.Hook = 0.1 }), "error clip-hook", [2]float64{0.1, 0.16}},
		{"small hook", clip(glassy, func(j *joints.SpringClip) { j.Hook = 0.3 }), "warning clip-hook", [2]float64{0.3, 0.32}},
		{"narrow gap", clip(glassy, func(j *joints.SpringClip) { j.Gap = 0.7 }), "error clip-gap", [2]float64{0.7, 0}},
		{"sharp gap", clip(glassy, func(j *joints.SpringClip) { j.Gap = 0.9 }), "error clip-gap", [2]float64{0.9, 1}},
		{"narrow arch", clip(glassy, func(j *joints.SpringClip) { j.Radius = 1.5 }), "error clip-arch, error clip-strain", [2]float64{1.5, 0}},
		{"short reach", clip(glassy, func(j *joints.SpringClip) { j.Width, j.Reach, j.Radius = 1.6, 3, 5 }), "error clip-reach", [2]float64{3, 5.8}},
		{"no arm", clip(glassy, func(j *joints.SpringClip) { j.Width = 0.9 }), "error clip-thin", [2]float64{0.9, 1}},
		{"thin arm", clip(glassy, func(j *joints.SpringClip) { j.Width = 1.4 }), "warning clip-thin", [2]float64{1.4, 1.5}},
		{"steep lead-in", clip(glassy, func(j *joints.SpringClip) { j.Lead = 70 }), "error clip-lead", [2]float64{70, 60}},
		{"flat lead-in", clip(glassy, func(j *joints.SpringClip) { j.Lead = 2 }), "error clip-lead", [2]float64{2, 5}},
		{"locked lead-in", clip(glassy, func(j *joints.SpringClip) { j.Lead = 59.9 }), "error clip-lead", [2]float64{59.9, 59.036}},
		{"pressed", clip(glassy, func(j *joints.SpringClip) { j.Fit.Class = joints.Press }), "error clip-fit, error clip-fit", [2]float64{}},
		{"slippery", clip("slippery", nil), "warning clip-slip", [2]float64{0.05, 0}},
		{"beside the plates", clip(glassy, func(j *joints.SpringClip) { j.At.X = 100 }), "error clip-place, error clip-place", [2]float64{}},
		{"over the edge", clip(glassy, func(j *joints.SpringClip) { j.At.X = 28 }), "error clip-place, error clip-place", [2]float64{}},
		{"no plates", joints.SpringClip{}, "error joint-names", [2]float64{}},
		{"unknown sheet", clip("nothing", nil), "error joint-material", [2]float64{}},
		{"negative", clip(glassy, func(j *joints.SpringClip) { j.Gap = -1 }), "error joint-value", [2]float64{-1, 0}},
		{"widening", clip(glassy, func(j *joints.SpringClip) { j.Arm, j.Taper = flex.Tapered, 1.5 }), "error joint-value", [2]float64{1.5, 1}},
	} {
		w := tt.clip.Realize(s)
		if got := strings.Join(findings(w), ", "); got != tt.want {
			t.Errorf("%s: got %s, want %s\n%s", tt.name, got, tt.want, w.Findings)
			continue
		}
		for i, want := range tt.at {
			if want == 0 {
				continue
			}
			m := w.Findings[0].Measure
			if got := [...]float64{m.Value, m.Limit}[i]; math.Abs(got-want) > 1e-3 {
				t.Errorf("%s: measures %v, want %v", tt.name, *m, tt.at)
			}
		}
	}
}

// A hook is worked off by a pull where the friction is less than the limit
// stated, and not where it is more.
func TestSpringClipSlip(t *testing.T) {
	with := func(friction float64) joints.Work {
		sheet := plastic(3)
		sheet.Friction = friction
		s, names := stackOf([]layers.Material{sheet}, birch(3), birch(3))
		return joints.SpringClip{Through: names, Cut: sheet.Name}.Realize(s)
	}
	limit := measured(t, with(0.01), "clip-slip").Limit
	measured(t, with(0.99*limit), "clip-slip")
	if w := with(1.01 * limit); len(w.Findings) > 0 {
		t.Errorf("friction above %g:\n%s", limit, w.Findings)
	}
}

// The remedy of a clip that would break says what to write, and writing it
// helps.
func TestSpringClipRemedy(t *testing.T) {
	s, names := stackOf([]layers.Material{ply(3), plastic(3)}, sheet("back", layers.Plywood, 3), sheet("front", layers.Plywood, 3))
	rapid.Check(t, func(t *rapid.T) {
		j := joints.SpringClip{
			Through: names,
			Cut:     rapid.SampledFrom([]string{"birch 3", "acrylic 3"}).Draw(t, "cut"),
			Arm:     rapid.SampledFrom(armForms).Draw(t, "arm"),
			Width:   rapid.Float64Range(1.5, 3).Draw(t, "width"),
			Hook:    rapid.Float64Range(0.5, 2).Draw(t, "hook"),
		}
		if j.Arm == flex.Arched {
			j.Radius = rapid.Float64Range(3, 6).Draw(t, "radius")
		} else {
			j.Reach = rapid.Float64Range(3, 9).Draw(t, "reach")
		}
		for _, f := range j.Realize(s).Findings {
			if f.ID != "clip-strain" {
				continue
			}
			var strain float64
			fixed := j
			text := f.Remedy.Text
			if n, _ := fmt.Sscanf(text, "arched, radius %g, reach 0: strain %g", &fixed.Radius, &strain); n == 2 {
				fixed.Arm, fixed.Reach = flex.Arched, 0
			} else if n, _ := fmt.Sscanf(text, "arched, radius %g: strain %g", &fixed.Radius, &strain); n == 2 {
				fixed.Arm = flex.Arched
			} else if n, _ := fmt.Sscanf(text, "reach %g: strain %g", &fixed.Reach, &strain); n != 2 {
				t.Fatalf("the remedy %q says nothing to write", text)
			}
			w := fixed.Realize(s)
			if len(w.Springs) != 1 || math.Abs(100*w.Springs[0].Strain-strain) > 0.005+1e-9 || w.Springs[0].Strain > w.Springs[0].Limit {
				t.Fatalf("%q does not help: %+v\n%s", text, w.Springs, w.Findings)
			}
		}
	})
}

// Whatever sizes are asked for, the clip is refused or it is one whole piece.
func TestSpringClipNeverBroken(t *testing.T) {
	s, names := stackOf([]layers.Material{ply(3), plastic(3)}, birch(2.5), birch(4), birch(2.5))
	rapid.Check(t, func(t *rapid.T) {
		size := func(name string, most float64) float64 {
			if rapid.Bool().Draw(t, name+" given") {
				return rapid.Float64Range(0, most).Draw(t, name)
			}
			return 0
		}
		j := joints.SpringClip{
			Through: names[:rapid.IntRange(1, 3).Draw(t, "plates")],
			Cut:     rapid.SampledFrom([]string{"birch 3", "acrylic 3"}).Draw(t, "cut"),
			Arm:     rapid.SampledFrom(armForms).Draw(t, "arm"),
			Width:   size("width", 6), Taper: joints.Fraction(size("taper", 1)), Radius: size("radius", 20), Reach: size("reach", 30),
			Gap: size("gap", 5), Hook: size("hook", 3), Grip: size("grip", 20), Allowance: size("allowance", 3),
			Lead: layers.Degrees(size("lead", 60)),
		}
		w := j.Realize(s)
		if w.Findings.Err() != nil {
			return
		}
		clip := w.Makes[0].Plate.Outline
		if err := clip.Err(); err != nil || len(clip.Pieces()) != 1 || clip.Filled().Xor(clip).Area() > 0 {
			t.Fatalf("%+v: %d pieces, %v", j, len(clip.Pieces()), err)
		}
		if r, at := sharpest(clip); j.Cut == "acrylic 3" && r < 0.5-1e-6 {
			t.Errorf("an inside corner has radius %g at %v", r, at)
		}
		if b := clip.Bounds(); math.Abs(b.Min.Y) > 90 || b.Max.Y > 100 { // a lead-in of 5° is long
			t.Errorf("the clip is out of all proportion: %v", b)
		}
	})
}

// An arm that tapers much bends in at its catch: a corner that acrylic would
// crack from.
func TestSpringClipTaperIsRound(t *testing.T) {
	s, names := stackOf([]layers.Material{plastic(3)}, birch(2.5))
	for _, taper := range []joints.Fraction{0.3, 0.5, 0.97, 1} {
		w := joints.SpringClip{Through: names, Cut: "acrylic 3", Arm: flex.Tapered, Width: 6, Taper: taper}.Realize(s)
		if len(w.Makes) != 1 {
			t.Fatalf("no clip:\n%s", w.Findings)
		}
		if r, at := sharpest(w.Makes[0].Plate.Outline); r < 0.5-1e-6 {
			t.Errorf("taper %g: an inside corner has radius %g at %v", float64(taper), r, at)
		}
	}
}

// A clip of default sizes has an arch that no sheet's grain is too weak for, with
// however many plates.
func TestSpringClipDefaultsKeepTheGrain(t *testing.T) {
	for m := range stock.Common().All() {
		if !m.Grain {
			continue
		}
		var plates []layers.Material
		for range 5 {
			plates = append(plates, m)
			s, names := stackOf([]layers.Material{m}, plates...)
			w := joints.SpringClip{Through: names}.Realize(s)
			if got := findings(w); slices.Contains(got, "warning clip-grain") || len(w.Makes) != 1 {
				t.Errorf("%d plates of %s: %s", len(plates), m.Name, w.Findings)
			}
		}
	}
}

// TestSpringClipStrain recomputes the strain of drawn clips by hand: L from the
// outline's own sizes.
func TestSpringClipStrain(t *testing.T) {
	s, names := stackOf([]layers.Material{plastic(3)}, birch(3), birch(3), birch(3), birch(3))
	play := &joints.Play{Along: 0.1, Across: 0.1}
	for _, tt := range []struct {
		clip joints.SpringClip
		want float64
	}{
		// ε = 1.5·h·δ/L² with h 2, δ 0.65, L 12.1 + 10.
		{joints.SpringClip{Arm: flex.Straight, Width: 2, Reach: 10}, 1.5 * 2 * 0.65 / (22.1 * 22.1)},
		// The halved taper: over 1.6355.
		{joints.SpringClip{Arm: flex.Tapered, Width: 4, Taper: 0.5, Reach: 10}, 1.5 * 4 * 0.65 / (22.1 * 22.1) / 1.63549},
		// ε = K·(h/2)·(ℓ + R)·δ/[ℓ³/3 + R(πℓ² + 4ℓR + πR²/2)] with ℓ 12.1 + 9, R 4, and K 1.19963 at R/h 2.
		{joints.SpringClip{Width: 2, Radius: 4, Reach: 9}, 1.19963 * 25.1 * 0.65 / (21.1*21.1*21.1/3 + 4*(math.Pi*21.1*21.1+4*21.1*4+math.Pi*8))},
	} {
		j := tt.clip
		j.Through, j.Cut, j.Hook, j.Fit = names, "acrylic 3", 0.6, joints.Fit{Exact: play}
		w := j.Realize(s)
		if len(w.Springs) != 1 {
			t.Fatalf("no clip:\n%s", w.Findings)
		}
		if got := w.Springs[0].Strain; math.Abs(got-tt.want) > 2e-4*tt.want {
			t.Errorf("%v: strain %g, want %g", j.Arm, got, tt.want)
		}
	}
}

// Sheets of one material are thick or thin together, so their spread adds up;
// what varies independently adds as squares.
func TestSpringClipAllowance(t *testing.T) {
	a, b, c := birch(3), birch(4), sheet("clip", layers.Plywood, 3)
	a.Thickness.SD, b.Thickness.SD = 0.05, 0.08
	s, names := stackOf([]layers.Material{c}, a, b, a)
	w := joints.SpringClip{Through: names, Cut: "clip"}.Realize(s)
	if got, want := w.Springs[0].Grip-w.Springs[0].Held, 0.1+3*math.Hypot(0.1, 0.08); math.Abs(got-want) > 1e-9 {
		t.Errorf("the allowance is %g, want %g", got, want)
	}
}

// picture is a region as an SVG path.
func picture(r layers.Region, style string) string {
	return fmt.Sprintf(`<path d="%s" %s stroke="#222" stroke-width=".12"/>`, r.Path().ToSVG(), style)
}

// svg writes a picture of w × h mm with y up into the directory that
// JOINT_PICTURES names, for a person to look at.
func svg(t *testing.T, name string, w, h float64, parts ...string) {
	t.Helper()
	dir := os.Getenv("JOINT_PICTURES")
	if dir == "" {
		t.Skip("JOINT_PICTURES names no directory")
	}
	text := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %g %g" width="%gmm" height="%gmm"><rect width="100%%" height="100%%" fill="white"/><g transform="matrix(1 0 0 -1 0 %g)">%s</g></svg>`,
		w, h, w, h, h, strings.Join(parts, ""))
	if err := os.WriteFile(filepath.Join(dir, name+".svg"), []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

// TestDrawSpringClips draws clips in their plates, cut along the clip's sheet.
func TestDrawSpringClips(t *testing.T) {
	const wide, high = 30.0, 56.0
	for _, m := range []string{"birch ply 3", "clear cast acrylic 3", "mdf 3"} {
		var parts []string
		for k, n := range []int{2, 4, 6} {
			for i, form := range armForms {
				var sheets []layers.Material
				for range n / 2 {
					sheets = append(sheets, common(t, "birch ply 3"), common(t, "blue cast acrylic 3"))
				}
				s, names := stackOf([]layers.Material{common(t, m)}, sheets...)
				w := joints.SpringClip{Through: names, Cut: m, Arm: form}.Realize(s)
				t.Logf("%s, %d plates, %v: %+v\n%s", m, n, form, w.Springs, w.Findings)
				at := layers.Point{X: wide * (float64(3*k+i) + 0.5), Y: 26}
				for i, name := range names {
					h := s.Hosts[name]
					for _, span := range h.Plate.Outline.Subtract(removed(w, name)).Along(layers.Point{}, 0) {
						from, to := max(span.From, -14), min(span.To, 14)
						r := layers.Rectangle(to-from, h.Thickness()).Move(layers.Point{X: (from + to) / 2, Y: h.Back() + h.Thickness()/2})
						parts = append(parts, picture(r.Move(at), fmt.Sprintf(`fill="%s"`, [...]string{"#e9d3ae", "#a9c6de"}[i%2])))
					}
				}
				parts = append(parts, picture(w.Makes[0].Plate.Outline.Move(at), `fill="#b5763a"`))
			}
		}
		svg(t, "clips in "+m, 9*wide, high, parts...)
	}
}
