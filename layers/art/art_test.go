package art_test

import (
	"errors"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/art"
	"github.com/platewright/platewright/layers/written"
)

// page wraps shapes into a page of 100 × 80 mm whose user unit is 1 mm.
func page(inside string) string {
	return `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" width="100mm" height="80mm" viewBox="0 0 100 80">` + inside + `</svg>`
}

func read(t testing.TB, svg string) art.Drawing {
	t.Helper()
	d, err := art.Open(fstest.MapFS{"a.svg": {Data: []byte(svg)}}, "a.svg")
	if err != nil {
		t.Fatalf("%v\n%s", err, svg)
	}
	return d
}

func region(t testing.TB, svg, id string) layers.Region {
	t.Helper()
	r, err := read(t, svg).Region(id)
	if err == nil {
		err = r.Err()
	}
	if err != nil {
		t.Fatalf("%v\n%s", err, svg)
	}
	return r
}

// want compares the area and the bounds, "x y width height".
func want(t testing.TB, what string, r layers.Region, area float64, bounds [4]float64, tol float64) {
	t.Helper()
	if got := r.Area(); math.Abs(got-area) > tol*math.Max(1, r.Perimeter()) {
		t.Errorf("%s: area %.6f mm², want %.6f", what, got, area)
	}
	b := r.Bounds()
	got := [4]float64{b.Min.X, b.Min.Y, b.Width(), b.Height()}
	for i := range got {
		if math.Abs(got[i]-bounds[i]) > tol {
			t.Errorf("%s: bounds %.6f, want %.6f", what, got, bounds)
			break
		}
	}
}

const exact = 1e-6 // the grid of a Region, and what ten of its steps add up to

func TestShapes(t *testing.T) {
	const fitted = 2 * layers.CurveTolerance
	for _, c := range []struct {
		name, svg string
		area      float64
		bounds    [4]float64
		tol       float64
	}{
		// y counts from the top in the file and from the bottom here: a shape
		// from 10 to 30 below the top of 80 lies from 50 to 70.
		{"rect", `<rect id="a" x="5" y="10" width="40" height="20"/>`, 800, [4]float64{5, 50, 40, 20}, exact},
		{"rounded rect", `<rect id="a" x="5" y="10" width="40" height="20" rx="5"/>`, 800 - (4-math.Pi)*25, [4]float64{5, 50, 40, 20}, exact},
		{"rounded by ry", `<rect id="a" x="5" y="10" width="40" height="20" ry="5" rx="auto"/>`, 800 - (4-math.Pi)*25, [4]float64{5, 50, 40, 20}, exact},
		{"radius cut to half", `<rect id="a" x="5" y="10" width="40" height="20" rx="50"  ry="50"/>`, 800 - (4-math.Pi)*200, [4]float64{5, 50, 40, 20}, fitted},
		{"elliptic corners", `<rect id="a" x="5" y="10" width="40" height="20" rx="8" ry="4"/>`, 800 - (4-math.Pi)*32, [4]float64{5, 50, 40, 20}, fitted},
		{"circle", `<circle id="a" cx="50" cy="30" r="10"/>`, math.Pi * 100, [4]float64{40, 40, 20, 20}, exact},
		{"ellipse", `<ellipse id="a" cx="50" cy="30" rx="20" ry="10"/>`, math.Pi * 200, [4]float64{30, 40, 40, 20}, fitted},
		{"round ellipse", `<ellipse id="a" cx="50" cy="30" ry="10"/>`, math.Pi * 100, [4]float64{40, 40, 20, 20}, exact},
		{"polygon", `<polygon id="a" points="0,0 30,0 0-40 "/>`, 600, [4]float64{0, 80, 30, 40}, exact},
		{"polyline, closed", `<polyline id="a" points="0,0,30,0,0,40,0,0"/>`, 600, [4]float64{0, 40, 30, 40}, exact},
		{"path", `<path id="a" d="M10 10h20v20h-20z"/>`, 400, [4]float64{10, 50, 20, 20}, exact},
		{"path with a hole", `<path id="a" d="M10 10h20v20h-20zM15 15v10h10v-10z"/>`, 300, [4]float64{10, 50, 20, 20}, exact},
		{"path filled twice", `<path id="a" d="M10 10h20v20h-20zM15 15h10v10h-10z"/>`, 400, [4]float64{10, 50, 20, 20}, exact},
		{"the same, even-odd", `<path id="a" fill-rule="evenodd" d="M10 10h20v20h-20zM15 15h10v10h-10z"/>`, 300, [4]float64{10, 50, 20, 20}, exact},
		{"even-odd by style", `<path id="a" style="fill-rule: evenodd" d="M10 10h20v20h-20zM15 15h10v10h-10z"/>`, 300, [4]float64{10, 50, 20, 20}, exact},
		{"even-odd from the group", `<g fill-rule="evenodd"><path id="a" d="M10 10h20v20h-20zM15 15h10v10h-10z"/></g>`, 300, [4]float64{10, 50, 20, 20}, exact},
		{"arc", `<path id="a" d="M10 30a10 10 0 0 1 20 0z"/>`, math.Pi * 50, [4]float64{10, 50, 20, 10}, exact},
		{"large arc", `<path id="a" d="M20 20a10 10 0 1 1 -10 10h10z"/>`, math.Pi * 75, [4]float64{10, 40, 20, 20}, exact},
		// Archimedes: a parabola fills 2/3 of its width times its height, which
		// is half that of the control point.
		{"parabola", `<path id="a" d="M10 30q10 -20 20 0z"/>`, 2.0 / 3 * 20 * 10, [4]float64{10, 50, 20, 10}, fitted},
		// Control points at (0, h) and (w, h): y = 3 h t (1-t), x' = 6 w t (1-t),
		// so the area is 18 w h ∫t²(1-t)² = 3/5 w h, and the top is at 3/4 h.
		{"cubic", `<path id="a" d="M10 30c0 -16 20 -16 20 0z"/>`, 0.6 * 20 * 16, [4]float64{10, 50, 20, 12}, fitted},
		{"smooth", `<path id="a" d="M10 30C10 14 30 14 30 30S50 46 50 30z"/>`, 2 * 0.6 * 20 * 16, [4]float64{10, 38, 40, 24}, fitted},
		{"closed by coordinates", `<path id="a" d="M10 10h20v20h-20v-20.0004"/>`, 400, [4]float64{10, 50, 20, 20}, 0.001},
		{"group", `<g id="a"><rect width="20" height="20"/><rect x="10" width="20" height="20"/><rect y="40" width="5" height="5" fill="none"/></g>`, 600, [4]float64{0, 60, 30, 20}, exact},
		{"shape without fill, asked for", `<rect id="a" width="20" height="10" fill="none"/>`, 200, [4]float64{0, 70, 20, 10}, exact},
		{"class", `<style>/* x */ .cut, rect{fill:none} #b {fill:none} #c{fill:#000}</style><g id="a"><rect width="9" height="9"/><circle id="c" class="cut" cx="20" cy="20" r="3"/><circle class="cut" r="5"/><circle id="b" r="7"/></g>`, math.Pi * 9, [4]float64{17, 57, 6, 6}, exact},
		{"hidden left out", `<g id="a"><rect width="20" height="10"/><g display="none"><rect width="50" height="50"/><text>x</text></g><circle r="30" style="display:none"/><circle r="30" visibility="hidden"/></g>`, 200, [4]float64{0, 70, 20, 10}, exact},
		{"shown inside invisible", `<g id="a" visibility="hidden"><rect width="20" height="10" visibility="visible"/></g>`, 200, [4]float64{0, 70, 20, 10}, exact},
		{"foreign namespace", `<g id="a"><x:thing xmlns:x="urn:x"><rect width="70" height="70"/></x:thing><rect width="20" height="10"/></g>`, 200, [4]float64{0, 70, 20, 10}, exact},
		{"link", `<a id="a" href="http://example.org/"><rect width="20" height="10"/></a>`, 200, [4]float64{0, 70, 20, 10}, exact},
		{"empty shapes", `<g id="a"><rect width="0" height="10"/><circle r="0"/><path d=""/><path d="M3 3"/><polygon points=""/><rect width="20" height="10"/></g>`, 200, [4]float64{0, 70, 20, 10}, exact},
		// Even-odd leaves the pentagon in the middle of a pentagram open.
		{"star, even-odd", `<polygon id="a" fill-rule="evenodd" points="` + star(10) + `"/>`, starArea(10) - pentagonArea(10), [4]float64{-10 * math.Sin(72*math.Pi/180), 70 + 20 - 10 - 10*math.Cos(36*math.Pi/180), 20 * math.Sin(72*math.Pi/180), 10 + 10*math.Cos(36*math.Pi/180)}, exact},
		{"star", `<polygon id="a" points="` + star(10) + `"/>`, starArea(10), [4]float64{-10 * math.Sin(72*math.Pi/180), 70 + 20 - 10 - 10*math.Cos(36*math.Pi/180), 20 * math.Sin(72*math.Pi/180), 10 + 10*math.Cos(36*math.Pi/180)}, exact},
		{"eight, even-odd", `<path id="a" fill-rule="evenodd" d="M0 0L20 10V0L0 10z"/>`, 100, [4]float64{0, 70, 20, 10}, exact},
	} {
		want(t, c.name, region(t, page(c.svg), "a"), c.area, c.bounds, c.tol)
	}
}

// star is a pentagram of radius r about (0, 0), a point at the top.
func star(r float64) string {
	var b strings.Builder
	for i := range 5 {
		a := float64(i) * 144 * math.Pi / 180
		fmt.Fprintf(&b, "%.12f,%.12f ", r*math.Sin(a), -r*math.Cos(a))
	}
	return b.String()
}

// starArea is the area of a pentagram of radius r: ten triangles from the
// centre with sides r and r cos 72°/cos 36° and 36° between them.
func starArea(r float64) float64 {
	inner := r * math.Cos(72*math.Pi/180) / math.Cos(36*math.Pi/180)
	return 10 * 0.5 * r * inner * math.Sin(36*math.Pi/180)
}

// pentagonArea is the area of the pentagon in the middle of it.
func pentagonArea(r float64) float64 {
	inner := r * math.Cos(72*math.Pi/180) / math.Cos(36*math.Pi/180)
	return 5 * 0.5 * inner * inner * math.Sin(72*math.Pi/180)
}

func TestTransforms(t *testing.T) {
	s2 := math.Sqrt2
	for _, c := range []struct {
		transform string
		area      float64
		bounds    [4]float64 // y up from the page's lower left
	}{
		// The square 10 × 10 at (0, 0) of the file.
		{"translate(5, 7)", 100, [4]float64{5, 63, 10, 10}},
		{"translate(5)", 100, [4]float64{5, 70, 10, 10}},
		{"scale(2)", 400, [4]float64{0, 60, 20, 20}},
		{"scale(2 3)", 600, [4]float64{0, 50, 20, 30}},
		{"scale(-1,1)", 100, [4]float64{-10, 70, 10, 10}},
		{"rotate(90)", 100, [4]float64{-10, 70, 10, 10}},
		{"rotate(90, 10, 10)", 100, [4]float64{10, 70, 10, 10}},
		{"rotate(45)", 100, [4]float64{-5 * s2, 80 - 10*s2, 10 * s2, 10 * s2}},
		{"skewX(45)", 100, [4]float64{0, 70, 20, 10}},
		{"skewY(45)", 100, [4]float64{0, 60, 10, 20}},
		{"matrix(2 0 0 3 5 7)", 600, [4]float64{5, 43, 20, 30}},
		{"matrix(0,1,-1,0,0,0)", 100, [4]float64{-10, 70, 10, 10}},
		{"translate(5 7) scale(2)", 400, [4]float64{5, 53, 20, 20}},
		{"scale(2),translate(5 7)", 400, [4]float64{10, 46, 20, 20}},
		{"translate(5-7)scale(2)rotate(90)", 400, [4]float64{-15, 67, 20, 20}},
		{"none", 100, [4]float64{0, 70, 10, 10}},
		{"", 100, [4]float64{0, 70, 10, 10}},
	} {
		square := `<rect id="a" width="10" height="10" transform="` + c.transform + `"/>`
		want(t, c.transform, region(t, page(square), "a"), c.area, c.bounds, exact)
		nested := `<g transform="` + c.transform + `"><g><path id="a" d="M0 0H10V10H0z"/></g></g>`
		want(t, "group "+c.transform, region(t, page(nested), "a"), c.area, c.bounds, exact)
	}
	nested := `<g transform="translate(10 20)"><g transform="scale(2)"><g id="a" transform="rotate(90)"><rect width="10" height="5"/></g></g></g>`
	want(t, "nested", region(t, page(nested), "a"), 200, [4]float64{0, 40, 10, 20}, exact)
}

// round reports whether r is one full circle, and returns it.
func round(r layers.Region) (centre layers.Point, radius float64, ok bool) {
	for c := range r.Contours() {
		for i, s := range c.Segments {
			if s.Radius == 0 || i > 0 && (math.Abs(s.Radius-radius) > exact || s.Centre.Sub(centre).Len() > exact) {
				return centre, radius, false
			}
			centre, radius, ok = s.Centre, s.Radius, true
		}
	}
	return centre, radius, ok
}

func TestCirclesStayCircles(t *testing.T) {
	const circles = `<circle cx="20" cy="10" r="5"/>
		<ellipse cx="20" cy="10" rx="5" ry="5"/>
		<path d="M15 10a5 5 0 0 1 10 0a5 5 0 0 1 -10 0z"/>
		<rect x="15" y="5" width="10" height="10" rx="5"/>`
	for transform, w := range map[string][3]float64{ // centre and radius
		"":                       {20, 70, 5},
		"translate(3 4)":         {23, 66, 5},
		"scale(2)":               {40, 60, 10},
		"scale(-2 2)":            {-40, 60, 10},
		"rotate(30)":             {20*math.Cos(math.Pi/6) - 5, 80 - 10 - 10*math.Cos(math.Pi/6), 5},
		"rotate(-90 20 10)":      {20, 70, 5},
		"scale(.5) rotate(33.3)": {0.5 * (20*math.Cos(33.3*math.Pi/180) - 10*math.Sin(33.3*math.Pi/180)), 80 - 0.5*(20*math.Sin(33.3*math.Pi/180)+10*math.Cos(33.3*math.Pi/180)), 2.5},
		"matrix(0 3 3 0 1 2)":    {31, 18, 15},
	} {
		for i, shape := range strings.Split(circles, "\n") {
			r := region(t, page(`<g id="a" transform="`+transform+`">`+shape+`</g>`), "a")
			c, radius, ok := round(r)
			if !ok || math.Abs(c.X-w[0]) > exact || math.Abs(c.Y-w[1]) > exact || math.Abs(radius-w[2]) > exact {
				t.Errorf("circle %d after %q: round %v at %v, radius %v; want %v", i, transform, ok, c, radius, w)
			}
		}
	}
	r := region(t, page(`<circle id="a" cx="20" cy="10" r="5" transform="scale(2 1)"/>`), "a")
	want(t, "circle scaled unevenly", r, math.Pi*50, [4]float64{30, 65, 20, 10}, 2*layers.CurveTolerance)
	flat := page(`<g id="a"><rect width="1" height="1"/><path d="M0 0a3 4 0 0 1 5 6z" transform="scale(0 1)"/><circle r="4" transform="scale(0)"/><circle r="1" transform="scale(1e-7 2e-7)"/></g>`)
	want(t, "shapes pressed flat", region(t, flat, "a"), 1, [4]float64{0, 79, 1, 1}, exact)
	for _, transform := range []string{"rotate(30)scale(2 1)", "skewX(40)", "matrix(-2 .5 .3 1.2 0 0)", "scale(.01 .02)"} {
		r := region(t, page(`<ellipse id="a" rx="7" ry="3" transform="`+transform+`"/>`), "a")
		m := map[string]float64{"rotate(30)scale(2 1)": 2, "skewX(40)": 1, "matrix(-2 .5 .3 1.2 0 0)": 2*1.2 + 0.5*0.3, "scale(.01 .02)": 2e-4}[transform]
		if got, area := r.Area(), math.Pi*21*m; math.Abs(got-area) > layers.CurveTolerance*r.Perimeter() {
			t.Errorf("ellipse after %s: %v mm², want %v", transform, got, area)
		}
	}
	r = region(t, page(`<circle id="a" r="5" transform="skewX(45)"/>`), "a")
	want(t, "circle skewed", r, math.Pi*25, [4]float64{-5 * math.Sqrt2, 75, 10 * math.Sqrt2, 10}, 2*layers.CurveTolerance)
}

func TestUnits(t *testing.T) {
	const px = 25.4 / 96
	for _, c := range []struct {
		head          string
		width, height float64    // of the page
		bounds        [4]float64 // of the rect x 10 y 20 width 30 height 40
	}{
		{`width="100mm" height="80mm" viewBox="0 0 100 80"`, 100, 80, [4]float64{10, 20, 30, 40}},
		{`width="10cm" height="8cm" viewBox="0 0 100 80"`, 100, 80, [4]float64{10, 20, 30, 40}},
		{`width="4in" height="4in" viewBox="0 0 101.6 101.6"`, 101.6, 101.6, [4]float64{10, 41.6, 30, 40}},
		{`width="72pt" height="72pt"`, 25.4, 25.4, [4]float64{10 * px, 25.4 - 60*px, 30 * px, 40 * px}},
		{`width="6pc" height="6pc"`, 25.4, 25.4, [4]float64{10 * px, 25.4 - 60*px, 30 * px, 40 * px}},
		{`width="96" height="192px"`, 25.4, 50.8, [4]float64{10 * px, 50.8 - 60*px, 30 * px, 40 * px}},
		{`width="400Q" height="100mm" viewBox="0 0 100 100"`, 100, 100, [4]float64{10, 40, 30, 40}},
		{`viewBox="0 0 96 96"`, 25.4, 25.4, [4]float64{10 * px, 25.4 - 60*px, 30 * px, 40 * px}},
		{`width="100%" height="100%" viewBox="0 0 96 96"`, 25.4, 25.4, [4]float64{10 * px, 25.4 - 60*px, 30 * px, 40 * px}},
		{`width="50mm" viewBox="0 0 100 80"`, 50, 40, [4]float64{5, 10, 15, 20}},
		{`height="40mm" viewBox="0 0 100 80"`, 50, 40, [4]float64{5, 10, 15, 20}},
		{`width="100mm" height="80mm" viewBox="-10 -20 100 80"`, 100, 80, [4]float64{20, 0, 30, 40}},
		// A viewBox that is too narrow for the page lies in its middle.
		{`width="200mm" height="80mm" viewBox="0 0 100 80"`, 200, 80, [4]float64{60, 20, 30, 40}},
		{`width="100mm" height="160mm" viewBox="0 0 100 80"`, 100, 160, [4]float64{10, 60, 30, 40}},
		{`width="200mm" height="80mm" viewBox="0 0 100 80" preserveAspectRatio="xMinYMin"`, 200, 80, [4]float64{10, 20, 30, 40}},
		{`width="200mm" height="80mm" viewBox="0 0 100 80" preserveAspectRatio="xMaxYMid meet"`, 200, 80, [4]float64{110, 20, 30, 40}},
		{`width="200mm" height="80mm" viewBox="0 0 100 80" preserveAspectRatio="none"`, 200, 80, [4]float64{20, 20, 60, 40}},
		{`width="200mm" height="80mm" viewBox="0 0 100 80" preserveAspectRatio="xMidYMax slice"`, 200, 80, [4]float64{20, 40, 60, 80}},
	} {
		svg := `<svg xmlns="http://www.w3.org/2000/svg" ` + c.head + `><rect id="a" x="10" y="20" width="30" height="40"/></svg>`
		if c.bounds[1] < 0 {
			t.Fatalf("bad case %s", c.head)
		}
		want(t, c.head, region(t, svg, "a"), c.bounds[2]*c.bounds[3], c.bounds, exact)
		if w, h := read(t, svg).Size(); math.Abs(w-c.width) > 1e-9 || math.Abs(h-c.height) > 1e-9 {
			t.Errorf("%s: page of %v × %v, want %v × %v", c.head, w, h, c.width, c.height)
		}
	}
	// Lengths of shapes may have units too: an inch is 96 user units.
	r := region(t, `<svg width="192" height="192"><rect id="a" x="1in" width="25.4mm" height="2.54cm"/></svg>`, "a")
	want(t, "units on a shape", r, 25.4*25.4, [4]float64{25.4, 25.4, 25.4, 25.4}, exact)
}

func TestUse(t *testing.T) {
	for _, c := range []struct {
		name, svg string
		area      float64
		bounds    [4]float64
	}{
		{"use", `<defs><rect id="r" width="10" height="10"/></defs><use id="a" href="#r" x="5" y="6"/>`, 100, [4]float64{5, 64, 10, 10}},
		{"old href", `<defs><rect id="r" width="10" height="10"/></defs><use id="a" xlink:href="#r" x="5" y="6"/>`, 100, [4]float64{5, 64, 10, 10}},
		{"transform before x and y", `<defs><rect id="r" width="10" height="10"/></defs><use id="a" href="#r" x="5" y="6" transform="scale(2)"/>`, 400, [4]float64{10, 48, 20, 20}},
		{"transforms of both", `<defs><rect id="r" width="10" height="10" transform="scale(3)"/></defs><use id="a" href="#r" x="5" y="6"/>`, 900, [4]float64{5, 44, 30, 30}},
		{"of a group", `<g id="g"><rect width="10" height="10"/></g><use id="a" href="#g" x="50"/>`, 100, [4]float64{50, 70, 10, 10}},
		{"of a use", `<rect id="r" width="10" height="10"/><use id="u" href="#r" x="10"/><use id="a" href="#u" x="10"/>`, 100, [4]float64{20, 70, 10, 10}},
		{"style of the use", `<defs><rect id="r" width="10" height="10"/><rect id="s" width="10" height="10" fill="red"/></defs><g id="a"><use fill="none" href="#r"/><use fill="none" href="#s" x="30"/></g>`, 100, [4]float64{30, 70, 10, 10}},
		{"symbol", `<symbol id="s"><rect width="10" height="10"/></symbol><use id="a" href="#s" x="5"/>`, 100, [4]float64{5, 70, 10, 10}},
		{"symbol with a viewBox", `<symbol id="s" viewBox="0 0 10 10"><rect width="10" height="10"/></symbol><use id="a" href="#s" x="5" width="20" height="20"/>`, 400, [4]float64{5, 60, 20, 20}},
		{"nested drawing", `<svg id="a" x="5" y="6" width="20" height="40" viewBox="0 0 10 10"><rect width="10" height="10"/></svg>`, 400, [4]float64{5, 80 - 6 - 10 - 20, 20, 20}},
		{"inside a nested drawing", `<svg x="5" y="6" width="20" height="20" viewBox="0 0 10 10"><rect id="a" width="10" height="10"/></svg>`, 400, [4]float64{5, 54, 20, 20}},
		{"definition asked for", `<defs><rect id="a" width="10" height="10"/></defs>`, 100, [4]float64{0, 70, 10, 10}},
		{"symbol asked for", `<symbol id="a"><rect width="10" height="10"/></symbol>`, 100, [4]float64{0, 70, 10, 10}},
		{"unfilled, asked for by use", `<rect id="r" width="10" height="10" fill="none"/><use id="a" href="#r" x="5" y="6"/>`, 100, [4]float64{5, 64, 10, 10}},
	} {
		want(t, c.name, region(t, page(c.svg), "a"), c.area, c.bounds, exact)
	}
}

func TestLines(t *testing.T) {
	const svg = `<g id="a" fill="none" stroke="red">
		<line x1="1" y1="2" x2="3" y2="4"/>
		<polyline points="0,0 10,0 10,10"/>
		<path d="M0 0h5M7 0h5"/>
		<rect width="3" height="3" fill="black" stroke="none"/>
		<rect x="50" y="60" width="3" height="3"/>
		<g display="none"><line x2="9"/></g>
	</g>
	<path id="c" d="M10 30a10 10 0 0 1 20 0" fill="none"/>
	<path id="b" d="M0 0c0 -40 60 40 60 0" fill="none" transform="rotate(20)scale(1 1.5)"/>
	<rect id="plain" width="4" height="5"/>`
	d := read(t, page(svg))
	got, err := d.Lines("a")
	if err != nil {
		t.Fatal(err)
	}
	wanted := []layers.Line{
		{{X: 1, Y: 78}, {X: 3, Y: 76}},
		{{X: 0, Y: 80}, {X: 10, Y: 80}, {X: 10, Y: 70}},
		{{X: 0, Y: 80}, {X: 5, Y: 80}},
		{{X: 7, Y: 80}, {X: 12, Y: 80}},
		{{X: 50, Y: 20}, {X: 53, Y: 20}, {X: 53, Y: 17}, {X: 50, Y: 17}, {X: 50, Y: 20}},
	}
	if len(got) != len(wanted) {
		t.Fatalf("%d lines, want %d: %v", len(got), len(wanted), got)
	}
	for i := range wanted {
		if !slices.EqualFunc(got[i], wanted[i], func(p, q layers.Point) bool { return p.Sub(q).Len() < 1e-9 }) {
			t.Errorf("line %d: %v, want %v", i, got[i], wanted[i])
		}
	}

	got, err = d.Lines("c")
	if err != nil || len(got) != 1 {
		t.Fatalf("arc: %v, %v", got, err)
	}
	for i, p := range got[0] {
		if r := p.Sub(layers.Point{X: 20, Y: 50}).Len(); math.Abs(r-10) > 1e-9 || p.Y < 50-1e-9 {
			t.Errorf("arc: %v is not on it", p)
		}
		if i > 0 {
			mid := p.Add(got[0][i-1]).Mul(0.5).Sub(layers.Point{X: 20, Y: 50}).Len()
			if 10-mid > art.LineTolerance {
				t.Errorf("arc: a chord is %v mm off", 10-mid)
			}
		}
	}
	if n := len(got[0]); n > 120 {
		t.Errorf("arc: %d points", n)
	}

	got, err = d.Lines("b")
	if err != nil || len(got) != 1 {
		t.Fatalf("curve: %v, %v", got, err)
	}
	u := layers.Degrees(20).Unit()
	for k := range 1000 { // points on the curve itself
		s := float64(k) / 999
		x := 3*60*s*s*(1-s) + 60*s*s*s
		y := 1.5 * (3*-40*s*(1-s)*(1-s) + 3*40*s*s*(1-s))
		p := layers.Point{X: x*u.X - y*u.Y, Y: 80 - (x*u.Y + y*u.X)}
		off := math.Inf(1)
		for i := 1; i < len(got[0]); i++ {
			off = min(off, distance(p, got[0][i-1], got[0][i]))
		}
		if off > art.LineTolerance {
			t.Errorf("curve: %v is %v mm from its lines", p, off)
			break
		}
	}

	if got, err := d.Lines("plain"); err != nil || len(got) != 1 || len(got[0]) != 5 {
		t.Errorf("a shape by its own id: %v, %v", got, err)
	}
	if _, err := d.Region("a"); err != nil {
		t.Errorf("score lines beside a filled shape: %v", err)
	}
}

// distance is that from p to the segment from a to b.
func distance(p, a, b layers.Point) float64 {
	d := b.Sub(a)
	s := max(0, min(1, p.Sub(a).Dot(d)/d.Dot(d)))
	return p.Sub(a.Add(d.Mul(s))).Len()
}

func TestIDs(t *testing.T) {
	d := read(t, page(`<defs><linearGradient id="grad"/><path id="p"/></defs><g id="z"><rect id="b"/></g><text id="t"/><use id="u" href="#p"/>`))
	if got, want := d.IDs(), []string{"p", "z", "b", "u"}; !slices.Equal(got, want) {
		t.Errorf("IDs = %v, want %v", got, want)
	}
	var none art.Drawing
	if len(none.IDs()) != 0 {
		t.Error("the zero drawing has ids")
	}
	if _, err := none.Region("a"); err == nil {
		t.Error("the zero drawing has a region")
	}
}

func TestOpenMistakes(t *testing.T) {
	for _, c := range []struct{ name, svg, want string }{
		{"empty", "", "a.svg:1:1: expected an SVG drawing, found an empty file"},
		{"no xml", "hello", "a.svg:1:1: expected an SVG drawing, found an empty file"},
		{"html", "<html/>", "a.svg:1:1: expected an SVG drawing, found <html>"},
		{"other namespace", `<svg xmlns="urn:x"/>`, "another namespace"},
		{"cut off", "<svg width='3' height='3'>\n<g>", "a.svg:2: not valid XML: unexpected EOF"},
		{"bad nesting", "<svg><g></svg>", "not valid XML"},
		{"entities", "<!DOCTYPE svg [\n<!ENTITY a \"b\">]>\n<svg/>", "a.svg:1:1: entity declarations are not read; save the drawing as plain SVG"},
		{"entity", "<svg><g id='&ns;'/></svg>", "save the drawing as plain SVG"},
		{"encoding", "<?xml version='1.0' encoding='latin1'?><svg/>", "expected UTF-8"},
		{"deep", "<svg>" + strings.Repeat("<g>", 64), "expected at most 64 elements inside each other"},
		{"two", "<svg viewBox='0 0 1 1'/><svg/>", "expected one drawing, found a second one"},
		{"no size", "<svg/>", "a.svg:1:1: svg: expected a viewBox, or a width and a height; without them the drawing has no size"},
		{"bad size", "<svg width='3em' height='3'/>", `svg: width: expected a length in mm, cm, in, pt, pc, Q or px, found "3em"`},
		{"no width", "<svg width='0' height='3'/>", `width: expected a positive length, found "0"`},
		{"viewBox", "<svg viewBox='0 0 1'/>", `svg: viewBox: expected x, y and a positive width and height, found "0 0 1"`},
		{"viewBox words", "<svg viewBox='a'/>", `viewBox: expected a number, found "a"`},
		{"aspect", "<svg viewBox='0 0 1 1' preserveAspectRatio='left'/>", `expected preserveAspectRatio as xMidYMid meet, found "left"`},
		{"import", "<svg viewBox='0 0 1 1'>\n<style>@import url(http://example.org/a.css);</style></svg>", "a.svg:2:1: style: styles outside the file are never fetched"},
	} {
		_, err := art.Open(fstest.MapFS{"a.svg": {Data: []byte(c.svg)}}, "a.svg")
		var at *written.Error
		if !errors.As(err, &at) || !strings.Contains(err.Error(), c.want) || !strings.HasPrefix(err.Error(), "read drawing: a.svg") {
			t.Errorf("%s: error %v, want %q", c.name, err, c.want)
		}
	}
	if _, err := art.Open(fstest.MapFS{}, "b.svg"); err == nil || !strings.Contains(err.Error(), "b.svg") {
		t.Errorf("missing file: %v", err)
	}
	if _, err := art.Open(os.DirFS(t.TempDir()), "."); err == nil || strings.Contains(err.Error(), "XML") {
		t.Errorf("a folder: %v", err)
	}
	const doctype = `<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">`
	want(t, "document type without entities", region(t, doctype+page(`<rect id="a" width="2" height="3"/>`), "a"), 6, [4]float64{0, 77, 2, 3}, exact)
}

func TestShapeMistakes(t *testing.T) {
	for _, c := range []struct{ name, svg, want string }{
		{"missing id", "<g id='frame'/><g id='b'/>", `a.svg: there is no element "a"; known are b, frame`},
		{"no ids", "<g/>", `there is no element "a"; no element has an id`},
		{"id twice", "<g id='a'/>\n<g id='a'/>", `a.svg:2:1: g "a": the id stands twice, first in line 1; give one of them another`},
		{"text", "<g id='a'>\n <text id='t'>x</text></g>", `a.svg:2:2: text "t": text is not read; convert the text to paths`},
		{"text itself", "<text id='a'>x</text>", `text "a": text is not read; convert the text to paths`},
		{"image", "<g id='a'><image href='http://example.org/a.png'/></g>", "image: an image has no outline; trace it to paths, or remove it"},
		{"foreign", "<g id='a'><foreignObject/></g>", "what is no SVG has no outline"},
		{"animation", "<g id='a'><animateTransform/></g>", "a plate does not move"},
		{"switch", "<g id='a'><switch/></g>", "keep the one that is meant"},
		{"unknown", "<g id='a'><blob/></g>", "blob: is no shape that can be read; convert it to a path, or remove it"},
		{"gradient", "<linearGradient id='a'/>", "shows nothing by itself; name a shape or a group"},
		{"clip", "<g id='a' clip-path='url(#c)'><rect width='1' height='1'/></g>", `g "a": a clip-path is not read; cut the shapes with it in the editor and release it`},
		{"clip around", "<g style='clip-path:url(#c)'><rect id='a' width='1' height='1'/></g>", "a clip-path is not read"},
		{"mask", "<g id='a'><rect mask='url(#c)' width='1' height='1'/></g>", "rect: a mask is not read"},
		{"filter", "<style>.b{filter:url(#c)}</style><rect id='a' class='b' width='1' height='1'/>", "a filter is not read; remove the effect"},
		{"open", "<path id='a' d='M0 0H10V10'/>", `path "a": is open: its ends at 0.000, 80.000 mm and 10.000, 70.000 mm are 14.1 mm apart; close the path, or give it no fill if it is a line to score`},
		{"open polyline", "<g id='a'><polyline points='0,0 5,0 5,5'/></g>", "polyline: is open"},
		{"line", "<line id='a' x2='5'/>", `line "a": is open`},
		{"nothing filled", "<g id='a'><rect width='1' height='1' fill='none'/></g>", `g "a": nothing in it is filled; fill the shapes that are meant, or name a closed shape itself`},
		{"empty", "<g id='a'/>", "nothing in it is filled"},
		{"hidden", "<g id='a' display='none'/>", "is hidden; show it"},
		{"hidden around", "<g id='h' display='none'><rect id='a' width='1' height='1'/></g>", `rect "a": is hidden, as <g> "h" in line 1 is; show it`},
		{"use of a file", "<use id='a' href='b.svg#x'/>", `expected a use of an element of this file, found "b.svg#x"; nothing outside is ever fetched, so paste it into the drawing`},
		{"use of a page", "<use id='a' href='https://example.org/#x'/>", "nothing outside is ever fetched"},
		{"use of nothing", "<g id='bee'/><use id='a' href='#be'/>", `uses "be", which is not in the drawing; nearest is "bee"`},
		{"use of itself", "<use id='a' href='#a'/>", `uses "a", which it is part of itself; break the ring`},
		{"use in a ring", "<use id='a' href='#b'/><g id='b'><use href='#c'/></g><g id='c'><use href='#b'/></g>", "break the ring"},
		{"use of its group", "<g id='a'><use href='#a'/></g>", "break the ring"},
		{"use of text", "<text id='t'/><use id='a' href='#t'/>", "convert the text to paths"},
		{"path data", "<path id='a' d='M0 0 L1'/>", "path data: "},
		{"path without M", "<path id='a' d='L1 1'/>", `expected path data that begins with M, found "L1 1"`},
		{"path letters", "<path id='a' d='M0 0 X'/>", "unknown command"},
		{"infinite", "<path id='a' d='M0 0H1e999V1z'/>", "beyond all sizes"},
		{"huge", "<rect id='a' width='1e11' height='1' transform='scale(1000)'/>", "beyond all sizes"},
		{"points", "<polygon id='a' points='0,0 1,0 1'/>", "points: expected pairs of x and y, found 5 numbers"},
		{"points words", "<polygon id='a' points='0,0 1,x'/>", `points: expected a number, found "x"`},
		{"radius", "<circle id='a' r='-1'/>", "expected a positive radius"},
		{"width", "<rect id='a' width='-1' height='1'/>", "expected a positive width, height and radius"},
		{"length", "<rect id='a' width='5em' height='1'/>", `width: expected a length in mm, cm, in, pt, pc, Q or px, found "5em"`},
		{"percent", "<rect id='a' width='5%' height='1'/>", `width: expected a length`},
		{"transform", "<rect id='a' transform='turn(3)' width='1' height='1'/>", `transform: expected matrix, translate, scale, rotate, skewX or skewY, found "turn(3)"`},
		{"transform numbers", "<rect id='a' transform='rotate(1 2)' width='1' height='1'/>", "transform: rotate does not take 2 numbers"},
		{"transform in style", "<rect id='a' style='transform:rotate(3deg)' width='1' height='1'/>", "a transform inside style is not read; save the drawing as plain SVG"},
		{"origin of transform", "<rect id='a' transform-origin='center' width='1' height='1'/>", "a transform-origin is not read"},
		{"fill rule", "<path id='a' fill-rule='odd' d='M0 0h1v1z'/>", `expected the fill rule nonzero or evenodd, found "odd"`},
		{"selector", "<style>g &gt; rect{fill:none}</style><rect id='a' width='1' height='1'/>", `the rule "g > rect" is not read`},
		{"condition", "<style>@media print{rect{fill:none}}</style><rect id='a' width='1' height='1'/>", `the rule "@media print" is not read`},
		{"nested size", "<svg id='a' viewBox='0 0 1 1'><rect width='1' height='1'/></svg>", "a nested drawing needs its own size"},
	} {
		d, err := art.Open(fstest.MapFS{"a.svg": {Data: []byte(page(c.svg))}}, "a.svg")
		if err != nil {
			t.Errorf("%s: Open: %v", c.name, err)
			continue
		}
		_, err = d.Region("a")
		var at *written.Error
		// The page's own tag moves the columns of line 1; cases with a place
		// to check stand in line 2.
		if !errors.As(err, &at) || at.File != "a.svg" || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want %q", c.name, err, c.want)
		}
	}
	d := read(t, page("<rect id='a' width='1' height='1' fill='black'/><g id='g'><rect width='1' height='1'/></g>"))
	if _, err := d.Lines("g"); err == nil || !strings.Contains(err.Error(), "nothing in it is a line; give the lines that are meant a stroke") {
		t.Errorf("no lines: %v", err)
	}
	if _, err := d.Region("aa"); err == nil || !strings.Contains(err.Error(), `there is no element "aa"; nearest is "a"`) {
		t.Errorf("near id: %v", err)
	}
}

func TestLimits(t *testing.T) {
	// Each use doubles: 2³⁰ elements from 60.
	bomb := "<rect id='l0' width='1' height='1'/>"
	for i := 1; i < 31; i++ {
		bomb += fmt.Sprintf("<g id='l%d'><use href='#l%d'/><use href='#l%d'/></g>", i, i-1, i-1)
	}
	d := read(t, page(bomb))
	if _, err := d.Region("l30"); err == nil || !strings.Contains(err.Error(), "expected at most") {
		t.Errorf("doubling uses: %v", err)
	}
	chain := "<rect id='l0' width='1' height='1'/>"
	for i := 1; i < 80; i++ {
		chain += fmt.Sprintf("<use id='l%d' href='#l%d'/>", i, i-1)
	}
	if _, err := read(t, page(chain)).Region("l79"); err == nil || !strings.Contains(err.Error(), "expected at most 64 elements inside each other, uses followed") {
		t.Errorf("chain of uses: %v", err)
	}
	long := "<path id='a' d='M0 0" + strings.Repeat("h1v1", 500_001) + "z'/>"
	if _, err := read(t, page(long)).Region("a"); err == nil || !strings.Contains(err.Error(), "expected at most 1000000 points; simplify the paths") {
		t.Errorf("a million points: %v", err)
	}
}

func FuzzShape(f *testing.F) {
	f.Add("M10 30q10 -20 20 0zM0 0a3 4 5 0 1 6 7z", "rotate(3)scale(1 2)", true)
	f.Add("m0 0,1 1zl3 3 a1 1 0 01 2 2S5 6 7 8T9 10z", "matrix(1 2 3 4 5 6),skewX(7)", false)
	f.Add("M0 0L5 9-4 3H4L-5 9z", "", true)
	f.Add("M0 0c0 20 20-20 20 0v9h-9V-9z", "translate(-1e3.5)", true)
	f.Fuzz(func(t *testing.T, data, transform string, evenOdd bool) {
		if len(data) > 400 || len(transform) > 200 || strings.ContainsAny(data+transform, "<&\"") {
			return
		}
		rule := "nonzero"
		if evenOdd {
			rule = "evenodd"
		}
		d, err := art.Open(fstest.MapFS{"a.svg": {Data: []byte(page(`<path id="a" fill-rule="` + rule + `" transform="` + transform + `" d="` + data + `"/>`))}}, "a.svg")
		if err != nil {
			return // not UTF-8
		}
		if r, err := d.Region("a"); err == nil && (r.Err() != nil || !(r.Area() >= 0) || math.IsInf(r.Area(), 0)) {
			t.Errorf("a region of %v mm², %v", r.Area(), r.Err())
		}
		lines, err := d.Lines("a")
		if err != nil {
			return
		}
		for _, l := range lines {
			for _, p := range l {
				if math.IsNaN(p.X+p.Y) || math.IsInf(p.X+p.Y, 0) {
					t.Errorf("a line through %v", p)
				}
			}
		}
	})
}

func FuzzDrawing(f *testing.F) {
	for _, s := range []string{
		`<rect id="a" x="5" y="10" width="40" height="20" rx="3" transform="rotate(3)scale(1 2)"/>`,
		`<path id="a" d="M10 30q10 -20 20 0zM0 0a3 4 5 0 1 6 7z" fill-rule="evenodd"/>`,
		`<symbol id="s" viewBox="0 0 3 4"><circle r="3"/></symbol><use id="a" href="#s" width="5" height="6"/>`,
		`<style>.b{fill:none} @media x{} /* */ *{stroke:red}</style><g id="a" class="b"><polygon points="1,2 3,4 5-6"/><ellipse rx="3" ry="4"/></g>`,
		`<polygon id="a" fill-rule="evenodd" points="0,0 5,9 -4,3 4,3 -5,9"/>`,
		`<svg id="a" x="1" width="5" height="6" viewBox="0 0 1 2" preserveAspectRatio="xMaxYMin slice"><line x2="3"/></svg>`,
		`<path id="a" d=" "/>`, `<path id="a" d="m0 0,1 1zl3 3 a1 1 0 01 2 2"/>`,
	} {
		f.Add(page(s))
	}
	f.Fuzz(func(t *testing.T, svg string) {
		if len(svg) > 4000 {
			return
		}
		d, err := art.Open(fstest.MapFS{"a.svg": {Data: []byte(svg)}}, "a.svg")
		if err != nil {
			var at *written.Error
			if !errors.As(err, &at) {
				t.Errorf("an error without a place: %v", err)
			}
			return
		}
		if r, err := d.Region("a"); err == nil && (r.Err() != nil || !(r.Area() >= 0) || math.IsInf(r.Area(), 0)) {
			t.Errorf("a region of %v mm², %v", r.Area(), r.Err())
		}
		lines, err := d.Lines("a")
		if err != nil {
			return
		}
		for _, l := range lines {
			for _, p := range l {
				if math.IsNaN(p.X+p.Y) || math.IsInf(p.X+p.Y, 0) {
					t.Errorf("a line through %v", p)
				}
			}
		}
	})
}
