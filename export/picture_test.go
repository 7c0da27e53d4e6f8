package export

import (
	"bytes"
	"math"
	"testing"

	"github.com/go-gl/mathgl/mgl64"

	"github.com/platewright/platewright/assembly"
)

func picture(t *testing.T, p Picture, k *assembly.Kit) element {
	t.Helper()
	var b bytes.Buffer
	if err := p.Encode(&b, k); err != nil {
		t.Fatal(err)
	}
	return parseSVG(t, b.Bytes())
}

// find returns the first element of that id.
func (e element) find(id string) (element, bool) {
	if e.attr("id") == id {
		return e, true
	}
	for _, c := range e.Children {
		if f, ok := c.find(id); ok {
			return f, true
		}
	}
	return element{}, false
}

func TestPictureViews(t *testing.T) {
	for _, c := range []struct {
		name  string
		k     *assembly.Kit
		solid bool
	}{{"wall piece", build(t, wallPiece()), false}, {"desk piece", build(t, deskPiece()), true}, {"with pegs", build(t, pegged()), false}} {
		svg := picture(t, Picture{}, c.k)
		for _, id := range []string{"front", "section"} {
			if _, ok := svg.find(id); !ok {
				t.Errorf("%s: no %s", c.name, id)
			}
		}
		if _, ok := svg.find("solid"); ok != c.solid {
			t.Errorf("%s: a view from the side is %v, want %v", c.name, ok, c.solid)
		}
	}
}

// The section has one outline a span that the line of section has in a plate,
// at the plate's own heights.
func TestSection(t *testing.T) {
	k := build(t, wallPiece())
	for name, want := range map[string]int{"back": 1, "sea": 2, "frame": 2} {
		p, _ := k.Plate(name)
		rings := section(p, 12) // through the round window of the sea
		if len(rings) != want {
			t.Errorf("%s: %d pieces, want %d", name, len(rings), want)
			continue
		}
		for _, r := range rings {
			for _, v := range r {
				if math.Abs(v[1]-12) > 1e-9 {
					t.Errorf("%s: y = %g off the section", name, v[1])
				}
				back := p.Pose.Origin[2]
				if math.Abs(v[2]-back) > 1e-9 && math.Abs(v[2]-back-3) > 1e-9 {
					t.Errorf("%s: z = %g, want %g or %g", name, v[2], back, back+3)
				}
			}
		}
	}
	sea, _ := k.Plate("sea")
	if gap := section(sea, 12)[1][0][0] - section(sea, 12)[0][1][0]; math.Abs(gap-24) > 1e-6 {
		t.Errorf("the window of 24 mm is %g wide in the section", gap)
	}
	desk := build(t, deskPiece())
	wall, _ := desk.Plate("back wall")
	if n := len(section(wall, 20)); n != 2 { // outline and round window
		t.Errorf("a wall in the plane of section: %d outlines, want 2", n)
	}
	if section(wall, 0) != nil {
		t.Error("a wall beside the plane of section is cut")
	}
	rib, _ := desk.Plate("left rib")
	rings := section(rib, 0)
	if len(rings) != 1 {
		t.Fatalf("a rib square to the section: %d pieces, want 1", len(rings))
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, v := range rings[0] {
		lo, hi = min(lo, v[0]), max(hi, v[0])
	}
	if math.Abs(hi-lo-3) > 1e-9 || math.Abs((hi+lo)/2+50) > 1e-9 {
		t.Errorf("the rib is cut from x = %g to %g, want 3 mm about -50", lo, hi)
	}
}

func TestPictureSectionChosen(t *testing.T) {
	at := -33.0
	svg := picture(t, Picture{Section: &at}, build(t, wallPiece()))
	s, _ := svg.find("section")
	if got := s.child("title")[0].Text; got != "section at y = -33 mm" {
		t.Errorf("title %q", got)
	}
}

// From every side, what is painted last at a place is what lies nearest there.
func TestSceneOrder(t *testing.T) {
	k := build(t, deskPiece())
	var plates []assembly.Placed
	for p := range k.Plates() {
		plates = append(plates, p)
	}
	for _, eye := range []mgl64.Vec3{{0.62, -1.18, 0.86}, {-1, -1, 1}, {1, 1, 0.5}, {0.3, -1, -0.4}} {
		view := mgl64.LookAtV(eye, mgl64.Vec3{}, mgl64.Vec3{0, 0, 1})
		var painted [][][]mgl64.Vec3 // rings of each shape, as the eye has them
		s := scene{view: view}
		s.draw = func(sh shape) {
			var rings [][]mgl64.Vec3
			for _, r := range sh.rings {
				var seen []mgl64.Vec3
				for _, v := range r {
					seen = append(seen, view.Mat3().Mul3x1(v))
				}
				rings = append(rings, seen)
			}
			if len(rings) > 0 {
				painted = append(painted, rings)
			}
		}
		s.paint(plates)
		hit, wrong := 0, 0
		for x := -100.0; x < 100; x += 3.1 {
			for y := -90.0; y < 90; y += 2.9 {
				top, nearest := math.Inf(-1), math.Inf(-1)
				for _, rings := range painted {
					if inside(rings, x, y) {
						top = depthAt(rings[0], x, y)
						nearest = max(nearest, top)
					}
				}
				if math.IsInf(top, -1) {
					continue
				}
				hit++
				if nearest-top > 0.01 {
					wrong++
				}
			}
		}
		// Within an opening the walls are painted before what fills it, so a
		// hair's breadth at its rim may be wrong.
		if hit < 500 || wrong > hit/1000 {
			t.Errorf("from %v: %d of %d places show what lies behind", eye, wrong, hit)
		}
	}
}

// inside reports whether x, y lies in rings by the even-odd rule.
func inside(rings [][]mgl64.Vec3, x, y float64) bool {
	in := false
	for _, r := range rings {
		for i, a := range r {
			b := r[(i+1)%len(r)]
			if (a[1] > y) != (b[1] > y) && x < a[0]+(y-a[1])/(b[1]-a[1])*(b[0]-a[0]) {
				in = !in
			}
		}
	}
	return in
}

// depthAt returns how near the plane of the ring is to the eye at x, y.
func depthAt(r []mgl64.Vec3, x, y float64) float64 {
	var n mgl64.Vec3 // Newell's normal
	for i, a := range r {
		n = n.Add(a.Cross(r[(i+1)%len(r)]))
	}
	return r[0][2] - (n[0]*(x-r[0][0])+n[1]*(y-r[0][1]))/n[2]
}

func TestSplit(t *testing.T) {
	k := build(t, deskPiece())
	wall, _ := k.Plate("front wall")
	rib, _ := k.Plate("left rib")
	p := whole(wall)
	behind, before := p.split(middle(rib))
	if a, b, all := areaOf(behind), areaOf(before), areaOf(p); math.Abs(a+b-all) > 1e-6 || a == 0 || b == 0 || math.Abs(all-wall.Outline.Area()) > 1 {
		t.Errorf("%g and %g mm² make %g", a, b, all)
	}
	for name, part := range map[string]piece{"behind": behind, "before": before} {
		side := middle(rib).side(wall.Pose.World(part.box.Centre(), 0))
		if (side > 0) != (name == "before") {
			t.Errorf("what is %s lies %g mm before the plane", name, side)
		}
	}
}

// areaOf is the area that the rings enclose, by the even-odd rule where none
// runs over another but along a cut.
func areaOf(p piece) (mm2 float64) {
	for _, ring := range p.rings {
		for _, r := range ring {
			mm2 += r.from.Cross(r.to) / 2
		}
	}
	return mm2
}

func TestColour(t *testing.T) {
	for s, want := range map[string]string{"#ff8000": "#ff8000", "#E3C9A0": "#e3c9a0", "": "#c7c2b8", "red": "#c7c2b8", "#12": "#c7c2b8"} {
		if got := parseColour(s).String(); got != want {
			t.Errorf("%q: %s, want %s", s, got, want)
		}
	}
}
