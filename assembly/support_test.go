package assembly_test

import (
	"testing"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/joints/flex"
	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/stock"
)

const (
	birch = "birch ply 3"
	blue  = "blue cast acrylic 3"
)

// flat returns a plate of birch.
func flat(name string, outline layers.Region) layers.Plate {
	return layers.Plate{Name: name, Material: birch, Outline: outline}
}

// at moves a rectangle to (x, y).
func rect(w, h, x, y float64) layers.Region {
	return layers.Rectangle(w, h).Move(layers.Point{X: x, Y: y})
}

// wall returns an upright of birch that stands on a plate: w mm wide, h high.
func wall(name, on string, w, h float64, at layers.Point, turn layers.Degrees) assembly.Upright {
	return assembly.Upright{Plate: flat(name, rect(w, h, 0, h/2)), At: at, Turn: turn, On: on}
}

// works is a joint that asks for a given work.
type works struct {
	Tied []string
	Work joints.Work
}

func (j works) Ties() []string                    { return j.Tied }
func (j works) Realize(_ joints.Site) joints.Work { return j.Work }

// thick returns the common materials with birch and blue acrylic as measured.
func thick(birchSpread, blueSpread layers.Spread) layers.Library {
	lib := stock.Common()
	b, _ := lib.Find(birch)
	a, _ := lib.Find(blue)
	b.Thickness, a.Thickness = birchSpread, blueSpread
	return lib.With(b, a)
}

func build(t testing.TB, p assembly.Product, lib layers.Library) *assembly.Kit {
	t.Helper()
	k, err := p.Build(lib)
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// sound is a product with joints of many kinds that fits at any thickness.
func sound() assembly.Product {
	panel := layers.Rectangle(160, 120)
	all := []string{"back", "sea", "frame"}
	return assembly.Product{
		Name: "sound",
		Stack: []assembly.Layer{
			{flat("back", panel)},
			{{Name: "sea", Material: blue, Outline: panel}, flat("fish", rect(26, 26, -50, -30)), flat("boat", rect(26, 26, -50, -30))},
			{flat("frame", panel.Subtract(panel.Inset(14))), flat("sun", rect(20, 20, 50, 30)), flat("moon", rect(20, 20, -50, 30))},
		},
		Uprights: []assembly.Upright{
			wall("wall", "sea", 80, 30, layers.Point{}, 0),
			wall("rib", "sea", 50, 30, layers.Point{X: 4}, 90),
		},
		Joints: map[string]joints.Joint{
			"left peg":  joints.Peg{Through: all, At: layers.Point{X: -73}, Turn: 90},
			"right peg": joints.Peg{Through: all, At: layers.Point{X: 73}, Turn: 90, Fit: joints.Fit{Class: joints.Press}},
			"sun pin":   joints.Peg{Through: all[:2], At: layers.Point{X: 50, Y: -30}, Turn: 30},
			"foot":      joints.TabSlot{Upright: "wall", Through: all[:2], At: 25, Width: 12},
			"toe":       joints.TabSlot{Upright: "wall", Through: all[:2], At: -25, Width: 12, Fit: joints.Fit{Class: joints.Press}},
			"heel":      joints.TabSlot{Upright: "rib", Through: all[:2], At: -16, Width: 10, Fit: joints.Fit{Class: joints.Slide}},
			"top clip":  joints.SpringClip{Through: all, At: layers.Point{Y: 53}, Cut: birch},
			"low clip":  joints.SpringClip{Through: all, At: layers.Point{Y: -53}, Turn: 180, Cut: birch, Arm: flex.Arched},
			"swim":      joints.Seat{In: "sea", Inserts: []string{"fish", "boat"}, At: layers.Point{X: -50, Y: -30}, Shape: layers.Circle(22), Key: 2},
			"screw":     joints.Screw{Through: all, At: layers.Point{X: 73, Y: 45}},
			"lap":       joints.CrossLap{A: "wall", B: "rib", Fit: joints.Fit{Class: joints.Press}},
		},
		Height: 30,
	}
}
