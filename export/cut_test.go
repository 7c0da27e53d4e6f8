package export

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/tdewolff/canvas"
	"pgregory.net/rapid"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/export/internal/svg"
	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
)

// element is one element of an SVG.
type element struct {
	Name     xml.Name
	Attrs    []xml.Attr `xml:",any,attr"`
	Children []element  `xml:",any"`
	Text     string     `xml:",chardata"`
}

func (e element) attr(name string) string {
	for _, a := range e.Attrs {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// child returns the children of that name.
func (e element) child(name string) []element {
	var out []element
	for _, c := range e.Children {
		if c.Name.Local == name {
			out = append(out, c)
		}
	}
	return out
}

// UnmarshalXML keeps the element's name.
func (e *element) UnmarshalXML(d *xml.Decoder, start xml.StartElement) error {
	e.Name, e.Attrs = start.Name, start.Attr
	for {
		tok, err := d.Token()
		if err != nil {
			return err
		}
		switch tok := tok.(type) {
		case xml.StartElement:
			var c element
			if err := c.UnmarshalXML(d, tok); err != nil {
				return err
			}
			e.Children = append(e.Children, c)
		case xml.CharData:
			e.Text += string(tok)
		case xml.EndElement:
			return nil
		}
	}
}

type fataler interface {
	Helper()
	Fatal(...any)
	Fatalf(string, ...any)
}

func parseSVG(t fataler, data []byte) element {
	t.Helper()
	var e element
	if err := xml.Unmarshal(data, &e); err != nil {
		t.Fatal(err)
	}
	return e
}

func encoded(t fataler, f File) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := f.Encode(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// readPaths reads the paths of the tool back from cut files, each where its
// plate lies: the page's y is turned up again, and the path is moved to where
// the plate's compensated outline begins.
func readPaths(t fataler, k *assembly.Kit, files []File) map[string]layers.Region {
	t.Helper()
	out := map[string]layers.Region{}
	for _, f := range files {
		data := map[string]string{}
		for _, g := range parseSVG(t, encoded(t, f)).child("g") {
			if id := g.attr("id"); id != "inside-cuts" && id != "outside-cuts" {
				continue
			}
			for _, part := range g.child("g") {
				data[part.child("title")[0].Text] += " " + part.child("path")[0].attr("d")
			}
		}
		for name, d := range data {
			p, ok := k.Plate(name)
			if !ok {
				t.Fatalf("%s: there is no plate %q", f.Name, name)
			}
			path := layers.PathData(d).Scale(1, -1)
			if err := path.Err(); err != nil {
				t.Fatalf("%s: %q: %v", f.Name, name, err)
			}
			lies := laid(k, name)
			laidOut := Compensate(p.Outline.Rotate(lies), p.Stock.Kerf)
			out[name] = path.Move(laidOut.Bounds().Min.Sub(path.Bounds().Min)).Rotate(-lies)
		}
	}
	return out
}

// laid returns how a plate is turned on its sheet: sprung arms lie along the
// grain.
func laid(k *assembly.Kit, name string) layers.Degrees {
	p, _ := k.Plate(name)
	for _, w := range k.Works() {
		for _, s := range w.Springs {
			if s.Plate == name && p.Stock.Grain {
				return 90
			}
		}
	}
	return 0
}

// cutOut takes half the kerf off a path.
func cutOut(t fataler, k *assembly.Kit, paths map[string]layers.Region) map[string]layers.Region {
	t.Helper()
	out := map[string]layers.Region{}
	for name, r := range paths {
		p, _ := k.Plate(name)
		x, y := p.Stock.Kerf.X.Mean, p.Stock.Kerf.Y.Mean
		if x == y {
			r = r.Offset(-x/2, layers.Mitre)
		} else {
			r = r.Scale(1/x, 1/y).Offset(-0.5, layers.Mitre).Scale(x, y)
		}
		if err := r.Err(); err != nil {
			t.Fatalf("%q: %v", name, err)
		}
		out[name] = r
	}
	return out
}

func TestCutLayout(t *testing.T) {
	k := build(t, deskPiece())
	for _, f := range (Cut{Gap: 4}).Files(k) {
		page := parseSVG(t, encoded(t, f))
		if page.attr("version") != "1.1" {
			t.Errorf("%s: version %q", f.Name, page.attr("version"))
		}
		box := strings.Fields(page.attr("viewBox"))
		if len(box) != 4 || box[0] != "0" || box[1] != "0" || page.attr("width") != box[2]+"mm" || page.attr("height") != box[3]+"mm" {
			t.Errorf("%s: width %s, height %s, viewBox %s: a unit is not a mm", f.Name, page.attr("width"), page.attr("height"), page.attr("viewBox"))
		}
		var order []string
		for _, c := range page.Children {
			order = append(order, cmpOr(c.attr("id"), c.Name.Local))
		}
		want := []string{"title", "desc", "engrave", "score", "inside-cuts", "outside-cuts", "labels"}
		if !slices.IsSortedFunc(order, func(a, b string) int { return slices.Index(want, a) - slices.Index(want, b) }) || slices.ContainsFunc(order, func(s string) bool { return !slices.Contains(want, s) }) {
			t.Errorf("%s: the groups are %v, want those of %v in that order", f.Name, order, want)
		}
		ids := map[string]bool{}
		var walk func(element)
		walk = func(e element) {
			if id := e.attr("id"); id != "" {
				if ids[id] {
					t.Errorf("%s: two elements have the id %q", f.Name, id)
				}
				ids[id] = true
			}
			for _, c := range e.Children {
				walk(c)
			}
		}
		walk(page)
	}
}

func cmpOr(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// Parts keep their distance, measured between compensated outlines, and stay
// on the drawing.
func TestCutGap(t *testing.T) {
	k := build(t, deskPiece())
	for _, gap := range []float64{0, 2, 9} {
		for _, f := range (Cut{Gap: gap}).Files(k) {
			page := parseSVG(t, encoded(t, f))
			var parts []layers.Region
			for _, g := range page.child("g") {
				if g.attr("id") == "outside-cuts" {
					for _, part := range g.child("g") {
						parts = append(parts, layers.PathData(part.child("path")[0].attr("d")))
					}
				}
			}
			least := gap
			if gap == 0 {
				least = 5
			}
			w, _ := strconv.ParseFloat(strings.TrimSuffix(page.attr("width"), "mm"), 64)
			h, _ := strconv.ParseFloat(strings.TrimSuffix(page.attr("height"), "mm"), 64)
			for i, p := range parts {
				b := p.Bounds()
				if m := min(b.Min.X, b.Min.Y, w-b.Max.X, h-b.Max.Y); math.Abs(m-least) > 0.001 && m < least {
					t.Errorf("%s: part %d lies %.4f mm from the edge, want %g", f.Name, i, m, least)
				}
				for _, q := range parts[:i] {
					if d, _ := layers.Clearance(p, q); d < least-0.001 {
						t.Errorf("%s: two parts are %.4f mm apart, want %g", f.Name, d, least)
					}
				}
			}
		}
	}
}

// Rows are as wide as the sheet's free width.
func TestCutRows(t *testing.T) {
	m := material(t, "birch ply 3")
	m.Sheet = layers.Sheet{Width: 200, Height: 300, Margin: 10}
	k := build(t, deskPiece(), m)
	var b bytes.Buffer
	if err := (Cut{}).Encode(&b, k, m.Name); err != nil {
		t.Fatal(err)
	}
	w, _ := strconv.ParseFloat(strings.TrimSuffix(parseSVG(t, b.Bytes()).attr("width"), "mm"), 64)
	if w > 200 {
		t.Errorf("two walls of 150 mm on a sheet of 180 mm of free width take %g mm", w)
	}
}

// A clip's arm lies along the grain, and the kerf is that of the direction in
// which the part then lies.
func TestCutGrain(t *testing.T) {
	p := wallPiece()
	p.Joints = map[string]joints.Joint{"clip": joints.SpringClip{Through: []string{"back", "sea", "hill", "frame"}, At: layers.Point{X: -53}, Turn: 90, Cut: "birch ply 3"}}
	for _, c := range []struct {
		width, height float64
		grain, turned bool
	}{{600, 400, true, true}, {400, 600, true, false}, {600, 400, false, false}} {
		m := material(t, "birch ply 3")
		m.Grain, m.Sheet.Width, m.Sheet.Height = c.grain, c.width, c.height
		m.Kerf.X.Mean, m.Kerf.Y.Mean = 0.2, 0.24
		k := build(t, p, m)
		clip, ok := k.Plate("clip")
		if !ok {
			t.Fatal("no clip was made:", k.Findings())
		}
		var b bytes.Buffer
		if err := (Cut{}).Encode(&b, k, m.Name); err != nil {
			t.Fatal(err)
		}
		var box layers.Box
		for _, g := range parseSVG(t, b.Bytes()).child("g") {
			for _, part := range g.child("g") {
				if g.attr("id") == "outside-cuts" && part.child("title")[0].Text == "clip" {
					box = layers.PathData(part.child("path")[0].attr("d")).Bounds()
				}
			}
		}
		w, h := clip.Outline.Bounds().Width(), clip.Outline.Bounds().Height()
		if c.turned {
			w, h = h, w
		}
		if math.Abs(box.Width()-w-0.2) > 0.005 || math.Abs(box.Height()-h-0.24) > 0.005 {
			t.Errorf("%v: the clip is %.3f × %.3f on the drawing, want %.3f × %.3f", c, box.Width(), box.Height(), w+0.2, h+0.24)
		}
		if got := strings.Contains(b.String(), "along the grain"); got != c.turned {
			t.Errorf("%v: the drawing speaks of the grain: %v", c, got)
		}
	}
}

// A circular window keeps its centre, and its arcs have the radius less half
// the kerf; a round plate has the radius and half the kerf.
func TestCutCircle(t *testing.T) {
	for _, diameter := range []float64{3, 22, 137.3} {
		for _, kerf := range []float64{0, 0.05, 0.173, 0.2, 0.35} {
			m := material(t, "birch ply 3")
			m.Kerf.X.Mean, m.Kerf.Y.Mean = kerf, kerf
			disc := layers.Circle(diameter + 20).Subtract(layers.Circle(diameter).Move(layers.Point{X: 1.234, Y: -2}))
			k := build(t, assembly.Product{Name: "disc", Stack: []assembly.Layer{{{Name: "disc", Material: m.Name, Outline: disc}}}}, m)
			data := encoded(t, Cut{}.Files(k)[0])
			for _, c := range []struct {
				group  string
				radius float64
			}{{"inside-cuts", diameter/2 - kerf/2}, {"outside-cuts", diameter/2 + 10 + kerf/2}} {
				var d string
				for _, g := range parseSVG(t, data).child("g") {
					if g.attr("id") == c.group {
						d = g.child("g")[0].child("path")[0].attr("d")
					}
				}
				arcs := regexp.MustCompile(`A (\S+) (\S+) 0 0 [01] `).FindAllStringSubmatch(d, -1)
				if len(arcs) != 2 || strings.Contains(d, "L") {
					t.Fatalf("%s is no circle of two arcs: %s", c.group, d)
				}
				for _, a := range arcs {
					for _, s := range a[1:] {
						if r, _ := strconv.ParseFloat(s, 64); math.Abs(r-c.radius) > 0.0005 {
							t.Errorf("diameter %g, kerf %g, %s: radius %s, want %g", diameter, kerf, c.group, s, c.radius)
						}
					}
				}
				if r := layers.PathData(d); math.Abs(r.Area()-math.Pi*c.radius*c.radius) > 2*math.Pi*c.radius*0.0002 {
					t.Errorf("diameter %g, kerf %g, %s: area %.6f", diameter, kerf, c.group, r.Area())
				}
			}
		}
	}
}

// Where the kerf differs between x and y, a square moves by half of each.
func TestCompensateUneven(t *testing.T) {
	k := layers.Kerf{X: layers.Spread{Mean: 0.2}, Y: layers.Spread{Mean: 0.3}}
	r := Compensate(layers.Rectangle(40, 20).Subtract(layers.Circle(10)), k)
	if err := r.Err(); err != nil {
		t.Fatal(err)
	}
	b := r.Bounds()
	if math.Abs(b.Width()-40.2) > 1e-6 || math.Abs(b.Height()-20.3) > 1e-6 {
		t.Errorf("40 × 20 becomes %.6f × %.6f, want 40.2 × 20.3", b.Width(), b.Height())
	}
	// Sample the window's boundary against the rule for its normal.
	for c := range r.Contours() {
		if !c.Hole {
			continue
		}
		for _, s := range c.Segments {
			for _, p := range flatten(s) {
				// The circle's point with normal angle a lies at 5 (cos a, sin a) and
				// moves in along the support of the beam's ellipse.
				best := math.Inf(1)
				for a := 0.0; a < 2*math.Pi; a += 1e-4 {
					sin, cos := math.Sincos(a)
					h := math.Hypot(0.2*cos, 0.3*sin)
					q := layers.Point{X: 5*cos - 0.2*0.2*cos/h/2, Y: 5*sin - 0.3*0.3*sin/h/2}
					best = min(best, q.Sub(p).Len())
				}
				if best > 0.003 {
					t.Fatalf("the window's boundary is %.4f mm off at %v", best, p)
				}
			}
		}
	}
}

// An uneven kerf leaves few arcs, near those that the scaling made.
func TestRefit(t *testing.T) {
	k := layers.Kerf{X: layers.Spread{Mean: 0.18}, Y: layers.Spread{Mean: 0.17}}
	for _, r := range []layers.Region{
		layers.Circle(20),
		layers.RoundedRectangle(120, 84, 8).Subtract(layers.Circle(30)),
		layers.SlotShape(40, 12).Subtract(layers.Circle(3)),
	} {
		path := Compensate(r, k)
		made, left := 0, 0
		var again layers.Region
		for c := range path.Contours() {
			f := refit(c)
			made, left = made+len(c.Segments), left+len(f.Segments)
			for i, s := range f.Segments {
				if next := f.Segments[(i+1)%len(f.Segments)]; s.To != next.From {
					t.Fatalf("segment %d ends at %v, the next begins at %v", i, s.To, next.From)
				}
			}
			ring := layers.PathData(svg.Place{Up: true}.Path(f))
			if c.Hole {
				again = again.Subtract(ring)
			} else {
				again = again.Union(ring)
			}
		}
		if err := again.Err(); err != nil {
			t.Fatal(err)
		}
		if d := apart(path, again); !(d < 0.0025) {
			t.Errorf("the joined arcs lie %.4f mm off", d)
		}
		if left > 24 {
			t.Errorf("%d segments became %d", made, left)
		}
	}
}

func TestCompensateRefuses(t *testing.T) {
	kerf := func(x, y float64) layers.Kerf {
		return layers.Kerf{X: layers.Spread{Mean: x}, Y: layers.Spread{Mean: y}}
	}
	plate := layers.Rectangle(40, 20)
	for _, c := range []struct {
		name string
		r    layers.Region
		k    layers.Kerf
	}{
		{"a hole the beam fills", plate.Subtract(layers.Circle(0.3)), kerf(0.4, 0.4)},
		{"a slit that closes at its mouth", plate.Subtract(layers.Rectangle(0.15, 12).Move(layers.Point{Y: 8}), layers.Circle(4).Move(layers.Point{Y: 2})), kerf(0.2, 0.2)},
		{"two pieces that grow together", plate.Union(plate.Move(layers.Point{X: 40.1})), kerf(0.2, 0.2)},
		{"a negative kerf", plate, kerf(-0.1, -0.1)},
		{"no number", plate, kerf(math.NaN(), 0.2)},
		{"one direction only", plate, kerf(0, 0.2)},
		{"a failed region", layers.Invalid(errors.New("broken")), kerf(0.2, 0.2)},
	} {
		if err := Compensate(c.r, c.k).Err(); err == nil {
			t.Errorf("%s: no error", c.name)
		}
	}
	if err := Compensate(plate.Subtract(layers.Rectangle(0.25, 12).Move(layers.Point{Y: 8})), kerf(0.2, 0.2)).Err(); err != nil {
		t.Error("a slit wider than the kerf:", err)
	}
}

// Cut with the kerf that it was written for, what is written has every
// mating's play, at any thickness and kerf, and no two plates collide.
func TestWrittenPlay(t *testing.T) {
	// A case takes a tenth of a second; -rapid.checks asks for more of them.
	if f := flag.Lookup("rapid.checks"); f.Value.String() == f.DefValue {
		flag.Set(f.Name, "25")
		defer flag.Set(f.Name, f.DefValue)
	}
	rapid.Check(t, func(t *rapid.T) {
		var ms []layers.Material
		uneven := rapid.Bool().Draw(t, "uneven")
		for _, name := range []string{"birch ply 3", "walnut-faced ply 3", "blue cast acrylic 3"} {
			m := material(t, name)
			m.Thickness.Mean = rapid.Float64Range(2.5, 6.5).Draw(t, name)
			m.Kerf.X.Mean = rapid.Float64Range(0.05, 0.35).Draw(t, "kerf of "+name)
			m.Kerf.Y.Mean = m.Kerf.X.Mean
			if uneven {
				// Beyond this the material is questioned (kerf-uneven), and the beam
				// may fill the small ears of a slot.
				m.Kerf.Y.Mean *= rapid.Float64Range(0.6, 1.6).Draw(t, "kerf in y to x")
			}
			ms = append(ms, m)
		}
		p := rapid.SampledFrom([]func() assembly.Product{deskPiece, pegged, clipped}).Draw(t, "product")()
		k := build(t, p, ms...)
		paths := readPaths(t, k, Cut{}.Files(k))
		n := 0
		for name, w := range k.Works() {
			for _, m := range w.Matings {
				for _, g := range m.Gaps {
					n++
					got := width(t, g.Opening, paths, k, m.Opening, false) - width(t, g.Insert, paths, k, m.Insert, true)
					limit := 0.002
					if uneven && name == "moon" { // two curves, each fitted three times
						limit = 0.005
					}
					if math.Abs(got-g.Play) > limit {
						t.Fatalf("%s: %q in %q, %s: play %.5f as written, %.5f as declared", name, m.Insert, m.Opening, g.Name, got, g.Play)
					}
				}
			}
		}
		if n == 0 {
			t.Fatal("there is no mating to measure")
		}
		if uneven { // taking an uneven kerf off again is not exact at small ears
			return
		}
		for _, f := range rebuilt(t, k, cutOut(t, k, paths)).Findings() {
			if f.ID == "plates-overlap" || f.ID == "plates-collide" {
				t.Fatalf("as written: %v", f)
			}
		}
	})
}

// What is written and cut is the kit again: every boundary where it was, and
// no two plates in each other's way.
func TestWrittenShapes(t *testing.T) {
	for _, p := range []assembly.Product{deskPiece(), pegged()} {
		for _, c := range []struct{ thick, kerf, uneven float64 }{
			{2.5, 0.05, 0}, {2.8, 0.11, 0}, {3, 0.2, 0}, {3.2, 0.2, 0.03}, {4.1, 0.15, 0}, {6.5, 0.35, 0}, {5.2, 0.3, -0.05},
		} {
			var ms []layers.Material
			for _, name := range []string{"birch ply 3", "walnut-faced ply 3"} {
				m := material(t, name)
				m.Thickness.Mean, m.Kerf.X.Mean, m.Kerf.Y.Mean = c.thick, c.kerf, c.kerf+c.uneven
				ms = append(ms, m)
			}
			k := build(t, p, ms...)
			cut := cutOut(t, k, readPaths(t, k, Cut{}.Files(k)))
			n := 0
			for p := range k.Plates() {
				n++
				if c.uneven != 0 {
					continue // mitres along the tangents of an ellipse's arcs do not give small ears back
				}
				// An inside corner between arcs comes back mitred along their
				// tangents, which leave a small arc by some hundredths.
				if d := apart(cut[p.Name], p.Outline); !(d <= 0.02) {
					t.Errorf("%s, %v: the boundary of %q comes out of the file %.4f mm elsewhere", k.Name(), c, p.Name, d)
				}
			}
			if n != len(cut) {
				t.Errorf("%s: %d of %d plates are in the files", k.Name(), len(cut), n)
			}
			for _, f := range rebuilt(t, k, cut).Findings() {
				if f.ID == "plates-overlap" || f.ID == "plates-collide" {
					t.Errorf("%v, as written: %v", c, f)
				}
			}
		}
	}
}

// rebuilt is the kit with its plates as they come out of the files, put where
// they were, and no joint to mend them.
func rebuilt(t fataler, k *assembly.Kit, cut map[string]layers.Region) *assembly.Kit {
	t.Helper()
	out := assembly.Product{Name: k.Name()}
	var ms []layers.Material
	for p := range k.Plates() {
		if p.Spare { // waits for its seat
			continue
		}
		p.Outline = cut[p.Name]
		ms = append(ms, p.Stock)
		if p.Layer < 0 {
			o, x := p.Pose.Origin, p.Pose.X
			turn := layers.Degrees(math.Atan2(x[1], x[0]) * 180 / math.Pi)
			out.Uprights = append(out.Uprights, assembly.Upright{Plate: p.Plate, At: layers.Point{X: o[0], Y: o[1]}, Turn: turn, Z: o[2]})
			continue
		}
		for len(out.Stack) <= p.Layer {
			out.Stack = append(out.Stack, nil)
		}
		out.Stack[p.Layer] = append(out.Stack[p.Layer], p.Plate)
	}
	return build(t, out, ms...)
}

// apart returns the greatest distance from a point on the boundary of one of
// two regions to the boundary of the other.
func apart(a, b layers.Region) float64 {
	most := 0.0
	for _, pair := range [][2]layers.Region{{a, b}, {b, a}} {
		var to []layers.Segment
		for c := range pair[1].Contours() {
			to = append(to, c.Segments...)
		}
		for c := range pair[0].Contours() {
			for _, s := range c.Segments {
				for _, p := range flatten(s) {
					least := math.Inf(1)
					for _, q := range to {
						least = min(least, away(p, q))
					}
					most = max(most, least)
				}
			}
		}
	}
	return most
}

// away returns how far p lies from a segment, which is never more than half a
// circle here.
func away(p layers.Point, s layers.Segment) float64 {
	ends := min(p.Sub(s.From).Len(), p.Sub(s.To).Len())
	if s.Radius == 0 {
		d := s.To.Sub(s.From)
		if k := p.Sub(s.From).Dot(d) / d.Dot(d); k > 0 && k < 1 {
			return math.Abs(p.Sub(s.From).Cross(d)) / d.Len()
		}
		return ends
	}
	v, from, to := p.Sub(s.Centre), s.From.Sub(s.Centre), s.To.Sub(s.Centre)
	if s.Sweep < 0 {
		from, to = to, from
	}
	if from.Cross(v) >= 0 && v.Cross(to) >= 0 {
		return math.Abs(v.Len() - s.Radius)
	}
	return ends
}

// width measures what a probe says on the path of the tool, and takes the full
// kerf off: half of it lies on each side. Solid measures the plate, else the
// opening in it.
func width(t fataler, p joints.Probe, paths map[string]layers.Region, k *assembly.Kit, plate string, solid bool) float64 {
	t.Helper()
	placed, ok := k.Plate(plate)
	if !ok {
		t.Fatalf("there is no plate %q", plate)
	}
	if p.Sheet {
		return placed.Stock.Thickness.Mean
	}
	u := (p.Turn + laid(k, plate)).Unit() // of the edges' normals, on the sheet
	kerf := math.Hypot(u.X*placed.Stock.Kerf.X.Mean, u.Y*placed.Stock.Kerf.Y.Mean)
	spans := paths[plate].Along(p.At, p.Turn)
	for i, s := range spans {
		if solid && s.From < 0 && s.To > 0 {
			return s.Len() - kerf
		}
		if !solid && i > 0 && spans[i-1].To < 0 && s.From > 0 {
			return s.From - spans[i-1].To + kerf
		}
	}
	if n := len(spans); solid && n > 1 && spans[0].To < 0 && spans[n-1].From > 0 { // in the gap between a clip's legs
		return spans[n-1].To - spans[0].From - kerf
	}
	t.Fatalf("%q: nothing to measure at %v", plate, p.At)
	return 0
}

func TestCutReproducible(t *testing.T) {
	files := func() string {
		var b strings.Builder
		k := build(t, deskPiece())
		for _, f := range slices.Concat(Cut{}.Files(k), Summary{}.Files(k), Picture{}.Files(k)) {
			fmt.Fprintf(&b, "%s\n%s\n", f.Name, encoded(t, f))
		}
		return b.String()
	}
	first := files()
	for range 5 {
		if files() != first {
			t.Fatal("the same product gives other bytes")
		}
	}
}

func TestCutMaterialsThatShareAFile(t *testing.T) {
	a, b := material(t, "birch ply 3"), material(t, "birch ply 3")
	b.Name = "birch-ply 3"
	k := build(t, assembly.Product{Name: "two", Stack: []assembly.Layer{
		{{Name: "a", Material: a.Name, Outline: layers.Rectangle(20, 20)}},
		{{Name: "b", Material: b.Name, Outline: layers.Rectangle(20, 20)}},
	}}, a, b)
	dir := filepath.Join(t.TempDir(), "out")
	if err := Save(dir, Cut{}.Files(k)); err == nil {
		t.Fatal("no error")
	}
	for _, f := range (Cut{}).Files(k) {
		if err := f.Encode(io.Discard); err == nil || !strings.Contains(err.Error(), "rename one") {
			t.Errorf("%s: %v", f.Name, err)
		}
	}
}

func TestCutHostileNames(t *testing.T) {
	name := `"><script>alert(1)</script>&'`
	k := build(t, assembly.Product{Name: name, Stack: []assembly.Layer{{
		{Name: name, Material: "birch ply 3", Outline: layers.Rectangle(20, 20)},
	}}})
	page := parseSVG(t, encoded(t, Cut{}.Files(k)[0]))
	if got := page.child("title")[0].Text; got != name+", birch ply 3" {
		t.Errorf("title %q", got)
	}
	parseSVG(t, encoded(t, Picture{}.Files(k)[0]))
	if strings.Contains(string(encoded(t, Picture{}.Files(k)[0])), "<script") {
		t.Error("the picture holds a script")
	}
}

func TestCutUnknownMaterial(t *testing.T) {
	if err := (Cut{}).Encode(io.Discard, build(t, wallPiece()), "marble"); err == nil {
		t.Error("no error")
	}
}

// Other programs read what we write: librsvg, a browser, canvas.
func TestReaders(t *testing.T) {
	k := build(t, wallPiece())
	dir := t.TempDir()
	files := append(Cut{}.Files(k), Picture{}.Files(k)...)
	if err := Save(dir, files); err != nil {
		t.Fatal(err)
	}
	t.Run("canvas", func(t *testing.T) {
		for _, f := range files {
			if _, err := canvas.ParseSVG(bytes.NewReader(encoded(t, f))); err != nil {
				t.Errorf("%s: %v", f.Name, err)
			}
		}
	})
	t.Run("librsvg", func(t *testing.T) {
		tool, err := exec.LookPath("rsvg-convert")
		if err != nil {
			t.Skip("rsvg-convert is not installed: nothing was proved about librsvg")
		}
		for _, f := range files {
			rendered(t, exec.Command(tool, "-w", "400", "-o", filepath.Join(dir, f.Name+".png"), filepath.Join(dir, f.Name)), filepath.Join(dir, f.Name+".png"))
		}
	})
	t.Run("browser", func(t *testing.T) {
		tool, err := exec.LookPath("chromium")
		if err != nil || testing.Short() {
			t.Skip("chromium is not installed or the run is short: nothing was proved about browsers")
		}
		png := filepath.Join(dir, "browser.png")
		rendered(t, exec.Command(tool, "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--window-size=400,300",
			"--user-data-dir="+filepath.Join(dir, "profile"), "--screenshot="+png, "file://"+filepath.Join(dir, files[0].Name)), png)
	})
}

// rendered runs a renderer and looks whether a picture with something on it
// comes out: a blank one packs into next to nothing.
func rendered(t *testing.T, c *exec.Cmd, png string) {
	t.Helper()
	if out, err := c.CombinedOutput(); err != nil {
		t.Fatalf("%v: %v\n%s", c.Args, err, out)
	}
	info, err := os.Stat(png)
	if err != nil {
		t.Fatal(err)
	}
	if info.Size() < 1500 {
		t.Errorf("%s: %d bytes look blank", filepath.Base(png), info.Size())
	}
}
