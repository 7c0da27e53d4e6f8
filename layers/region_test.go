package layers

import (
	"errors"
	"math"
	"slices"
	"sync"
	"testing"

	"pgregory.net/rapid"
)

// near fails t unless got is within tol of want.
func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.9g, want %.9g ± %g", what, got, want, tol)
	}
}

func TestOutlines(t *testing.T) {
	tests := []struct {
		name      string
		r         Region
		area      float64
		perimeter float64
	}{
		{"rectangle", Rectangle(100, 60), 6000, 320},
		{"rounded rectangle", RoundedRectangle(100, 60, 5), 6000 - 25*(4-math.Pi), 280 + 10*math.Pi},
		{"without radius", RoundedRectangle(100, 60, 0), 6000, 320},
		{"a rounded rectangle that is a slot", RoundedRectangle(30, 6, 3), 24*6 + 9*math.Pi, 48 + 6*math.Pi},
		{"and a disc", RoundedRectangle(6, 6, 3), 9 * math.Pi, 6 * math.Pi},
		{"circle", Circle(20), 100 * math.Pi, 20 * math.Pi},
		{"slot", SlotShape(30, 6), 24*6 + 9*math.Pi, 48 + 6*math.Pi},
		{"upright slot", SlotShape(6, 30), 24*6 + 9*math.Pi, 48 + 6*math.Pi},
		{"slot as a disc", SlotShape(6, 6), 9 * math.Pi, 6 * math.Pi},
		{"ellipse as a disc", Ellipse(6, 6), 9 * math.Pi, 6 * math.Pi},
		{"hexagon", RegularPolygon(6, 20), 150 * math.Sqrt(3), 60},
		{"row", Row(Rectangle(2, 2), 5, Point{3, 0}), 20, 40},
		{"row that overlaps", Row(Rectangle(2, 2), 5, Point{1, 0}), 12, 16},
		{"ring", Ring(Circle(2).Move(Point{10, 0}), 12), 12 * math.Pi, 24 * math.Pi},
		{"no copies", Row(Circle(1), 0, Point{1, 1}), 0, 0},
		{"triangle, clockwise", Polygon(Point{0, 0}, Point{0, 3}, Point{4, 0}), 6, 12},
	}
	for _, tt := range tests {
		if tt.r.Err() != nil {
			t.Errorf("%s: %v", tt.name, tt.r.Err())
		}
		near(t, tt.name+": area", tt.r.Area(), tt.area, 1e-5)
		near(t, tt.name+": perimeter", tt.r.Perimeter(), tt.perimeter, 1e-5)
	}
	e := Ellipse(30, 10)
	near(t, "ellipse: area", e.Area(), 75*math.Pi, CurveTolerance*e.Perimeter())
	for c := range e.Contours() {
		for _, s := range c.Segments {
			near(t, "ellipse: corner", s.From.X*s.From.X/225+s.From.Y*s.From.Y/25, 1, 0.0005)
		}
	}
}

func TestMakersRefuse(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, v := range []float64{nan, inf, -inf, 0, -1, 1e7} {
		for name, r := range map[string]Region{
			"rectangle": Rectangle(v, 1), "rectangle, height": Rectangle(1, v), "circle": Circle(v), "slot": SlotShape(v, 1),
			"ellipse": Ellipse(v, 2), "rounded": RoundedRectangle(v, v, 0.1), "polygon": RegularPolygon(5, v),
			"move": Circle(1).Move(Point{v * 1e6, v * 1e6}), "scale": Circle(1).Scale(v*1e6, 2),
		} {
			if r.Err() == nil && !(v == 0 || v == -1 || v == 1e7) {
				t.Errorf("%s %g: no error", name, v)
			}
			if r.Err() != nil && !r.Empty() {
				t.Errorf("%s %g: an error and an area", name, v)
			}
		}
	}
	for name, r := range map[string]Region{
		"radius too large": RoundedRectangle(10, 4, 2.1), "negative radius": RoundedRectangle(10, 4, -1),
		"two sides": RegularPolygon(2, 5), "too many sides": RegularPolygon(1<<40, 5), "negative copies": Row(Circle(1), -1, Point{}),
		"too many copies": Ring(Circle(1), 1<<40), "scaled to nothing": Circle(1).Scale(0, 1), "turned by nan": Circle(1).Rotate(Degrees(nan)),
		"mirrored at nan": Circle(1).Mirror(Degrees(nan)), "offset by inf": Circle(1).Offset(inf, Mitre), "offset by nan": Circle(1).Offset(nan, Round),
		"nil error": Invalid(nil),
	} {
		if r.Err() == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

// An error sticks, the first one, whatever is done.
func TestErrorSticks(t *testing.T) {
	first, second := errors.New("first"), errors.New("second")
	bad, worse, good := Invalid(first), Invalid(second), Circle(5)
	for name, r := range map[string]Region{
		"union": good.Union(good, bad, worse), "union of bad": bad.Union(worse), "subtract": good.Subtract(bad), "from": bad.Subtract(good),
		"intersect": good.Intersect(bad), "xor": bad.Xor(worse), "offset": bad.Offset(1, Round), "inset": bad.Inset(1),
		"move": bad.Move(Point{1, 1}), "rotate": bad.Rotate(5), "mirror": bad.Mirror(3), "scale": bad.Scale(2, 3), "filled": bad.Filled(),
		"row": Row(bad, 3, Point{1, 1}), "ring": Ring(bad, 3),
	} {
		if !errors.Is(r.Err(), first) || !r.Empty() {
			t.Errorf("%s: %v", name, r.Err())
		}
	}
	if bad.Covers(good, 1) || good.Covers(bad, 1) {
		t.Error("an invalid region covers or is covered")
	}
}

func TestZeroRegion(t *testing.T) {
	var z Region
	c := Circle(4)
	if z.Err() != nil || !z.Empty() || z.Area() != 0 || z.Perimeter() != 0 || z.Centroid() != (Point{}) || z.Inertia() != (Inertia{}) {
		t.Error("the zero Region measures something")
	}
	if !z.Bounds().Empty() || z.Contains(Point{}) || len(z.Pieces()) != 0 || z.Along(Point{}, 0) != nil {
		t.Error("the zero Region is somewhere")
	}
	for range z.Contours() {
		t.Error("the zero Region has a contour")
	}
	for name, r := range map[string]Region{
		"filled": z.Filled(), "union": z.Union(), "union of none": z.Union(z, z), "subtract": z.Subtract(c), "intersect": z.Intersect(c),
		"intersected": c.Intersect(z), "xor": z.Xor(z), "offset": z.Offset(3, Round), "inset": z.Inset(1), "move": z.Move(Point{1, 2}),
		"rotate": z.Rotate(10), "mirror": z.Mirror(0), "scale": z.Scale(2, 3), "path": PathRegion(z.Path()), "nil path": PathRegion(nil),
		"row": Row(z, 4, Point{1, 0}), "ring": Ring(z, 4),
	} {
		if r.Err() != nil || !r.Empty() {
			t.Errorf("%s: %v, area %g", name, r.Err(), r.Area())
		}
	}
	for name, r := range map[string]Region{"union": c.Union(z), "unite": z.Union(c), "subtract": c.Subtract(z), "subtract none": c.Subtract(), "xor": z.Xor(c)} {
		near(t, name, r.Area(), 4*math.Pi, 1e-12)
	}
	if mm, _ := z.Overlap(c); mm != 0 {
		t.Error("overlap with nothing")
	}
	if !c.Covers(z, 0) || z.Covers(c, 1) || !z.Covers(z, 0) {
		t.Error("covering nothing")
	}
	if _, _, ok := z.Web(5); ok {
		t.Error("a web in nothing")
	}
	if _, _, ok := z.Window(5); ok {
		t.Error("a window in nothing")
	}
}

// arcsOf returns how many arcs of each circle the boundary of r has.
func arcsOf(r Region) map[[3]float64]int {
	m := map[[3]float64]int{}
	for c := range r.Contours() {
		for _, s := range c.Segments {
			if s.Radius > 0 {
				m[[3]float64{s.Centre.X, s.Centre.Y, s.Radius}]++
			}
		}
	}
	return m
}

// Circles stay circles: the very centre and radius, not nearly.
func TestArcsSurvive(t *testing.T) {
	plate := Rectangle(100, 60)
	window := plate.Subtract(Circle(20).Move(Point{10, 5}))
	tests := []struct {
		name string
		r    Region
		arcs map[[3]float64]int
	}{
		{"a window", window, map[[3]float64]int{{10, 5, 10}: 2}},
		{"after cuts elsewhere", window.Subtract(Rectangle(5, 5).Move(Point{50, 30})).Union(Rectangle(5, 5).Move(Point{-50, -30})), map[[3]float64]int{{10, 5, 10}: 2}},
		{"cut by a slit", window.Subtract(Rectangle(4, 60).Move(Point{10, 35})), map[[3]float64]int{{10, 5, 10}: 1}},
		{"cut twice", window.Subtract(Rectangle(4, 100).Move(Point{10, 0})), map[[3]float64]int{{10, 5, 10}: 2}},
		{"inset", window.Offset(-1.5, Mitre), map[[3]float64]int{{10, 5, 11.5}: 2}},
		{"outset", window.Offset(1.5, Round), map[[3]float64]int{{10, 5, 8.5}: 2, {50, 30, 1.5}: 1, {-50, 30, 1.5}: 1, {50, -30, 1.5}: 1, {-50, -30, 1.5}: 1}},
		{"there and back", window.Offset(1.5, Mitre).Offset(-1.5, Mitre), map[[3]float64]int{{10, 5, 10}: 2}},
		{"a lens", Circle(20).Intersect(Circle(20).Move(Point{10, 0})), map[[3]float64]int{{0, 0, 10}: 1, {10, 0, 10}: 1}},
		{"coincident arcs", Circle(20).Union(Circle(20).Intersect(plate)), map[[3]float64]int{{0, 0, 10}: 2}},
		{"coincident arcs, turned", Circle(20).Union(Circle(20).Rotate(37)), map[[3]float64]int{{0, 0, 10}: 1}},
		{"a disc filled into its window", window.Union(Circle(20).Move(Point{10, 5})), nil},
		{"a slot's ends", plate.Subtract(SlotShape(30, 6)), map[[3]float64]int{{12, 0, 3}: 1, {-12, 0, 3}: 1}},
		{"two holes merged by an inset", Rectangle(40, 20).Subtract(Circle(8).Move(Point{-4.5, 0}), Circle(8).Move(Point{4.5, 0})).Offset(-1, Mitre),
			map[[3]float64]int{{-4.5, 0, 5}: 1, {4.5, 0, 5}: 1}},
	}
	for _, tt := range tests {
		got := arcsOf(tt.r)
		if tt.name == "coincident arcs, turned" { // one circle, in how many arcs does not matter
			if len(got) != 1 || got[[3]float64{0, 0, 10}] == 0 {
				t.Errorf("%s: %v", tt.name, got)
			}
			continue
		}
		if len(got) != len(tt.arcs) {
			t.Errorf("%s: %v, want %v", tt.name, got, tt.arcs)
		}
		for k, n := range tt.arcs {
			if got[k] != n {
				t.Errorf("%s: %v, want %v", tt.name, got, tt.arcs)
			}
		}
	}
	near(t, "filled window", window.Union(Circle(20).Move(Point{10, 5})).Area(), 6000, 1e-9)
}

func TestMoves(t *testing.T) {
	r := Polygon(Point{0, 0}, Point{10, 0}, Point{10, 4}).Subtract(Circle(1).Move(Point{8, 1}))
	a := r.Area()
	near(t, "mirror 90", r.Mirror(90).Bounds().Min.X, -10, 1e-12)
	near(t, "mirror 0", r.Mirror(0).Bounds().Min.Y, -4, 1e-12)
	near(t, "mirror 45", r.Mirror(45).Bounds().Max.Y, 10, 1e-12)
	near(t, "rotate 90", r.Rotate(90).Bounds().Min.X, -4, 0)
	near(t, "rotate", r.Rotate(33).Area(), a, 1e-12)
	near(t, "scale", r.Scale(2, 2).Area(), 4*a, 1e-12)
	near(t, "scale and flip", r.Scale(-2, 2).Area(), 4*a, 1e-12)
	near(t, "stretch", r.Scale(2, 1).Area(), 2*a, 1e-3)
	near(t, "stretch and flip", r.Scale(-2, 1).Bounds().Min.X, -20, 1e-12)
	if n := len(arcsOf(r.Scale(-3, 3))); n != 1 {
		t.Errorf("%d circles after an even scale", n)
	}
}

func TestPiecesFilled(t *testing.T) {
	target := Circle(30).Subtract(Circle(20)).Union(Circle(10))
	if n := len(target.Pieces()); n != 2 {
		t.Errorf("a target has %d pieces", n)
	}
	near(t, "filled target", target.Filled().Area(), 225*math.Pi, 1e-9)
	two := Rectangle(4, 4).Union(Rectangle(4, 4).Move(Point{10, -10}))
	ps := two.Pieces()
	if len(ps) != 2 || ps[0].Bounds().Min.Y != -12 {
		t.Errorf("pieces are not in order: %v", ps)
	}
}

func TestCovers(t *testing.T) {
	r := Rectangle(20, 10)
	tests := []struct {
		name string
		s    Region
		tol  float64
		want bool
	}{
		{"itself", r, 0, true},
		{"a hole's worth", Circle(5), 0, true},
		{"moved a little", r.Move(Point{0.05, 0}), 0.01, false},
		{"moved less than tol", r.Move(Point{0.05, 0}), 0.06, true},
		{"a corner sticks out", r.Move(Point{0.05, 0.05}), 0.06, false},
		{"a corner within reach", r.Move(Point{0.05, 0.05}), 0.08, true},
		{"elsewhere", r.Move(Point{100, 0}), 1, false},
		{"larger", r.Offset(1, Mitre), 0.5, false},
	}
	for _, tt := range tests {
		if got := r.Covers(tt.s, tt.tol); got != tt.want {
			t.Errorf("%s: %v", tt.name, got)
		}
	}
	if r.Subtract(Circle(2)).Covers(Circle(2), 0.9) || !r.Subtract(Circle(2)).Covers(Circle(2), 1.1) {
		t.Error("a hole of radius 1 is bridged at 1, not before")
	}
}

func TestOverlap(t *testing.T) {
	r := Rectangle(20, 10)
	for _, tt := range []struct {
		name string
		s    Region
		want float64
	}{
		{"side by side", r.Move(Point{20, 0}), 0},
		{"nearly", r.Move(Point{19.9999, 0}), 0},
		{"corner", r.Move(Point{19, 9}), 1},
		{"within", Circle(2), math.Pi},
		{"around", Rectangle(50, 50), 200},
		{"in a hole", Rectangle(50, 50).Subtract(r), 0},
		{"two places", Rectangle(2, 30).Union(Rectangle(4, 30).Move(Point{7, 0})), 60},
	} {
		mm, at := r.Overlap(tt.s)
		near(t, tt.name, mm, tt.want, 1e-9)
		if mm > 0 && (!r.Contains(at) || !tt.s.Contains(at)) {
			t.Errorf("%s: %v is not in both", tt.name, at)
		}
	}
}

// Operations never change their operands, and give the same bits again, on any
// goroutine.
func TestDeterminism(t *testing.T) {
	build := func() []Contour {
		r := plate145(0).Subtract(plate145(2.3)).Union(jagged(50)).Offset(0.2, Round).Rotate(11)
		return slices.Collect(r.Contours())
	}
	want := build()
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			got := build()
			same := len(got) == len(want)
			for i := 0; same && i < len(got); i++ {
				same = got[i].Hole == want[i].Hole && slices.Equal(got[i].Segments, want[i].Segments)
			}
			if !same {
				t.Error("another result")
			}
		})
	}
	wg.Wait()
	a, b := plate145(0), plate145(0)
	a.Union(jagged(30))
	a.Offset(0.5, Mitre)
	a.Mirror(10)
	if a.Xor(b).Area() != 0 || !slices.EqualFunc(slices.Collect(a.Contours()), slices.Collect(b.Contours()), func(x, y Contour) bool {
		return slices.Equal(x.Segments, y.Segments)
	}) {
		t.Error("an operand changed")
	}
}

// Laws that hold for any regions.
func TestRegionLaws(t *testing.T) {
	point := rapid.Custom(func(t *rapid.T) Point {
		return Point{float64(rapid.IntRange(-40, 40).Draw(t, "x")) / 2, float64(rapid.IntRange(-40, 40).Draw(t, "y")) / 2}
	})
	simple := rapid.Custom(func(t *rapid.T) Region {
		w, h := float64(rapid.IntRange(1, 40).Draw(t, "w"))/2, float64(rapid.IntRange(1, 40).Draw(t, "h"))/2
		var r Region
		switch rapid.IntRange(0, 4).Draw(t, "kind") {
		case 0:
			r = Rectangle(w, h)
		case 1:
			r = Circle(w)
		case 2:
			r = SlotShape(w, h)
		case 3:
			r = RoundedRectangle(w, h, math.Min(w, h)/4)
		default:
			r = RegularPolygon(rapid.IntRange(3, 9).Draw(t, "n"), w)
		}
		if rapid.Bool().Draw(t, "turned") {
			r = r.Rotate(Degrees(rapid.IntRange(0, 23).Draw(t, "turn") * 15))
		}
		return r.Move(point.Draw(t, "at"))
	})
	region := rapid.Custom(func(t *rapid.T) Region {
		return Region{}.Union(rapid.SliceOfN(simple, 1, 4).Draw(t, "plus")...).Subtract(rapid.SliceOfN(simple, 0, 3).Draw(t, "minus")...)
	})
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := region.Draw(t, "a"), region.Draw(t, "b"), region.Draw(t, "c")
		slack := 1e-3 * (10 + a.Perimeter() + b.Perimeter() + c.Perimeter())
		same := func(what string, x, y Region) {
			if x.Err() != nil || y.Err() != nil {
				t.Fatalf("%s: %v, %v", what, x.Err(), y.Err())
			}
			if d := x.Xor(y).Area(); d > slack {
				t.Fatalf("%s: %g mm² differ", what, d)
			}
		}
		same("union commutes", a.Union(b), b.Union(a))
		same("intersection commutes", a.Intersect(b), b.Intersect(a))
		same("union of three", a.Union(b, c), a.Union(b).Union(c))
		same("subtracting at once", a.Subtract(b, c), a.Subtract(b).Subtract(c))
		same("distribution", a.Intersect(b.Union(c)), a.Intersect(b).Union(a.Intersect(c)))
		same("de Morgan", a.Subtract(b.Intersect(c)), a.Subtract(b).Union(a.Subtract(c)))
		same("xor twice", a.Xor(b).Xor(b), a)
		same("idempotence", a.Union(a), a)
		if x := a.Subtract(a); !x.Empty() {
			t.Fatalf("a without a is %g mm²", x.Area())
		}
		turn, move := Degrees(rapid.IntRange(0, 359).Draw(t, "turn")), point.Draw(t, "move")
		same("moving", a.Union(b).Rotate(turn).Move(move), a.Rotate(turn).Move(move).Union(b.Rotate(turn).Move(move)))
		same("mirroring", a.Subtract(b).Mirror(turn), a.Mirror(turn).Subtract(b.Mirror(turn)))
		if !a.Union(b).Covers(a, 0.003) || !a.Covers(a.Intersect(b), 0.003) {
			t.Fatal("a union covers its parts, and a part the common")
		}
		if d := a.Offset(0.5, Round); !d.Covers(a, 0) {
			t.Fatal("an offset covers what it is of")
		}
	})
}
