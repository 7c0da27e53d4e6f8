package layers

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Section properties against published worked examples. Figures in brackets
// are those the source prints.
func TestSectionsPublished(t *testing.T) {
	// T section, flange 20 × 4 on a web 4 × 16, datum at the flange's outer
	// face (a university statics course, problem 8.27): area [144], centroid
	// [6.444]. Ix of the T about its centroid follows from the same figures.
	tee := Rectangle(20, 4).Move(Point{0, 2}).Union(Rectangle(4, 16).Move(Point{0, 12}))
	near(t, "T: area", tee.Area(), 144, 1e-9)
	near(t, "T: centroid", tee.Centroid().Y, 6.444, 0.001)
	near(t, "T: Ix", tee.Inertia().X, 5027.556, 0.001)

	// Rectangle, two triangles and a strip (Hibbeler, Statics, 14th edition,
	// problem 10-50; metres there, mm here with the same figures times 1000):
	// rectangle 0.3 × 0.4 and triangles of 0.08 m² altogether on a strip
	// 1.1 × 0.05. The printed terms give ȳ = 0.180556 m; Ix follows from them.
	trapezoid := Polygon(Point{-350, 50}, Point{350, 50}, Point{150, 450}, Point{-150, 450})
	bridge := trapezoid.Union(Rectangle(1100, 50).Move(Point{0, 25}))
	near(t, "composite: area", bridge.Area()/1e6, 0.255, 1e-6)
	near(t, "composite: centroid", bridge.Centroid().Y/1e3, 0.180556, 1e-6)
	near(t, "composite: Ix", bridge.Inertia().X/1e12, 0.00423275, 1e-6)

	// A 100 × 100 × 8 angle turned by 45°, a concave polygon with all figures
	// (cross-validation data of a general section-properties library).
	angle := Polygon(Point{0, 0}, Point{70.710678118655, 70.710678118655}, Point{65.053823869162, 76.367532368147},
		Point{0, 11.313708498985}, Point{-65.053823869162, 76.367532368147}, Point{-70.710678118655, 70.710678118655})
	near(t, "angle: area", angle.Area(), 1536, 1536e-9*10) // its corners are rounded to the grid
	near(t, "angle: centroid", angle.Centroid().Y, 39.539054181, 39.5e-9*10)
	near(t, "angle: centroid x", angle.Centroid().X, 0, 1e-9)
	i := angle.Inertia()
	lo, hi := math.Min(i.X, i.Y), math.Max(i.X, i.Y)
	near(t, "angle: I11", hi, 2363392, 0.05)
	near(t, "angle: I22", lo, 600058.6667, 0.05)
	near(t, "angle: Ixy", i.XY, 0, 0.05)

	// A square of 100 mm (the same library): A, I and Z.
	square := Rectangle(100, 100)
	near(t, "square: area", square.Area(), 10000, 1e-9)
	near(t, "square: I", square.Inertia().X, 8333333.333, 0.001)
	near(t, "square: Z", square.Inertia().X/50, 166666.667, 0.001)
}

// Round sections have closed forms (any handbook of mechanics).
func TestSectionsRound(t *testing.T) {
	disc := Circle(20).Move(Point{300, -200})
	near(t, "disc: centroid", disc.Centroid().Sub(Point{300, -200}).Len(), 0, 1e-11)
	near(t, "disc: I", disc.Inertia().X, math.Pi/4*1e4, 1e-7)
	near(t, "disc: I", disc.Inertia().Y, math.Pi/4*1e4, 1e-7)
	half := Circle(20).Intersect(Rectangle(40, 20).Move(Point{0, 10}))
	near(t, "half disc: centroid", half.Centroid().Y, 4*10/(3*math.Pi), 1e-9)
	near(t, "half disc: I", half.Inertia().X, (math.Pi/8-8/(9*math.Pi))*1e4, 1e-6)
	quarter := half.Intersect(Rectangle(20, 40).Move(Point{10, 0}))
	// The product of inertia of a quarter disc about its straight sides is R⁴/8.
	c := quarter.Centroid()
	near(t, "quarter disc: XY", quarter.Inertia().XY+quarter.Area()*c.X*c.Y, 1e4/8, 1e-6)
	ring := Circle(20).Subtract(Circle(16))
	near(t, "ring: I", ring.Inertia().X, math.Pi/4*(1e4-4096), 1e-7)
}

func TestBounds(t *testing.T) {
	a := Circle(10).Intersect(Rectangle(20, 20).Move(Point{12, 0}))
	b := a.Bounds()
	near(t, "min x", b.Min.X, 2, 1e-12)
	near(t, "max x", b.Max.X, 5, 1e-12)
	near(t, "max y", b.Max.Y, math.Sqrt(21), 1e-12)
	s := SlotShape(20, 6).Rotate(30).Bounds()
	near(t, "slot", s.Width(), 14*math.Cos(math.Pi/6)+6, 1e-12)
}

func TestContains(t *testing.T) {
	r := Rectangle(20, 10).Subtract(Circle(4))
	tests := []struct {
		p    Point
		want bool
	}{
		{Point{0, 0}, false}, {Point{2, 0}, true}, {Point{1.9999, 0}, false}, {Point{2.0001, 0}, true},
		{Point{10, 5}, true}, {Point{10 + 5e-8, 0}, true}, {Point{10 + 2e-7, 0}, false},
		{Point{-10, -5}, true}, {Point{-10.1, -5}, false}, {Point{3, 5}, true}, {Point{3, 2}, true},
		{Point{-15, 2}, false}, {Point{15, -2}, false}, {Point{0, 2}, true}, {Point{0, -1.99}, false},
	}
	for _, tt := range tests {
		if got := r.Contains(tt.p); got != tt.want {
			t.Errorf("Contains(%v) = %v", tt.p, got)
		}
	}
}

func TestAlong(t *testing.T) {
	r := Rectangle(20, 10).Subtract(Circle(4))
	notch := Polygon(Point{0, 0}, Point{10, 0}, Point{10, 10}, Point{5, 5}, Point{0, 10})
	tests := []struct {
		name string
		r    Region
		p    Point
		a    Degrees
		want []Span
	}{
		{"across a hole", r, Point{-20, 0}, 0, []Span{{10, 18}, {22, 30}}},
		{"backwards", r, Point{20, 0}, 180, []Span{{10, 18}, {22, 30}}},
		{"from within", r, Point{5, 0}, 90, []Span{{-5, 5}}},
		{"along an edge", r, Point{0, 5}, 0, []Span{{-10, 10}}},
		{"past", r, Point{0, 5.01}, 0, nil},
		{"tangent to a hole", r, Point{0, 2}, 0, []Span{{-10, 10}}},
		{"through corners", r, Point{-10, -5}, Degrees(math.Atan2(10, 20) * 180 / math.Pi), []Span{
			{0, math.Hypot(10, 5) - 2}, {math.Hypot(10, 5) + 2, 2 * math.Hypot(10, 5)}}},
		{"touching a corner from outside", r, Point{10, 5}, -45, nil},
		{"tips", notch, Point{0, 10}, 0, nil},
		{"below the tips", notch, Point{0, 9}, 0, []Span{{0, 1}, {9, 10}}},
		{"at the notch", notch, Point{0, 5}, 0, []Span{{0, 10}}},
		{"tangent to a disc", Circle(10), Point{0, 5}, 0, nil},
		{"almost", Circle(10), Point{0, 4}, 0, []Span{{-3, 3}}},
		{"two pieces that touch", Rectangle(2, 2).Move(Point{-1, 1}).Union(Rectangle(2, 2).Move(Point{1, -1})), Point{0, 0}, 0, []Span{{-2, 2}}},
	}
	for _, tt := range tests {
		got := tt.r.Along(tt.p, tt.a)
		if len(got) != len(tt.want) {
			t.Errorf("%s: %v, want %v", tt.name, got, tt.want)
			continue
		}
		for i := range got {
			if math.Abs(got[i].From-tt.want[i].From) > 1e-8 || math.Abs(got[i].To-tt.want[i].To) > 1e-8 {
				t.Errorf("%s: %v, want %v", tt.name, got, tt.want)
			}
		}
	}
}

func TestClearance(t *testing.T) {
	d, at := Clearance(Rectangle(10, 10), Rectangle(10, 10).Move(Point{13, 14}))
	near(t, "corner to corner", d, 5, 1e-12)
	near(t, "place", at[0].Sub(Point{5, 5}).Len()+at[1].Sub(Point{8, 9}).Len(), 0, 1e-12)
	d, _ = Clearance(Rectangle(10, 10), Circle(10).Move(Point{12, 1}))
	near(t, "disc to side", d, 2, 1e-12)
	d, at = Clearance(Circle(4), Circle(10).Subtract(Circle(6)))
	near(t, "in a hole", d, 1, 1e-12)
	near(t, "ends", at[0].Sub(at[1]).Len(), 1, 1e-12)
	for _, s := range []Region{Circle(4), Rectangle(3, 20), Circle(10), Rectangle(1, 1).Move(Point{5.5, 0})} {
		d, at = Clearance(Rectangle(10, 10), s)
		near(t, "overlap", d, 0, 0)
		if at[0] != at[1] || !s.Contains(at[0]) || !Rectangle(10, 10).Contains(at[0]) {
			t.Errorf("place of an overlap: %v", at)
		}
	}
	if d, _ = Clearance(Region{}, Circle(3)); !math.IsInf(d, 1) {
		t.Errorf("clearance of nothing is %g", d)
	}
}

// Random pairs: the two points are on the two borders, at that distance, and
// no two of many border points are closer. Sections of random lines agree with
// membership.
func TestMeasureRandom(t *testing.T) {
	for k := range uint64(150) {
		g := gen{rand.New(rand.NewPCG(k, 5))}
		a, b := pair([]string{"blobs", "circles", "slots", "rectilinear"}[k%4], g)
		r, s := a.region(), b.region().Move(Point{g.in(0, 60), g.in(0, 60)})
		if r.Empty() || s.Empty() {
			continue
		}
		d, at := Clearance(r, s)
		if e := at[0].Sub(at[1]).Len(); math.Abs(e-d) > 1e-9 {
			t.Errorf("case %d: clearance %g, points %g apart", k, d, e)
		}
		if d > 0 && (toBorder(at[0], r) > 1e-9 || toBorder(at[1], s) > 1e-9) {
			t.Errorf("case %d: %v not on the borders", k, at)
		}
		if !r.Contains(at[0]) || !s.Contains(at[1]) {
			t.Errorf("case %d: %v not in the regions", k, at)
		}
		overlap, _ := r.Overlap(s)
		if overlap > 0 != (d == 0) && overlap > 0.1 {
			t.Errorf("case %d: clearance %g, overlap %g", k, d, overlap)
		}
		for c := range r.Contours() {
			for _, e := range c.Segments {
				p := e.From.Add(e.To).Mul(0.5)
				if e.Radius > 0 {
					p = e.Centre.Add(e.From.Sub(e.Centre).Turned(e.Sweep / 2))
				}
				if got := toBorder(p, s); got < d-1e-9 {
					t.Errorf("case %d: clearance %g, but %g at %v", k, d, got, p)
				}
			}
		}
		p, dir := Point{g.in(-20, 20), g.in(-20, 20)}, Degrees(g.in(0, 360))
		if k%3 == 0 {
			p, dir = Point{g.grid(3, 5), g.grid(3, 5)}, Degrees(g.IntN(8)*45)
		}
		spans := r.Along(p, dir)
		last := math.Inf(-1)
		for _, x := range spans {
			if !(x.From > last) || !(x.To > x.From) {
				t.Errorf("case %d: spans %v", k, spans)
			}
			last = x.To
		}
		for range 50 {
			u := g.in(-60, 60)
			q := p.Add(dir.Unit().Mul(u))
			if toBorder(q, r) < 1e-6 {
				continue
			}
			in := false
			for _, x := range spans {
				in = in || u > x.From && u < x.To
			}
			if in != r.Contains(q) {
				t.Errorf("case %d: Along says %v at %g, Contains %v", k, in, u, !in)
			}
		}
	}
}

func TestWebWindow(t *testing.T) {
	plate := Rectangle(60, 40)
	l := Polygon(Point{0, 0}, Point{30, 0}, Point{30, 5}, Point{7, 5}, Point{7, 30}, Point{0, 30})
	tests := []struct {
		name        string
		r           Region
		web, window float64 // 0: none within 100
	}{
		{"a rectangle is its own web", Rectangle(60, 2), 2, 0},
		{"a square", Rectangle(10, 10), 10, 0},
		{"a disc", Circle(12), 12, 0},
		{"between hole and edge", plate.Subtract(Circle(10).Move(Point{0, 13})), 2, 10},
		{"between two holes", plate.Subtract(Circle(10).Move(Point{-6, 0}), Circle(10).Move(Point{6, 0})), 2, 10},
		{"a slot", plate.Subtract(SlotShape(20, 3)), 18.5, 3},
		{"a slot to a slanted edge", plate.Subtract(Rectangle(20, 3).Rotate(10)), 0, 3},
		{"a notch", plate.Subtract(Rectangle(4, 30).Move(Point{0, 20})), 25, 4},
		{"an L", l, 5, 0},
		{"across a concave corner", Rectangle(20, 20).Subtract(Rectangle(20, 20).Move(Point{9, 9})), 9, 0},
		{"a neck", Rectangle(30, 20).Subtract(Circle(18).Move(Point{0, 10}), Circle(18).Move(Point{0, -10})), 2, 18},
		{"corner to corner", Rectangle(10, 10).Union(Rectangle(10, 10).Move(Point{9, 9})), math.Sqrt2, 0},
		{"a ring", Circle(20).Subtract(Circle(16)), 2, 16},
		{"rounded corners are no webs", RoundedRectangle(40, 30, 0.4), 30, 0},
		{"chamfers are no webs", RegularPolygon(8, 20), 20 * math.Cos(math.Pi/8), 0},
		{"a tapered tab", Polygon(Point{0, 0}, Point{10, 0}, Point{6, 20}, Point{4, 20}), 2, 0},
	}
	for _, tt := range tests {
		for _, k := range []struct {
			what string
			f    func(float64) (float64, [2]Point, bool)
			want float64
		}{{"web", tt.r.Web, tt.web}, {"window", tt.r.Window, tt.window}} {
			if k.want == 0 && k.what == "web" {
				continue
			}
			d, at, ok := k.f(100)
			if ok != (k.want > 0) || math.Abs(d-k.want) > 2*Grid {
				t.Errorf("%s: %s %.9g at %v, %v, want %.9g", tt.name, k.what, d, at, ok, k.want)
				continue
			}
			if ok {
				near(t, tt.name+": ends", at[0].Sub(at[1]).Len(), d, 1e-9)
				// The limit is honoured, and finds the same.
				if e, _, ok := k.f(d + 1e-6); !ok || math.Abs(e-d) > 1e-12 {
					t.Errorf("%s: %s within %g: %g, %v", tt.name, k.what, d+1e-6, e, ok)
				}
				if e, _, ok := k.f(d - 1e-6); ok {
					t.Errorf("%s: %s within %g: %g", tt.name, k.what, d-1e-6, e)
				}
			}
		}
	}
}

// Joints that rounding leaves open are no windows or webs.
func TestWebWindowJoints(t *testing.T) {
	slit := func(gap float64) Region {
		return Polygon(Point{0, 0}, Point{30, 0}, Point{30, 20}, Point{15 + gap, 20}, Point{15 + gap, 10}, Point{15, 10}, Point{15, 20}, Point{0, 20})
	}
	if d, _, ok := slit(0.005).Window(1); !ok || math.Abs(d-0.005) > Grid {
		t.Errorf("a slit of 5 µm: window %g, %v", d, ok)
	}
	for _, tt := range []struct {
		name string
		r    Region
	}{
		{"a slit of a nanometre", slit(1e-6)},
		{"a slit of a micrometre", slit(1e-3)},
		{"a step of a grid unit", Polygon(Point{0, 0}, Point{20, 0}, Point{20, 10}, Point{10.0000001, 10}, Point{10.0000001, 10.0000001}, Point{0, 10.0000001})},
		{"tangent cuts", Rectangle(20, 10).Subtract(Circle(5).Move(Point{5, 2e-7}), SlotShape(10, 5).Move(Point{2.5, 0}))},
	} {
		for what, f := range map[string]func(float64) (float64, [2]Point, bool){"web": tt.r.Web, "window": tt.r.Window} {
			if d, at, ok := f(1); ok {
				t.Errorf("%s: %s %g at %v", tt.name, what, d, at)
			}
		}
	}
}

// Booleans leave no segments shorter than a nanometre.
func TestNoMotes(t *testing.T) {
	for k := range 600 {
		n := uint64(k)
		a, b := pair([]string{"tangent", "near", "slots"}[k%3], gen{rand.New(rand.NewPCG(n, 9))})
		ra, rb := a.region(), b.region()
		for _, r := range []Region{ra.Union(rb), ra.Intersect(rb), ra.Subtract(rb), ra.Xor(rb)} {
			for c := range r.Contours() {
				for _, s := range c.Segments {
					if l := s.To.Sub(s.From).Len(); l < 1e-6 && s.Radius*math.Abs(float64(s.Sweep)) < 1e-4 {
						t.Errorf("case %d: segment of %g mm at %v", k, l, s.From)
					}
				}
			}
		}
	}
}
