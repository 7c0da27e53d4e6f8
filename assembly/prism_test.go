package assembly

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/go-gl/mathgl/mgl64"
	"pgregory.net/rapid"

	"github.com/platewright/platewright/layers"
)

// sheet returns a plate of an outline and a thickness at a pose.
func sheet(r layers.Region, t float64, pose layers.Pose) Placed {
	return Placed{
		Plate: layers.Plate{Outline: r},
		Stock: layers.Material{Thickness: layers.Spread{Mean: t}},
		Pose:  pose,
	}
}

func TestSharedVolume(t *testing.T) {
	plate := layers.Rectangle(100, 60)
	wall := layers.Rectangle(40, 20) // y from -10 to 10
	slot := layers.Rectangle(10, 3.2)
	for _, test := range []struct {
		name string
		a, b Placed
		want float64
	}{
		{"wall through plate", sheet(plate, 3, layers.Flat(0)), sheet(wall, 3, layers.Standing(layers.Point{}, 0, 0, 3)), 40 * 3 * 3},
		{"wall into half the plate", sheet(plate, 3, layers.Flat(0)), sheet(wall, 3, layers.Standing(layers.Point{}, 0, 11.5, 3)), 40 * 3 * 1.5},
		{"wall on the plate", sheet(plate, 3, layers.Flat(0)), sheet(wall, 3, layers.Standing(layers.Point{}, 0, 13, 3)), 0},
		{"wall over the plate's edge", sheet(plate, 3, layers.Flat(0)), sheet(wall, 3, layers.Standing(layers.Point{X: 50}, 0, 0, 3)), 20 * 3 * 3},
		{"wall along the plate's edge", sheet(plate, 3, layers.Flat(0)), sheet(wall, 3, layers.Standing(layers.Point{Y: 30}, 0, 0, 3)), 40 * 1.5 * 3},
		{"wall beside a slot's middle", sheet(plate.Subtract(slot), 3, layers.Flat(0)), sheet(wall, 3, layers.Standing(layers.Point{}, 0, 0, 3)), 30 * 3 * 3},
		{"wall half beside a slot", sheet(plate.Subtract(slot.Move(layers.Point{Y: 1.6})), 3, layers.Flat(0)), sheet(wall, 3, layers.Standing(layers.Point{}, 0, 0, 3)), 40*3*3 - 10*1.5*3},
		{"turned wall", sheet(plate.Rotate(30), 3, layers.Flat(0)), sheet(wall, 3, layers.Standing(layers.Point{}, 30, 0, 3)), 40 * 3 * 3},
		{"wall askew on the plate", sheet(plate, 3, layers.Flat(0)), sheet(wall, 3, layers.Standing(layers.Point{}, 37, 0, 3)), 40 * 3 * 3},
		{"walls cross", sheet(wall, 3, layers.Standing(layers.Point{}, 0, 0, 3)), sheet(wall, 4, layers.Standing(layers.Point{X: 5}, 90, 6, 4)), 3 * 4 * 14},
		{"walls cross askew of the axes", sheet(wall, 3, layers.Standing(layers.Point{}, 20, 0, 3)), sheet(wall, 4, layers.Standing(layers.Point{X: 5}, 110, 6, 4)), 3 * 4 * 14},
		{"walls meet in a T", sheet(wall, 3, layers.Standing(layers.Point{}, 0, 0, 3)), sheet(wall, 4, layers.Standing(layers.Point{Y: 20}, 90, 6, 4)), 1.5 * 4 * 14},
		{"walls beside each other", sheet(wall, 3, layers.Standing(layers.Point{}, 0, 0, 3)), sheet(wall, 4, layers.Standing(layers.Point{X: 30, Y: 10}, 90, 6, 4)), 0},
		{"triangle in a plate", sheet(plate, 3, layers.Flat(0)), sheet(layers.Polygon(layers.Point{X: -10, Y: 0}, layers.Point{X: 10, Y: 0}, layers.Point{X: 0, Y: 6}), 2, layers.Standing(layers.Point{}, 0, 0, 2)), (20 + 10) / 2 * 3 * 2},
		{"triangle in a triangle", // ∫ (6 - 0.6|u|)·(2 clamped) du: the wall is thinner than the plate is deep there
			sheet(layers.Polygon(layers.Point{X: -10, Y: -1}, layers.Point{X: 10, Y: -1}, layers.Point{X: 0, Y: 1}), 10, layers.Flat(0)),
			sheet(layers.Polygon(layers.Point{X: -10, Y: 0}, layers.Point{X: 10, Y: 0}, layers.Point{X: 0, Y: 6}), 8, layers.Standing(layers.Point{}, 0, 0, 8)),
			2 * 6 * 2 * 10.0 / 3},
	} {
		t.Run(test.name, func(t *testing.T) {
			for _, pair := range [][2]Placed{{test.a, test.b}, {test.b, test.a}} {
				got, at := shared(outlineOf(pair[0]), outlineOf(pair[1]))
				if math.Abs(got-test.want) > 1e-6 {
					t.Errorf("shared volume is %.9g mm³, want %.9g", got, test.want)
				}
				if got > 0 && !(holds(test.a, at) && holds(test.b, at)) {
					t.Errorf("the place %v is not in both plates", at)
				}
			}
		})
	}
}

// holds reports whether the point lies in the sheet.
func holds(p Placed, w mgl64.Vec3) bool {
	at, n := p.Pose.Local(w)
	return p.Outline.Contains(at) && n >= p.Pose.Back-1e-9 && n <= p.Pose.Back+p.Stock.Thickness.Mean+1e-9
}

// A bar of radius r that pierces a wall of thickness 2h at distance d from the
// wall's middle plane shares ∫ 2·√(r² − v²) dv over the wall's thickness with
// it, times its height: circular segments, for which the antiderivative
// v·√(r² − v²) + r²·asin(v/r) is exact.
func TestSharedVolumeOfArcs(t *testing.T) {
	const r = 5.0
	segment := func(v float64) float64 {
		v = min(max(v, -r), r)
		return v*math.Sqrt(r*r-v*v) + r*r*math.Asin(v/r)
	}
	for _, test := range []struct{ d, thick float64 }{{0, 3}, {2, 3}, {4.9, 3}, {3.5, 3}, {6.4, 3}, {0, 10}, {0, 12}, {4.999, 0.1}} {
		disc := sheet(layers.Circle(2*r), 3, layers.Flat(0))
		wall := sheet(layers.Rectangle(40, 20), test.thick, layers.Standing(layers.Point{Y: test.d}, 0, 0, test.thick))
		want := 3 * (segment(test.d+test.thick/2) - segment(test.d-test.thick/2))
		got, _ := shared(outlineOf(disc), outlineOf(wall))
		if math.Abs(got-want) > 1e-6*(1+want) {
			t.Errorf("wall of %g mm at %g: %.9g mm³, want %.9g (%.1e off)", test.thick, test.d, got, want, got-want)
		}
		hole := sheet(layers.Rectangle(30, 30).Subtract(layers.Circle(2*r)), 3, layers.Flat(0))
		left, _ := shared(outlineOf(hole), outlineOf(wall))
		if full := 30 * 3 * test.thick; math.Abs(left+want-full) > 1e-6*(1+full) {
			t.Errorf("wall of %g mm at %g about a hole: %.9g mm³, want %.9g", test.thick, test.d, left, full-want)
		}
	}
	// Two bars of one radius that cross square share 16/3·r³ (Archimedes, The
	// Method, proposition 15; here as prisms of equal circles, sheets of 2r).
	a := sheet(layers.Circle(2*r), 2*r, layers.Flat(-r))
	b := sheet(layers.Circle(2*r), 2*r, layers.Standing(layers.Point{}, 0, 0, 2*r))
	if got, _ := shared(outlineOf(a), outlineOf(b)); math.Abs(got/(16.0/3*r*r*r)-1) > 1e-6 {
		t.Errorf("two bars share %.9g mm³, want %.9g", got, 16.0/3*r*r*r)
	}
}

// An independent count: points thrown at random into the box that both share.
func TestSharedVolumeCounted(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	star := func(n int) layers.Region {
		var ps []layers.Point
		for i := range n {
			ps = append(ps, layers.Degrees(360*i/n).Unit().Mul(6+14*rng.Float64()))
		}
		return layers.Polygon(ps...).Subtract(layers.Circle(5).Move(layers.Point{X: 2, Y: 1}))
	}
	for i := range 20 {
		turn := layers.Degrees(rng.Float64() * 360)
		a := sheet(star(5+i%7), 2+4*rng.Float64(), layers.Flat(rng.Float64()*3))
		b := sheet(star(5+i%5), 5, layers.Standing(layers.Point{X: 8 * rng.Float64(), Y: 8 * rng.Float64()}, turn, 3*rng.Float64(), 5))
		if i%2 == 1 {
			a = sheet(a.Outline, a.Stock.Thickness.Mean, layers.Standing(layers.Point{}, turn+90, 1, a.Stock.Thickness.Mean))
		}
		if i%4 == 3 { // seen from behind
			b.Pose.X, b.Pose.Back = b.Pose.X.Mul(-1), -2
		}
		got, _ := shared(outlineOf(a), outlineOf(b))
		boxes := []box{boxOf(a), boxOf(b)}
		lo, size := boxes[0].min, mgl64.Vec3{}
		for j := range 3 {
			lo[j] = max(boxes[0].min[j], boxes[1].min[j])
			size[j] = min(boxes[0].max[j], boxes[1].max[j]) - lo[j]
		}
		const n = 40000
		hits := 0
		for range n {
			w := mgl64.Vec3{lo[0] + size[0]*rng.Float64(), lo[1] + size[1]*rng.Float64(), lo[2] + size[2]*rng.Float64()}
			if holds(a, w) && holds(b, w) {
				hits++
			}
		}
		all := size[0] * size[1] * size[2]
		p := float64(hits) / n
		if off := math.Abs(got - p*all); off > 5*all*math.Sqrt(p*(1-p)/n)+0.01 {
			t.Errorf("case %d: %.4g mm³, counted %.4g", i, got, p*all)
		}
	}
}

func TestSharedFlat(t *testing.T) {
	wall := layers.Polygon(layers.Point{X: 0, Y: 0}, layers.Point{X: 20, Y: 0}, layers.Point{X: 20, Y: 10})
	for _, test := range []struct {
		name string
		b    layers.Pose
		want float64
	}{
		{"in the same place", layers.Standing(layers.Point{}, 30, 0, 3), 300},
		{"half a thickness beside", layers.Standing(layers.Degrees(120).Unit().Mul(1.5), 30, 0, 3), 150},
		{"back to back", layers.Standing(layers.Degrees(120).Unit().Mul(3), 30, 0, 3), 0},
		// Turned by half, the triangle from (0,0) to (-20,0) to (-20,10) moved by 20
		// along the wall meets the first in a triangle of half its height.
		{"turned and moved", layers.Standing(layers.Degrees(30).Unit().Mul(20), 210, 0, 3), 3 * 20 * 5 / 2},
	} {
		a := sheet(wall, 3, layers.Standing(layers.Point{}, 30, 0, 3))
		b := sheet(wall, 3, test.b)
		for _, p := range [][2]Placed{{a, b}, {b, a}} {
			got, at := sharedFlat(p[0], p[1])
			if math.Abs(got-test.want) > 1e-5 {
				t.Errorf("%s: %.9g mm³, want %.9g", test.name, got, test.want)
			}
			if got > 0 && !(holds(a, at) && holds(b, at)) {
				t.Errorf("%s: %v is not in both", test.name, at)
			}
		}
	}
}

// What two plates share does not change when both are moved and turned.
func TestSharedVolumeTurns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.Float64Range(-30, 30)
		at := layers.Point{X: u.Draw(t, "x"), Y: u.Draw(t, "y")}
		turn := layers.Degrees(rapid.Float64Range(0, 360).Draw(t, "turn"))
		hole := layers.Point{X: u.Draw(t, "hole x"), Y: u.Draw(t, "hole y")}
		plate := layers.Rectangle(90, 70).Subtract(layers.Circle(20).Move(hole))
		foot := layers.Rectangle(24, 9)
		volume := func(move layers.Point, by layers.Degrees) float64 {
			a := sheet(plate.Rotate(by).Move(move), 3, layers.Flat(-1))
			b := sheet(foot, 4, layers.Standing(at.Turned(by).Add(move), turn+by, 0, 4))
			v, _ := shared(outlineOf(a), outlineOf(b))
			return v
		}
		want := volume(layers.Point{}, 0)
		got := volume(layers.Point{X: u.Draw(t, "dx"), Y: u.Draw(t, "dy")}, layers.Degrees(rapid.Float64Range(-180, 180).Draw(t, "by")))
		if math.Abs(got-want) > 1e-4*(1+want) {
			t.Errorf("%.9g mm³ before, %.9g after", want, got)
		}
	})
}

func TestSharedOblique(t *testing.T) {
	stand := func(r layers.Region, thick float64, at layers.Point, turn layers.Degrees) Placed {
		return sheet(r, thick, layers.Standing(at, turn, 0, thick))
	}
	bar := layers.Rectangle(60, 20)
	behind := stand(bar, 4, layers.Point{X: 3}, 40)
	behind.Pose.Y = behind.Pose.Y.Mul(-1)
	sin := func(a layers.Degrees) float64 { return math.Sin(a.Radians()) }
	for _, test := range []struct {
		name      string
		a, b      Placed
		want      float64
		tolerance float64 // relative
	}{
		{"through and through", stand(bar, 3, layers.Point{}, 0), stand(bar, 4, layers.Point{X: 3}, 40), 3 * 4 / sin(40) * 20, 1e-9},
		{"upside down", stand(bar, 3, layers.Point{}, 0), behind, 3 * 4 / sin(40) * 20, 1e-9},
		{"nearly parallel", stand(layers.Rectangle(400, 20), 3, layers.Point{}, 0), stand(layers.Rectangle(400, 20), 3, layers.Point{}, 5), 3 * 3 / sin(5) * 20, 1e-9},
		{"apart", stand(bar, 3, layers.Point{}, 0), stand(bar, 4, layers.Point{X: 50}, 40), 0, 0},
		{"a hole where they cross", stand(bar.Subtract(layers.Rectangle(20, 8)), 3, layers.Point{}, 0), stand(bar, 4, layers.Point{}, 40), 3 * 4 / sin(40) * 12, 1e-9},
		{"square, for comparison", stand(layers.Circle(20), 3, layers.Point{}, 0), stand(layers.Circle(20), 3, layers.Point{}, 90), math.NaN(), 1e-2},
	} {
		for _, p := range [][2]Placed{{test.a, test.b}, {test.b, test.a}} {
			got, at := sharedOblique(outlineOf(p[0]), outlineOf(p[1]))
			want := test.want
			if math.IsNaN(want) {
				want, _ = shared(outlineOf(p[0]), outlineOf(p[1]))
			}
			if math.Abs(got-want) > test.tolerance*want+1e-9 {
				t.Errorf("%s: %.9g mm³, want %.9g", test.name, got, want)
			}
			if got > 0 && !(holds(test.a, at) && holds(test.b, at)) {
				t.Errorf("%s: %v is not in both", test.name, at)
			}
		}
	}
	// What square plates share by the one way they share by the other.
	rng := rand.New(rand.NewPCG(5, 6))
	for i := range 40 {
		star := func() layers.Region {
			var ps []layers.Point
			for i := range 7 {
				ps = append(ps, layers.Degrees(360*i/7).Unit().Mul(4+14*rng.Float64()))
			}
			return layers.Polygon(ps...).Subtract(layers.Circle(4).Move(layers.Point{X: 1}))
		}
		a := stand(star(), 3, layers.Point{}, layers.Degrees(10*i))
		b := stand(star(), 4, layers.Point{X: 6 * rng.Float64(), Y: 6 * rng.Float64()}, layers.Degrees(10*i+90))
		want, _ := shared(outlineOf(a), outlineOf(b))
		if got, _ := sharedOblique(outlineOf(a), outlineOf(b)); math.Abs(got-want) > 0.01*want+0.05 {
			t.Errorf("case %d: %.6g mm³, want %.6g", i, got, want)
		}
	}
}
