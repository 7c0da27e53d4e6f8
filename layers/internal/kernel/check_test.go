package kernel

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

func polygon(vs ...Vec) Ring {
	segs := make([]Seg, len(vs))
	for i, v := range vs {
		segs[i] = Line(v, vs[(i+1)%len(vs)])
	}
	return NewRing(segs)
}

func star(g *rand.Rand, c Vec, n int) Ring {
	vs := make([]Vec, n)
	for i := range vs {
		vs[i] = polar(c, 5+20*g.Float64(), 2*math.Pi*(float64(i)+0.8*g.Float64())/float64(n))
	}
	return polygon(vs...)
}

func shapeOf(t *testing.T, rings ...Ring) Shape {
	t.Helper()
	s, err := NewShape(rings)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestDepth takes right results, spoils them, and expects that to be seen.
func TestDepth(t *testing.T) {
	g := rand.New(rand.NewPCG(1, 2))
	ops := [...]Op{Union, Intersection, Difference, Xor}
	for n := range 400 {
		var a, b Shape
		for _, s := range [2]*Shape{&a, &b} {
			c := Vec{20*g.Float64() - 10, 20*g.Float64() - 10}
			switch g.IntN(3) {
			case 0:
				*s = shapeOf(t, star(g, c, 3+g.IntN(30)))
			case 1:
				*s = shapeOf(t, Circle(c, 3+15*g.Float64()))
			default:
				*s = shapeOf(t, Circle(c, 12), Circle(c, 2+9*g.Float64()).Reverse())
			}
		}
		pa, pb := a.Pieces(), b.Pieces()
		op := ops[n%4]
		r, err := Combine(op, a, b)
		if err != nil {
			t.Fatal(n, err)
		}
		if d := depth(op, pa, pb, r.Rings); d > 0 {
			t.Errorf("case %d: a right result is said to be %g deep wrong", n, d)
		}
		for _, wrong := range ops {
			x, err := Combine(wrong, a, b)
			if err != nil {
				t.Fatal(n, err)
			}
			e, err := Combine(Xor, x, r)
			if err != nil {
				t.Fatal(n, err)
			}
			if d := depth(op, pa, pb, x.Rings); e.Area() > 0.2 && d == 0 {
				t.Errorf("case %d: %v for %v, %g mm² wrong, is not seen", n, wrong, op, e.Area())
			}
		}
		for i, ring := range r.Rings {
			if math.Abs(ring.area) > 0.05*ring.len && depth(op, pa, pb, slices.Delete(slices.Clone(r.Rings), i, i+1)) == 0 {
				t.Errorf("case %d: ring %d of %d, of %g mm², left out is not seen", n, i, len(r.Rings), ring.area)
			}
		}
	}
}

// A lens between corners far above and below: no end lies level with it.
func TestDepthCrossings(t *testing.T) {
	a := [][]Ring{{polygon(Vec{-100, -100}, Vec{-95, -100}, Vec{105, 100}, Vec{100, 100})}}
	b := [][]Ring{{polygon(Vec{95, -101}, Vec{100, -101}, Vec{-100, 101}, Vec{-105, 101})}}
	if d := depth(Intersection, a, b, nil); d == 0 {
		t.Error("a missing lens is not seen")
	}
}

// Lines in proportion to what there is: teeth of a comb that all end at
// heights of their own.
func TestDepthWork(t *testing.T) {
	g := rand.New(rand.NewPCG(3, 4))
	vs := []Vec{{2000, -1}, {2000, -2}, {0, -2}, {0, -1}}
	for i := range 2000 {
		x := float64(i)
		vs = append(vs, Vec{x + 0.2, 100 * g.Float64()}, Vec{x + 0.8, -g.Float64()})
	}
	slices.Reverse(vs)
	comb := polygon(vs...)
	bar := [][]Ring{{polygon(Vec{-1, 40}, Vec{2001, 40}, Vec{2001, 45}, Vec{-1, 45})}}
	if comb.Hole() {
		comb = comb.Reverse()
	}
	var ys []float64
	var ls []slope
	for i := range comb.Segs {
		ls = slopes(ls, &comb.Segs[i], 0)
	}
	for _, l := range ls {
		ys = append(ys, l.lo, l.hi)
	}
	lines := thinned(between(ys), ls)
	work := 0
	for _, l := range ls {
		for _, y := range lines {
			if l.lo <= y && y < l.hi {
				work++
			}
		}
	}
	if work > 40*len(ls)+20_000 || len(lines) < 20 {
		t.Errorf("%d crossings of %d lines with %d slopes", work, len(lines), len(ls))
	}
	if d := depth(Union, [][]Ring{{comb}}, bar, []Ring{comb}); d == 0 {
		t.Error("a missing bar is not seen")
	}
}

func TestSpots(t *testing.T) {
	g := rand.New(rand.NewPCG(5, 6))
	s := spots{tol: 1e-7}
	var at []Vec
	for range 2000 {
		at = append(at, Vec{math.Round(g.Float64()*1e4) / 1e4, math.Round(g.Float64()*1e4) / 1e4})
		if u := s.add(at[len(at)-1]); u != at[len(at)-1] {
			t.Fatal(u, at[len(at)-1])
		}
	}
	for _, v := range at {
		w := v.Add(Vec{1.4e-7 * (g.Float64() - 0.5), 1.4e-7 * (g.Float64() - 0.5)})
		if u := s.add(w); u != v {
			t.Errorf("%v for %v near %v", u, w, v)
		}
		if k := s.find(v.Add(Vec{2e-7, 0})); k >= 0 {
			t.Errorf("found %v near %v", s.at[k], v)
		}
	}
}

// Corners an ulp apart have led the overlay engine to another shape.
func TestWelded(t *testing.T) {
	m := newMatcher()
	v := Vec{-42.440895500000003, -1.8273126}
	m.flat(polygon(v, Vec{0, 0}, Vec{0, 10}))
	vs := m.flat(polygon(Vec{v.X, math.Nextafter(v.Y, -2)}, Vec{0, -10}, Vec{0, 0}))
	if vs[0] != v {
		t.Errorf("%v for %v", vs[0], v)
	}
}

func TestTidy(t *testing.T) {
	c := Circle(Vec{0, 0}, 5)
	// A stadium whose lines miss its arcs by 2e-9.
	const e = 2e-9
	right := Arc(Vec{10, 0}, 5, -math.Pi/2, math.Pi)
	left := Arc(Vec{0, 0}, 5, math.Pi/2, math.Pi)
	stadium := NewRing([]Seg{
		right, Line(right.B, Vec{10, 5 + e}), Line(Vec{10, 5 + e}, Vec{0, 5 + e}), Line(Vec{0, 5 + e}, left.A),
		left, Line(left.B, right.A),
	})
	// Arcs that miss each other by as much.
	lower, upper := Arc(Vec{0, 0}, 5, math.Pi, math.Pi), Arc(Vec{0, 0}, 5+e, 0, math.Pi)
	arcs := NewRing([]Seg{lower, Line(lower.B, upper.A), upper, Line(upper.B, lower.A)})
	// A circle that was open where it touched its surroundings.
	most := Arc(Vec{0, 0}, 5, 1, 2*math.Pi-4e-8)
	open := NewRing([]Seg{most, Line(most.B, most.A)})
	for _, tt := range []struct {
		name string
		r    Ring
		n    int
	}{{"a circle", c, 2}, {"an open circle", open, 2}, {"a stadium", stadium, 4}, {"arcs", arcs, 4}} {
		r := tidy(tt.r)
		if len(r.Segs) != tt.n || math.Abs(r.area-tt.r.area) > 1e-6 {
			t.Errorf("%s: %d segments of area %v, want %d of %v", tt.name, len(r.Segs), r.area, tt.n, tt.r.area)
		}
		for i, s := range r.Segs {
			if s.Len() < mote || s.B != r.Segs[(i+1)%len(r.Segs)].A {
				t.Errorf("%s: segment %d: %+v", tt.name, i, s)
			}
			if s.IsArc() && math.Max(math.Abs(s.A.Dist(s.C)-s.R), math.Abs(s.B.Dist(s.C)-s.R)) > same {
				t.Errorf("%s: arc %d leaves its circle: %+v", tt.name, i, s)
			}
		}
	}
}

func TestNarrowestSlit(t *testing.T) {
	// A slot whose round end was left open by nanometres, and a slit.
	const e = 1.5e-9
	for _, gap := range []float64{e, 1e-6, 0.002, 0.01} {
		s := shapeOf(t, polygon(Vec{0, 0}, Vec{30, 0}, Vec{30, 20}, Vec{15 + gap, 20}, Vec{15 + gap, 10}, Vec{15, 10}, Vec{15, 20}, Vec{0, 20}))
		d, _, _, ok := Narrowest(s, 5, true)
		if want := gap > slit; ok != want || ok && math.Abs(d-gap) > 1e-9 {
			t.Errorf("slit of %g: window %g, %v", gap, d, ok)
		}
		w := shapeOf(t, polygon(Vec{0, 0}, Vec{30, 0}, Vec{30, 20}, Vec{15, 20}, Vec{15, gap}, Vec{14, gap}, Vec{14, 20}, Vec{0, 20}))
		d, _, _, ok = Narrowest(w, 5, false)
		if want := gap > slit; ok != want || ok && math.Abs(d-gap) > 1e-9 {
			t.Errorf("strip of %g: web %g, %v", gap, d, ok)
		}
	}
}
