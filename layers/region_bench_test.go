package layers

import (
	"math"
	"math/rand/v2"
	"testing"
)

// slots returns n slots of 8 × 3 mm on a grid of the given pitch, each turned
// a little.
func slots(n int, pitch Point) []Region {
	s := SlotShape(8, 3)
	out := make([]Region, n)
	for i := range out {
		out[i] = s.Rotate(Degrees(i % 7)).Move(Point{20 + float64(i%40)*pitch.X, 20 + float64(i/40)*pitch.Y})
	}
	return out
}

func board() Region { return Rectangle(500, 200).Move(Point{250, 100}) }

func BenchmarkThousandSlots(b *testing.B) {
	cut, plate := slots(1000, Point{11, 6}), board()
	for b.Loop() {
		if r := plate.Subtract(cut...); r.Err() != nil || len(r.Pieces()) != 1 {
			b.Fatal(r.Err())
		}
	}
}

// Slots that cross their neighbours in a row and touch the plate's edge.
func BenchmarkThousandSlotsCrossing(b *testing.B) {
	cut, plate := slots(1000, Point{7.5, 6}), board().Subtract(Rectangle(17, 500))
	for b.Loop() {
		if r := plate.Subtract(cut...); r.Err() != nil {
			b.Fatal(r.Err())
		}
	}
}

// BenchmarkThousandTabs unites a thousand tabs with the edges of plates.
func BenchmarkThousandTabs(b *testing.B) {
	plate := Rectangle(1010, 50)
	var tabs []Region
	for i := range 1000 {
		y := 25.0
		if i >= 500 {
			y = -25
		}
		tabs = append(tabs, Rectangle(1, 6).Move(Point{float64(i%500)*2 - 499, y}))
	}
	for b.Loop() {
		if r := plate.Union(tabs...); r.Err() != nil || len(r.Pieces()) != 1 {
			b.Fatal(r.Err())
		}
	}
}

// plate145 is a plate with 144 holes.
func plate145(off float64) Region {
	var holes []Region
	for i := range 12 {
		for k := range 12 {
			c := Circle(4)
			if (i+k)%2 == 0 {
				c = SlotShape(6, 3)
			}
			holes = append(holes, c.Move(Point{float64(i)*8 - 44, float64(k)*8 - 44}))
		}
	}
	return RoundedRectangle(110, 110, 5).Subtract(holes...).Move(Point{off, off})
}

func BenchmarkOverlap145(b *testing.B) {
	p, q := plate145(0), plate145(1.3)
	for b.Loop() {
		if a, _ := p.Overlap(q); a < 1000 {
			b.Fatal(a)
		}
	}
}

func jagged(n int) Region {
	g := rand.New(rand.NewPCG(1, 2))
	ps := make([]Point, n)
	for i := range ps {
		r := 50 + 3*g.Float64()
		t := 2 * math.Pi * float64(i) / float64(n)
		ps[i] = Point{r * math.Cos(t), r * math.Sin(t)}
	}
	return Polygon(ps...)
}

func BenchmarkOffsetJagged(b *testing.B) {
	r := jagged(2000)
	for name, c := range map[string]Corner{"mitre": Mitre, "round": Round} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if o := r.Offset(0.1, c); o.Err() != nil {
					b.Fatal(o.Err())
				}
			}
		})
	}
}

func BenchmarkOffsetPlate145(b *testing.B) {
	r := plate145(0)
	for b.Loop() {
		if o := r.Offset(0.1, Mitre); o.Err() != nil {
			b.Fatal(o.Err())
		}
	}
}

func BenchmarkClearance145(b *testing.B) {
	p, q := plate145(0), plate145(120)
	for b.Loop() {
		if d, _ := Clearance(p, q); d <= 0 {
			b.Fatal(d)
		}
	}
}

func BenchmarkWeb145(b *testing.B) {
	p := plate145(0)
	for b.Loop() {
		if d, _, ok := p.Web(5); !ok || d <= 0 {
			b.Fatal(d)
		}
	}
}

func BenchmarkContains145(b *testing.B) {
	p := plate145(0)
	for b.Loop() {
		p.Contains(Point{3, 5})
	}
}
