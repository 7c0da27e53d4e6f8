package layers

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestUnitQuarterTurnsAreExact(t *testing.T) {
	for a, want := range map[Degrees]Point{0: {1, 0}, 90: {0, 1}, 180: {-1, 0}, 270: {0, -1}, 360: {1, 0}, -90: {0, -1}, 450: {0, 1}, -720: {1, 0}} {
		if got := a.Unit(); got != want {
			t.Errorf("%v.Unit() = %v, want %v", a, got, want)
		}
	}
	if got := (Point{3, 4}).Turned(90); got != (Point{-4, 3}) {
		t.Errorf("a quarter turn of 3, 4 is %v", got)
	}
}

func TestPointLaws(t *testing.T) {
	number := rapid.Float64Range(-1e3, 1e3)
	point := rapid.Custom(func(t *rapid.T) Point { return Point{number.Draw(t, "x"), number.Draw(t, "y")} })
	rapid.Check(t, func(t *rapid.T) {
		p, q, a := point.Draw(t, "p"), point.Draw(t, "q"), Degrees(number.Draw(t, "a"))
		if d := p.Turned(a).Len() - p.Len(); math.Abs(d) > 1e-9 {
			t.Fatalf("turning changes the length by %g", d)
		}
		if d := p.Turned(a).Turned(-a).Sub(p).Len(); d > 1e-9 {
			t.Fatalf("turned there and back is %g off", d)
		}
		if d := p.Cross(q) - p.Perp().Dot(q); d != 0 {
			t.Fatalf("cross and perp differ by %g", d)
		}
		if d := p.Add(q).Sub(q).Sub(p).Len(); d > 1e-12*(1+p.Len()+q.Len()) {
			t.Fatalf("added and taken away is %g off", d)
		}
	})
}

func TestBox(t *testing.T) {
	b := Box{Point{0, 0}, Point{10, 4}}
	if b.Width() != 10 || b.Height() != 4 || b.Centre() != (Point{5, 2}) || b.Empty() {
		t.Errorf("%v: %g × %g about %v", b, b.Width(), b.Height(), b.Centre())
	}
	e := Region{}.Bounds()
	if !e.Empty() || e.Width() != 0 || e.Height() != 0 || e.Meets(b, 100) || b.Meets(e, 100) {
		t.Error("an empty box has extent")
	}
	for _, tt := range []struct {
		c    Box
		d    float64
		want bool
	}{
		{Box{Point{10, 0}, Point{12, 4}}, 0, true},
		{Box{Point{11, 0}, Point{12, 4}}, 0.49, false},
		{Box{Point{11, 0}, Point{12, 4}}, 0.5, true},
		{Box{Point{2, 1}, Point{3, 2}}, 0, true},
		{Box{Point{2, 5}, Point{3, 6}}, 0.4, false},
		{Box{Point{2, 1}, Point{3, 2}}, -1, true},
	} {
		if got := b.Meets(tt.c, tt.d); got != tt.want {
			t.Errorf("%v meets %v grown by %g: %v", b, tt.c, tt.d, got)
		}
	}
}
