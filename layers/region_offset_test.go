package layers

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

// toSegment is the distance from p to s, by the definition.
func toSegment(p Point, s Segment) float64 {
	if s.Radius == 0 {
		return segDist(p, s.From, s.To)
	}
	d := math.Min(p.Sub(s.From).Len(), p.Sub(s.To).Len())
	v, a := p.Sub(s.Centre), s.From.Sub(s.Centre)
	t := math.Atan2(a.Cross(v), a.Dot(v))
	if s.Sweep < 0 {
		t = -t
	}
	if t < 0 {
		t += 2 * math.Pi
	}
	if t <= math.Abs(s.Sweep.Radians()) {
		d = math.Min(d, math.Abs(v.Len()-s.Radius))
	}
	return d
}

func toBorder(p Point, r Region) float64 {
	d := math.Inf(1)
	for c := range r.Contours() {
		for _, s := range c.Segments {
			d = math.Min(d, toSegment(p, s))
		}
	}
	return d
}

// offsetWrongs compares o, which is r moved by d, with the definition: a
// rounded offset holds the points within d of r, or those deeper in r than -d;
// a mitred one differs by corners that reach 5 d, the ends of the cut a
// little more.
func offsetWrongs(r, o Region, d float64, c Corner, g gen) (wrong []string) {
	if o.Err() != nil {
		return []string{o.Err().Error()}
	}
	box := r.Bounds()
	var ps []Point
	for range 30 {
		ps = append(ps, Point{g.in(box.Min.X-2*math.Abs(d), box.Max.X+2*math.Abs(d)), g.in(box.Min.Y-2*math.Abs(d), box.Max.Y+2*math.Abs(d))})
	}
	n := 0
	for c := range o.Contours() {
		for i, s := range c.Segments {
			if s.To != c.Segments[(i+1)%len(c.Segments)].From {
				wrong = append(wrong, fmt.Sprintf("broken at %v", s.To))
			}
			m := s.From.Add(s.To).Mul(0.5)
			if s.Radius > 0 {
				m = s.Centre.Add(s.From.Sub(s.Centre).Turned(s.Sweep / 2))
				for _, p := range [2]Point{s.From, s.To} {
					if e := math.Abs(p.Sub(s.Centre).Len() - s.Radius); e > 5e-9 {
						wrong = append(wrong, fmt.Sprintf("arc misses its end by %g", e))
					}
				}
			}
			if n++; n < 40 {
				ps = append(ps, m.Add(Point{0.02, 0}), m.Add(Point{-0.02, 0}), m.Add(Point{0, 0.02}), m.Add(Point{0, -0.02}))
			}
		}
	}
	for _, p := range ps {
		b := toBorder(p, r)
		in := r.Contains(p)
		const slack = 0.005
		if math.Abs(b-math.Abs(d)) < slack {
			continue
		}
		want := in || b < d
		if d < 0 {
			want = in && b > -d
		}
		got := o.Contains(p)
		if got == want {
			continue
		}
		if c == Mitre && b < 5.1*math.Abs(d)+slack && b > math.Abs(d) && got == (d > 0) {
			continue // may be a corner
		}
		wrong = append(wrong, fmt.Sprintf("holds %.9g, %.9g at %.6g from the border: %v, want %v", p.X, p.Y, b, got, want))
	}
	return wrong
}

func TestOffsetRandom(t *testing.T) {
	n := max(1, *cases/5)
	worst := 0
	for k := *firstCase; k < *firstCase+n; k++ {
		fs := families()
		f := fs[k%uint64(len(fs))]
		if f == "holes" && k%7 != 0 {
			f = "slots"
		}
		g := gen{rand.New(rand.NewPCG(k, 3))}
		a, b := pair(f, g)
		r := a.region().Xor(b.region())
		d := g.in(0.02, 2)
		if g.IntN(2) == 0 {
			d = -d
		}
		if g.IntN(3) == 0 {
			d = float64(int(d*2)) / 2
		}
		for _, c := range []Corner{Mitre, Round} {
			o := r.Offset(d, c)
			if w := offsetWrongs(r, o, d, c, g); len(w) > 0 {
				if worst++; worst < 12 {
					if len(w) > 3 {
						w = w[:3]
					}
					t.Errorf("case %d, %s, offset %g, corner %d:\n  %s", k, f, d, c, strings.Join(w, "\n  "))
				}
			}
		}
	}
	t.Logf("%d cases, %d wrong", n, worst)
}

func TestOffsetTopology(t *testing.T) {
	dumbbell := Rectangle(20, 20).Union(Rectangle(20, 20).Move(Point{40, 0}), Rectangle(60, 2).Move(Point{20, 0}))
	tests := []struct {
		name   string
		r      Region
		d      float64
		pieces int
		holes  int
		area   float64
	}{
		{"a neck closes", dumbbell, -1.5, 2, 0, 2 * 17 * 17},
		{"a neck stays", dumbbell, -0.5, 1, 0, 2*19*19 + 21*1},
		{"an arc's radius vanishes", RoundedRectangle(30, 20, 2), -3, 1, 0, 24 * 14},
		{"a hole vanishes", Rectangle(30, 20).Subtract(Circle(4)), 2.5, 1, 0, 35 * 25},
		{"two holes merge", Rectangle(40, 20).Subtract(Circle(8).Move(Point{-4.5, 0}), Circle(8).Move(Point{4.5, 0})), -1,
			1, 1, 38*18 - (2*25*math.Pi - lens(5, 9))},
		{"a hole breaks out", Rectangle(40, 20).Subtract(Circle(10).Move(Point{0, 4})), -2, 1, 0,
			36*16 - (49*math.Pi - cap(7, 4))},
		{"pieces merge", Rectangle(10, 10).Union(Rectangle(10, 10).Move(Point{11, 0})), 1, 1, 0, 23 * 12},
		{"nothing is left", Rectangle(10, 4), -2, 0, 0, 0},
		{"a disc vanishes", Circle(10), -5, 0, 0, 0},
		{"a ring vanishes", Circle(10).Subtract(Circle(8)), -0.6, 0, 0, 0},
		{"a ring's hole fills", Circle(10).Subtract(Circle(2)), 1.5, 1, 0, math.Pi * 6.5 * 6.5},
	}
	for _, tt := range tests {
		o := tt.r.Offset(tt.d, Mitre)
		if o.Err() != nil {
			t.Errorf("%s: %v", tt.name, o.Err())
			continue
		}
		pieces, holes := 0, 0
		for c := range o.Contours() {
			if c.Hole {
				holes++
			} else {
				pieces++
			}
		}
		if pieces != tt.pieces || holes != tt.holes {
			t.Errorf("%s: %d pieces, %d holes, want %d, %d", tt.name, pieces, holes, tt.pieces, tt.holes)
		}
		near(t, tt.name+": area", o.Area(), tt.area, 1e-6)
	}
}

// lens is the area two discs of radius r, d apart, share.
func lens(r, d float64) float64 { return 2 * cap(r, d/2) }

// cap is the area of a disc of radius r beyond a chord at distance h.
func cap(r, h float64) float64 { return r*r*math.Acos(h/r) - h*math.Sqrt(r*r-h*h) }
