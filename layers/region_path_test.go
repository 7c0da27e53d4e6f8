package layers

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"github.com/tdewolff/canvas"
)

func TestPathData(t *testing.T) {
	tests := []struct {
		name, d string
		area    float64
		holes   int
	}{
		{"a square, either way", "M0 0h10v10h-10z", 100, 0},
		{"the other way", "M0 0v10h10v-10z", 100, 0},
		{"a hole turned against it", "M0 0h10v10h-10z M2 2v4h4v-4z", 84, 1},
		{"no hole by the non-zero rule", "M0 0h10v10h-10z M2 2h4v4h-4z", 100, 0},
		{"an island in the hole", "M0 0h10v10h-10z M2 2v6h6v-6z M4 4h2v2h-2z", 68, 1},
		{"a disc of two arcs", "M-5 0A5 5 0 0 0 5 0A5 5 0 0 0 -5 0z", 25 * math.Pi, 0},
		{"arc flags packed", "M-5 0a5 5 0 0010 0a5 5 0 00-10 0z", 25 * math.Pi, 0},
		{"a large arc", "M0 -5A5 5 0 1 1 -5 0L0 0z", 25 * math.Pi * 3 / 4, 0},
		{"a small arc", "M0 -5A5 5 0 0 0 -5 0L0 0z", 25 * math.Pi / 4, 0},
		{"an arc with radii too small", "M-5 0A1 1 0 0 1 5 0z", 25 * math.Pi / 2, 0},
		{"an ellipse", "M-10 0A10 5 0 0 1 10 0A10 5 0 0 1 -10 0z", 50 * math.Pi, 0},
		{"a turned ellipse", "M-8 -6A10 5 36.86989764584402 0 1 8 6A10 5 36.86989764584402 0 1 -8 -6z", 50 * math.Pi, 0},
		{"a parabola", "M0 0Q5 10 10 0z", 100.0 / 3, 0},
		{"a cubic", "M0 0C0 10 10 10 10 0z", 60, 0},
		{"closed without z", "M0 0L10 0L10 10L0 10L0 0", 100, 0},
		{"a bow tie", "M0 0L10 10L10 0L0 10z", 50, 0},
		{"a pentagram is filled", "M0 -10L5.877852523 8.090169944L-9.510565163 -3.090169944L9.510565163 -3.090169944L-5.877852523 8.090169944z",
			112.2569941, 0},
		{"overlapping squares", "M0 0h10v10h-10z M5 5h10v10h-10z", 175, 0},
		{"overlapping, one turned", "M0 0h10v10h-10z M5 5v10h10v-10z", 150, 0},
		{"discs that overlap", "M-5 0a5 5 0 0010 0a5 5 0 00-10 0z M0 0a5 5 0 0010 0a5 5 0 00-10 0z", 50*math.Pi - lens(5, 5), 0},
		{"twice the same", "M0 0h10v10h-10z M0 0h10v10h-10z", 100, 0},
		{"there and back", "M0 0h10v10h-10z M0 0v10h10v-10z", 0, 0},
		{"a spike", "M0 0h10v5h5h-5v5h-10z", 100, 0},
		{"squares that share a corner", "M0 0h10v10h-10z M10 10h10v10h-10z", 200, 0},
		{"squares that share an edge", "M0 0h10v10h-10z M10 0h10v10h-10z", 200, 0},
		{"a keyhole", "M0 0H10V10H5V7H7V3H3V7H5V10H0z", 84, 1},
		{"nothing", "", 0, 0},
		{"a line", "M0 0L10 0z", 0, 0},
		{"a stroke there and back", "M0 0L10 5L0 0z", 0, 0},
	}
	for _, tt := range tests {
		r := PathData(tt.d)
		if r.Err() != nil {
			t.Errorf("%s: %v", tt.name, r.Err())
			continue
		}
		near(t, tt.name+": area", r.Area(), tt.area, 0.0005*r.Perimeter()+1e-9)
		if strings.Contains(tt.d, "C") || strings.Contains(tt.d, "Q") || strings.Contains(tt.name, "ellipse") {
			continue
		}
		near(t, tt.name+": exact area", r.Area(), tt.area, 1e-6)
		holes := 0
		for c := range r.Contours() {
			if c.Hole {
				holes++
			}
		}
		if holes != tt.holes {
			t.Errorf("%s: %d holes, want %d", tt.name, holes, tt.holes)
		}
	}
}

func TestPathDataRefuses(t *testing.T) {
	var many strings.Builder
	many.WriteString("M0 0")
	for i := range 300_000 {
		fmt.Fprintf(&many, "L%d %d", i%1000, i/3)
	}
	many.WriteString("z")
	var tangle strings.Builder
	g := rand.New(rand.NewPCG(1, 1))
	tangle.WriteString("M0 0")
	for range 3000 {
		fmt.Fprintf(&tangle, "L%.3f %.3f", g.Float64()*100, g.Float64()*100)
	}
	tangle.WriteString("z")
	for name, d := range map[string]string{
		"open":       "M0 0L10 0L10 10",
		"garbage":    "hello",
		"truncated":  "M0 0L10",
		"truncated2": "M",
		"comma":      ",",
		"space":      " ",
		"huge":       "M0 0L1e9 0L0 5z",
		"infinite":   "M0 0L1e999 0L0 5z",
		"many":       many.String(),
		"tangle":     tangle.String(),
		"arc":        "M0 0A1e300 1e300 0 0 1 5 5z",
		"bad flag":   "M0 0A5 5 0 2 1 5 5z",
	} {
		start := time.Now()
		r := PathData(d)
		if r.Err() == nil && strings.TrimSpace(d) != "" && name != "truncated2" {
			t.Errorf("%s: no error", name)
		}
		if !r.Empty() && r.Err() != nil {
			t.Errorf("%s: an error and an area", name)
		}
		if took := time.Since(start); took > 20*time.Second {
			t.Errorf("%s took %v", name, took)
		}
	}
}

// Every point of a curve lies within CurveTolerance of the arcs, and every arc
// within CurveTolerance of the curve.
func TestCurveTolerance(t *testing.T) {
	for k := range uint64(25) {
		g := gen{rand.New(rand.NewPCG(k, 9))}
		// A closed smooth-ish curve of a few cubics round the origin, so that
		// it does not cross itself: control points on rising angles.
		n := 2 + g.IntN(4)
		var ps []Point
		for i := range 3 * n {
			a := 2 * math.Pi * (float64(i) + 0.5*g.Float64()) / float64(3*n)
			r := g.in(5, 40)
			ps = append(ps, Point{r * math.Cos(a), r * math.Sin(a)})
		}
		p := &canvas.Path{}
		p.MoveTo(ps[0].X, ps[0].Y)
		for i := range n {
			e := ps[(3*i+3)%(3*n)]
			p.CubeTo(ps[3*i+1].X, ps[3*i+1].Y, ps[3*i+2].X, ps[3*i+2].Y, e.X, e.Y)
		}
		p.Close()
		r := PathRegion(p)
		if r.Err() != nil {
			t.Errorf("case %d: %v", k, r.Err())
			continue
		}
		if len(r.Pieces()) != 1 {
			continue // it crossed itself after all
		}
		var dense []Point
		for i := range n {
			a, b, c, d := ps[3*i], ps[3*i+1], ps[3*i+2], ps[(3*i+3)%(3*n)]
			for s := range 400 {
				u := float64(s) / 400
				v := 1 - u
				q := a.Mul(v * v * v).Add(b.Mul(3 * v * v * u)).Add(c.Mul(3 * v * u * u)).Add(d.Mul(u * u * u))
				dense = append(dense, q)
				if e := toBorder(q, r); e > CurveTolerance && s%7 == 0 {
					t.Fatalf("case %d: the curve at %v is %g from the arcs", k, q, e)
				}
			}
		}
		segs := 0
		for c := range r.Contours() {
			for _, s := range c.Segments {
				segs++
				for _, f := range []float64{0, 0.31, 0.74} {
					q := s.From.Add(s.To.Sub(s.From).Mul(f))
					if s.Radius > 0 {
						q = s.Centre.Add(s.From.Sub(s.Centre).Turned(s.Sweep * Degrees(f)))
					}
					e := math.Inf(1)
					for i, x := range dense {
						e = math.Min(e, segDist(q, x, dense[(i+1)%len(dense)]))
					}
					if e > CurveTolerance+3e-4 { // dense is a polygon
						t.Fatalf("case %d: the arcs at %v are %g from the curve", k, q, e)
					}
				}
			}
		}
		if segs > 60*n {
			t.Errorf("case %d: %d segments for %d curves", k, segs, n)
		}
	}
}

// A path written and read again is the same region.
func TestPathRoundTrip(t *testing.T) {
	for k := range uint64(100) {
		a, b := pair(families()[k%10], gen{rand.New(rand.NewPCG(k, 11))})
		if k%10 == 4 {
			continue
		}
		r := a.region().Xor(b.region())
		q := PathRegion(r.Path())
		if q.Err() != nil {
			t.Errorf("case %d: %v", k, q.Err())
			continue
		}
		near(t, fmt.Sprintf("case %d: area", k), q.Area(), r.Area(), 1e-5*(1+r.Perimeter()))
		near(t, fmt.Sprintf("case %d: difference", k), q.Xor(r).Area(), 0, 1e-3*r.Perimeter())
	}
}

// Random closed walks, filled by the non-zero rule, against winding numbers
// counted on the walk itself.
func TestNonZeroRandom(t *testing.T) {
	for k := range uint64(100) {
		g := gen{rand.New(rand.NewPCG(k, 13))}
		var walks [][]Point
		p := &canvas.Path{}
		for range 1 + g.IntN(3) {
			var w []Point
			for range 3 + g.IntN(15) {
				q := Point{g.in(-20, 20), g.in(-20, 20)}
				if k%2 == 0 {
					q = Point{g.grid(5, 2), g.grid(5, 2)}
				}
				if len(w) > 0 && q == w[len(w)-1] {
					continue
				}
				w = append(w, q)
			}
			walks = append(walks, w)
			p.MoveTo(w[0].X, w[0].Y)
			for _, q := range w[1:] {
				p.LineTo(q.X, q.Y)
			}
			p.Close()
		}
		r := PathRegion(p)
		if r.Err() != nil {
			t.Errorf("case %d: %v", k, r.Err())
			continue
		}
		for range 60 {
			q := Point{g.in(-21, 21), g.in(-21, 21)}
			near, wind := math.Inf(1), 0
			for _, w := range walks {
				turn := 0.0
				for i, a := range w {
					b := w[(i+1)%len(w)]
					near = math.Min(near, segDist(q, a, b))
					turn += math.Atan2(a.Sub(q).Cross(b.Sub(q)), a.Sub(q).Dot(b.Sub(q)))
				}
				wind += int(math.Round(turn / (2 * math.Pi)))
			}
			if near > 0.004 && r.Contains(q) != (wind != 0) {
				t.Errorf("case %d: %v has winding %d, filled %v\n%s", k, q, wind, wind == 0, p)
				break
			}
		}
	}
}

func TestPolygonRefuses(t *testing.T) {
	nan := math.NaN()
	for name, ps := range map[string][]Point{
		"two corners":  {{0, 0}, {1, 1}},
		"a bow tie":    {{0, 0}, {10, 10}, {10, 0}, {0, 10}},
		"a double lap": {{0, 0}, {10, 0}, {10, 10}, {0, 10}, {0, 0}, {10, 0}, {10, 10}, {0, 10}},
		"not a number": {{0, 0}, {nan, 0}, {0, 1}},
		"infinite":     {{0, 0}, {math.Inf(1), 0}, {0, 1}},
		"far away":     {{0, 0}, {2e6, 0}, {0, 1}},
		"a loop":       {{0, 0}, {20, 0}, {20, 10}, {8, 10}, {8, -5}, {12, -5}, {12, 12}, {0, 12}},
	} {
		if r := Polygon(ps...); r.Err() == nil {
			t.Errorf("%s: no error, area %g", name, r.Area())
		}
	}
	for name, ps := range map[string][]Point{
		"touching itself":     {{0, 0}, {10, 0}, {10, 10}, {5, 0}, {0, 10}},
		"repeated corners":    {{0, 0}, {0, 0}, {10, 0}, {10, 10}, {10, 10}, {0, 10}, {0, 0}},
		"corners on an edge":  {{0, 0}, {5, 0}, {10, 0}, {10, 10}, {0, 10}},
		"clockwise":           {{0, 0}, {0, 10}, {10, 10}, {10, 0}},
		"a spike there, back": {{0, 0}, {10, 0}, {20, 0}, {10, 0}, {10, 10}, {0, 10}},
	} {
		if r := Polygon(ps...); r.Err() != nil || r.Empty() {
			t.Errorf("%s: %v, area %g", name, r.Err(), r.Area())
		}
	}
}

// FuzzPathData looks for panics, hangs, and regions that are not sound.
func FuzzPathData(f *testing.F) {
	for _, d := range []string{
		"M0 0h10v10h-10z M2 2v4h4v-4z", "M-5 0a5 5 0 0010 0a5 5 0 00-10 0z", "M0 0C0 10 10 10 10 0z", "M0 0Q5 10 10 0T20 0z",
		"M0 0L10 10L10 0L0 10z", "m1 1 2,3-4.5e1 6zm1e3 0s1 2 3 4z", "M0,0A1e-9 5 30 1 0 .5 .5z", "M0 0",
	} {
		f.Add(d)
	}
	f.Fuzz(func(t *testing.T, d string) {
		if len(d) > 2000 {
			return
		}
		r := PathData(d)
		if r.Err() != nil {
			if !r.Empty() {
				t.Fatal("an error and an area")
			}
			return
		}
		if a := r.Area(); !(a >= 0) || math.IsInf(a, 0) {
			t.Fatalf("area %g", a)
		}
		for c := range r.Contours() {
			for i, s := range c.Segments {
				if next := c.Segments[(i+1)%len(c.Segments)]; s.To != next.From {
					t.Fatalf("chain broken at %v", s.To)
				}
			}
		}
		if o := r.Offset(-0.1, Mitre); o.Err() == nil && o.Area() > r.Area()+1e-3*r.Perimeter() {
			t.Fatalf("inset from %g to %g mm²", r.Area(), o.Area())
		}
	})
}
