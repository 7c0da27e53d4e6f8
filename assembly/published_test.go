package assembly_test

import (
	"math"
	"testing"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/layers"
)

// A birch plywood datasheet lists the mass of whole boards of 1.22 × 2.44 m by
// thickness, with the densities beside it, to one decimal.
func TestMassPublished(t *testing.T) {
	for _, board := range []struct{ thick, density, kg float64 }{
		{4, 660, 7.9}, {6.5, 670, 13.0}, {9, 710, 19.0}, {12, 695, 24.8}, {18, 685, 36.7},
	} {
		lib := layers.Library{}.With(layers.Material{Name: "birch", Thickness: layers.Spread{Mean: board.thick}, Density: board.density})
		k := build(t, assembly.Product{Stack: []assembly.Layer{{{Name: "board", Material: "birch", Outline: layers.Rectangle(1220, 2440)}}}}, lib)
		if got := k.Mass() / 1000; math.Abs(got-board.kg) > 0.06 {
			t.Errorf("%g mm: %.3f kg, want %g", board.thick, got, board.kg)
		}
	}
}

// Published sections, as outlines of plates in a kit.
func TestSectionsPublished(t *testing.T) {
	p := func(xy ...float64) layers.Region {
		var ps []layers.Point
		for i := 0; i < len(xy); i += 2 {
			ps = append(ps, layers.Point{X: xy[i], Y: xy[i+1]})
		}
		return layers.Polygon(ps...)
	}
	for _, test := range []struct {
		source               string
		outline              layers.Region
		area, height, ix, iy float64 // iy: 0 where the source has none
		tolerance            float64 // relative
	}{
		// A statics course's problem 8.27: a T of a 20 × 4 flange and a 4 × 16
		// web; datum at the flange's outer face. Ix follows by arithmetic.
		{source: "T", outline: rect(20, 4, 0, 2).Union(rect(4, 16, 0, 12)), area: 144, height: 6.444, ix: 5027.556, tolerance: 1e-4},
		// R. C. Hibbeler, Statics, 14th edition, problem 10-50, in hundredths of
		// a metre: a 30 × 40 rectangle between two right triangles of 20 × 40 on
		// a 110 × 5 strip; the sums follow by arithmetic from its terms.
		{source: "composite", outline: p(-55, 0, 55, 0, 55, 5, 35, 5, 15, 45, -15, 45, -35, 5, -55, 5), area: 2550, height: 18.0556, ix: 423275, tolerance: 1e-5},
		// Reference data of an open section-properties library: an equal angle
		// of 100 × 100 × 8 mm, turned by 45°.
		{source: "angle", outline: p(0, 0, 70.710678118655, 70.710678118655, 65.053823869162, 76.367532368147, 0, 11.313708498985, -65.053823869162, 76.367532368147, -70.710678118655, 70.710678118655),
			area: 1536, height: 39.539054181, ix: 600058.6667, iy: 2363392, tolerance: 1e-8},
		// The same data: a square of 100 mm.
		{source: "square", outline: rect(100, 100, 0, 0), area: 10000, ix: 8333333.333, iy: 8333333.333, tolerance: 1e-9},
	} {
		k := build(t, assembly.Product{Stack: []assembly.Layer{{flat("section", test.outline)}}}, layers.Library{}.With(layers.Material{Name: birch, Thickness: layers.Spread{Mean: 3}}))
		s, _ := k.Plate("section")
		near := func(what string, got, want float64) {
			if math.Abs(got-want) > test.tolerance*max(math.Abs(want), 1) {
				t.Errorf("%s: %s is %.9g, want %.9g", test.source, what, got, want)
			}
		}
		near("area", s.Outline.Area(), test.area)
		near("height of the centroid", s.Outline.Centroid().Y, test.height)
		i := s.Outline.Inertia()
		near("Ix", i.X, test.ix)
		if test.iy != 0 {
			near("Iy", i.Y, test.iy)
		}
	}
}
