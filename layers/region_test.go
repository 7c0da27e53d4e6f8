package layers

import (
	"math"
	"testing"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.9g, want %.9g ± %g", what, got, want, tol)
	}
}

func TestBasics(t *testing.T) {
	p := Rectangle(100, 60)
	c := Circle(20)
	near(t, "rect", p.Area(), 6000, 0)
	near(t, "circle", c.Area(), 100*math.Pi, 1e-9)
	near(t, "rr", RoundedRectangle(100, 60, 5).Area(), 6000-25*(4-math.Pi), 1e-9)
	near(t, "slot", SlotShape(30, 6).Area(), 24*6+9*math.Pi, 1e-9)
	near(t, "slot", SlotShape(6, 30).Area(), 24*6+9*math.Pi, 1e-9)
	near(t, "ellipse", Ellipse(30, 10).Area(), 75*math.Pi, 0.05)
	w := p.Subtract(c)
	near(t, "window", w.Area(), 6000-100*math.Pi, 1e-9)
	x := p.Subtract(c.Move(Point{50, 30}))
	near(t, "bite", x.Area(), 6000-25*math.Pi, 1e-9)
	l := c.Intersect(c.Move(Point{10, 0}))
	lens := 2*100*math.Acos(0.5) - 10.0/2*math.Sqrt(400-100)
	near(t, "lens", l.Area(), lens, 1e-9)
	near(t, "union", c.Union(c.Move(Point{10, 0})).Area(), 200*math.Pi-lens, 1e-9)
	near(t, "xor", c.Xor(c.Move(Point{10, 0})).Area(), 200*math.Pi-2*lens, 1e-9)
	for _, d := range []float64{-1, 1, 3, -3} {
		for _, k := range []Corner{Mitre, Round} {
			o := w.Offset(d, k)
			want := (100+2*d)*(60+2*d) - math.Pi*(10-d)*(10-d)
			if k == Round && d > 0 {
				want -= d * d * (4 - math.Pi)
			}
			near(t, "offset", o.Area(), want, 1e-9)
		}
	}
	near(t, "offset", w.Offset(10.5, Mitre).Area(), 121*81, 1e-9)
	s := PathData("M0 0h10v10h-10z M2 2h4v4h-4z M20 0a5 5 0 0 1 10 0a5 5 0 0 1 -10 0z")
	near(t, "path", s.Area(), 100+25*math.Pi, 1e-9)
	s = PathData("M0 0h10v10h-10z M2 2v4h4v-4z M5 5h10v10h-10z")
	near(t, "path", s.Area(), 100-16+100-25+1, 1e-9)
	s = PathData("M0 0L10 10L10 0L0 10z")
	near(t, "bow", s.Area(), 50, 1e-9)
	if Polygon(Point{0, 0}, Point{10, 10}, Point{10, 0}, Point{0, 10}).Err() == nil {
		t.Error("no error")
	}
	near(t, "round trip", PathRegion(x.Path()).Area(), x.Area(), 1e-9)
	for c := range x.Contours() {
		t.Log(c)
	}
	d, at := Clearance(Circle(10), Circle(10).Move(Point{20, 0}))
	near(t, "clearance", d, 10, 1e-12)
	t.Log(at)
	d, at, ok := w.Web(100)
	t.Log(d, at, ok)
	d, at, ok = w.Window(100)
	t.Log(d, at, ok)
	t.Log(w.Along(Point{0, 0}, 0), w.Along(Point{0, 10}, 0), w.Along(Point{0, 30}, 0), w.Along(Point{0, 0}, 30))
	t.Log(w.Covers(c, 0.1), p.Covers(c, 0.1), w.Covers(c, 11))
	t.Log(p.Overlap(c))
}
