package assembly_test

import (
	"math"
	"slices"
	"testing"

	"github.com/go-gl/mathgl/mgl64"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/stock"
)

// judged is a product, the one finding that a check should make of it, and a
// change after which the check should find nothing.
type judged struct {
	name     string
	id       string
	severity layers.Severity
	subject  string
	value    float64 // of the measure; NaN where there is none
	product  func() assembly.Product
	library  layers.Library
	cured    func(p *assembly.Product, lib *layers.Library)
}

var judgements = []judged{
	{
		name: "three sheets stand too high", id: "stack-height", severity: layers.Error, subject: "stack", value: 9,
		product: func() assembly.Product {
			return stacked(8.9, flat("back", layers.Rectangle(40, 40)), flat("middle", layers.Rectangle(40, 40)), flat("front", layers.Rectangle(30, 30)))
		},
		cured: func(p *assembly.Product, _ *layers.Library) { p.Height = 9 },
	},
	{
		// Two birch sheets and one of acrylic: 6·0.1 + 3·0.1 in the worst case.
		name: "three sheets may stand too high", id: "stack-height", severity: layers.Warning, subject: "stack", value: 9.9,
		product: func() assembly.Product {
			p := stacked(9.8, flat("back", layers.Rectangle(40, 40)), flat("middle", layers.Rectangle(40, 40)), flat("front", layers.Rectangle(30, 30)))
			p.Stack[1][0].Material = blue
			return p
		},
		library: thick(layers.Spread{Mean: 3, SD: 0.1}, layers.Spread{Mean: 3, SD: 0.1}),
		cured:   func(p *assembly.Product, _ *layers.Library) { p.Height = 9.9 },
	},
	{
		// The thick plate and the one that lies over none of it make no column.
		name: "columns beside each other", id: "stack-height", severity: layers.Error, subject: "stack", value: 6,
		product: func() assembly.Product {
			p := stacked(5.9, flat("back", layers.Rectangle(40, 40)))
			p.Stack = append(p.Stack,
				assembly.Layer{flat("left", rect(20, 40, -10, 0)), {Name: "right", Material: blue, Outline: rect(20, 40, 10, 0)}},
				assembly.Layer{flat("top", rect(10, 10, -10, 0))})
			p.Stack[0][0].Outline = p.Stack[0][0].Outline.Subtract(rect(8, 8, -10, 0))
			p.Stack[1][0].Outline = rect(10, 10, -10, 0)
			return p
		},
		library: thick(layers.Spread{Mean: 2}, layers.Spread{Mean: 4}),
		cured:   func(p *assembly.Product, _ *layers.Library) { p.Height = 6 },
	},
	{
		// By the published tolerance of 0.49 birch may be 3.29 mm.
		name: "spread not known", id: "stack-spread", severity: layers.Note, subject: "stack", value: 6.58,
		product: func() assembly.Product {
			return stacked(6.5, flat("back", layers.Rectangle(40, 40)), flat("front", layers.Rectangle(40, 40)))
		},
		cured: func(_ *assembly.Product, lib *layers.Library) {
			*lib = thick(layers.Spread{Mean: 3, SD: 0.02}, layers.Spread{Mean: 3})
		},
	},
	{
		name: "a plate over a thin one", id: "layer-air", severity: layers.Warning, subject: `plate "top"`, value: 0.4,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(40, 40)))
			p.Stack = append(p.Stack,
				assembly.Layer{flat("left", rect(20, 40, -10, 0)), {Name: "right", Material: blue, Outline: rect(20, 40, 10, 0)}},
				assembly.Layer{flat("top", rect(10, 10, -10, 0))})
			return p
		},
		library: thick(layers.Spread{Mean: 3}, layers.Spread{Mean: 3.4}),
		cured:   func(p *assembly.Product, _ *layers.Library) { p.Stack[2][0].Outline = rect(10, 10, 0, 0) },
	},
	{
		name: "a plate in a window", id: "layer-air", severity: layers.Warning, subject: `plate "top"`, value: 3,
		product: func() assembly.Product {
			return stacked(0, flat("back", layers.Rectangle(40, 40)), flat("frame", layers.Rectangle(40, 40).Subtract(layers.Circle(30))), flat("top", layers.Circle(29)))
		},
		cured: func(p *assembly.Product, _ *layers.Library) { p.Stack[2][0].Outline = layers.Circle(31) },
	},
	{
		name: "a clip over air", id: "clip-loose", severity: layers.Warning, subject: `joint "clip"`, value: 9.4,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(80, 40)))
			p.Stack = append(p.Stack,
				assembly.Layer{flat("left", rect(40, 40, -20, 0)), {Name: "right", Material: blue, Outline: rect(40, 40, 20, 0)}},
				assembly.Layer{flat("top", rect(30, 30, -20, 0))})
			p.Joints = map[string]joints.Joint{"clip": joints.SpringClip{Through: []string{"back", "left", "top"}, At: layers.Point{X: -20}}}
			return p
		},
		library: thick(layers.Spread{Mean: 3}, layers.Spread{Mean: 3.4}),
		cured: func(p *assembly.Product, lib *layers.Library) {
			p.Stack[2][0].Outline = rect(60, 30, 0, 0) // it rests on the thick plate too
		},
	},
	{
		name: "a clip over a plate that it does not know", id: "clip-tight", severity: layers.Warning, subject: `joint "clip"`, value: 9.16,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(60, 60)), flat("middle", layers.Rectangle(60, 60).Subtract(layers.Circle(30))), flat("front", layers.Rectangle(60, 60)))
			p.Stack[1][0].Material = blue
			p.Joints = map[string]joints.Joint{"clip": joints.SpringClip{Through: []string{"back", "front"}}}
			return p
		},
		library: thick(layers.Spread{Mean: 3}, layers.Spread{Mean: 3, SD: 0.2}),
		cured: func(p *assembly.Product, _ *layers.Library) {
			p.Stack[1][0].Outline = layers.Rectangle(60, 60)
			p.Joints = map[string]joints.Joint{"clip": joints.SpringClip{Through: []string{"back", "middle", "front"}}}
		},
	},
	{
		name: "a grip that is stated too short", id: "clip-tight", severity: layers.Error, subject: `joint "spring"`, value: 8.5,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(60, 60)), flat("middle", layers.Rectangle(60, 60)), flat("front", layers.Rectangle(60, 60)))
			p.Joints = map[string]joints.Joint{"spring": works{Tied: []string{"back", "front"}, Work: joints.Work{
				Makes:   []joints.Made{{Plate: flat("spring", rect(5, 5, 0, -9)), Pose: layers.Standing(layers.Point{}, 0, 0, 3)}},
				Matings: []joints.Mating{{Insert: "spring", Opening: "back"}, {Insert: "spring", Opening: "front"}},
				Springs: []joints.Spring{{Plate: "spring", Grip: 8.5, Held: 6}},
			}}}
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) {
			p.Stack[1] = p.Stack[1][:1]
			p.Stack[1][0].Outline = layers.Circle(1)
			delete(p.Joints, "spring")
		},
	},
	{
		name: "plates over each other", id: "plates-overlap", severity: layers.Error, subject: `plate "left"`, value: 0.1 * 40,
		product: func() assembly.Product {
			p := stacked(0)
			p.Stack = []assembly.Layer{{flat("left", rect(20, 40, -9.9, 0)), flat("right", rect(20, 40, 10, 0))}}
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) { p.Stack[0][0].Outline = rect(20, 40, -10, 0) },
	},
	{
		name: "plates closer than asked", id: "plates-close", severity: layers.Warning, subject: `plate "left"`, value: 0.3,
		product: func() assembly.Product {
			p := stacked(0)
			p.Stack = []assembly.Layer{{flat("left", rect(20, 40, -10, 0)), flat("right", rect(20, 40, 10.3, 0))}}
			p.Stack[0][1].Gap = 0.5
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) { p.Stack[0][1].Gap = 0.3 },
	},
	{
		name: "a wall without a slot", id: "plates-collide", severity: layers.Error, subject: `plate "wall"`, value: 20 * 3 * 3,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(40, 40)))
			p.Uprights = []assembly.Upright{wall("wall", "", 20, 20, layers.Point{}, 0)}
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) { p.Uprights[0].On = "back" },
	},
	{
		name: "a wall that misses its slot", id: "plates-collide", severity: layers.Error, subject: `plate "wall"`, value: 20.2 * 0.9 * 3,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(60, 40).Subtract(layers.Rectangle(20.2, 3.2))))
			p.Uprights = []assembly.Upright{wall("wall", "", 20.2, 20, layers.Point{Y: 1}, 0)}
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) { p.Uprights[0].At.Y = 0.1 },
	},
	{
		// 0.006 mm of a large face collide, 0.0048 mm are a contact.
		name: "a wall that presses into its slot", id: "plates-collide", severity: layers.Error, subject: `plate "wall"`, value: 150 * 0.006 * 3,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(200, 40).Subtract(layers.Rectangle(150, 3))))
			p.Uprights = []assembly.Upright{wall("wall", "", 150, 20, layers.Point{Y: 0.006}, 0)}
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) { p.Uprights[0].At.Y = 0.0048 },
	},
	{
		name: "two walls back to back", id: "plates-collide", severity: layers.Error, subject: `plate "long"`, value: 100 * 20 * 0.006,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(200, 40)))
			p.Uprights = []assembly.Upright{wall("long", "back", 150, 20, layers.Point{}, 0), wall("short", "back", 100, 20, layers.Point{Y: 2.994}, 180)}
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) { p.Uprights[1].At.Y = 2.9952 },
	},
	{
		// The wall stands 150 × 3 mm in the plate, by 0.006 mm.
		name: "a wall that sinks into its plate", id: "plates-collide", severity: layers.Error, subject: `plate "wall"`, value: 150 * 0.006 * 3,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(200, 40)))
			p.Uprights = []assembly.Upright{wall("wall", "back", 150, 20, layers.Point{}, 0)}
			p.Uprights[0].Z = -0.006
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) { p.Uprights[0].Z = -0.0048 },
	},
	{
		name: "two walls without a lap", id: "plates-collide", severity: layers.Error, subject: `plate "long"`, value: 3 * 3 * 20,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(40, 40)))
			p.Uprights = []assembly.Upright{wall("long", "back", 30, 20, layers.Point{}, 20), wall("short", "back", 20, 20, layers.Point{}, 110)}
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) {
			p.Joints = map[string]joints.Joint{"lap": joints.CrossLap{A: "long", B: "short"}}
		},
	},
	{
		name: "two walls in one place", id: "plates-collide", severity: layers.Error, subject: `plate "long"`, value: 20 * 20 * 2,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(40, 40)))
			p.Uprights = []assembly.Upright{wall("long", "back", 30, 20, layers.Point{}, 0), wall("short", "back", 20, 20, layers.Point{Y: 1}, 180)}
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) { p.Uprights[1].At.Y = 3 },
	},
	{
		name: "two walls at an angle", id: "plates-collide", severity: layers.Error, subject: `plate "long"`, value: 3 * 3 * math.Sqrt2 * 20,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(80, 80)))
			p.Uprights = []assembly.Upright{wall("long", "back", 50, 20, layers.Point{}, 0), wall("short", "back", 30, 20, layers.Point{X: 2, Y: 2}, 45)}
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) {
			p.Joints = map[string]joints.Joint{"lap": joints.CrossLap{A: "long", B: "short", Fit: joints.Fit{Class: joints.Press}}}
		},
	},
	{
		name: "a screw through a plate that it does not name", id: "passage-blocked", severity: layers.Error, subject: `joint "screw"`, value: 1.7 * 1.7 * math.Pi,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(40, 40)), flat("middle", layers.Rectangle(40, 40)), flat("front", layers.Rectangle(40, 40)))
			p.Joints = map[string]joints.Joint{"screw": joints.Screw{Through: []string{"front", "back"}, At: layers.Point{X: 8, Y: 3}}}
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) {
			p.Stack[1][0].Outline = layers.Rectangle(40, 40).Subtract(rect(3.4, 5, 8, 3))
		},
	},
	{
		// A #8 keyhole: a circle of radius R 4.7, and above it a slot of 2a =
		// 4.8 with a round end 7.7 higher: πR² + 2a·7.7 + πa²/2, less what both
		// cover, a√(R²−a²) + R²·asin(a/R).
		name: "a head without its pocket", id: "passage-blocked", severity: layers.Error, subject: `joint "hang"`, value: 93.868446,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(60, 60)), flat("middle", layers.Rectangle(60, 60)), flat("front", layers.Rectangle(60, 60)))
			p.Joints = map[string]joints.Joint{"hang": joints.HangingSlot{In: "back", Room: []string{"front"}}}
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) {
			p.Joints["hang"] = joints.HangingSlot{In: "back", Room: []string{"middle", "front"}}
		},
	},
	{
		name: "a hole that is off", id: "passage-blocked", severity: layers.Error, subject: `joint "screw"`, value: 1.5 * 1.5 * math.Pi,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(40, 40)), flat("front", layers.Rectangle(40, 40)))
			p.Joints = map[string]joints.Joint{"screw": works{Tied: []string{"back", "front"}, Work: joints.Work{
				Needs: []joints.Item{{Name: "screw", Count: 1}},
				Features: []joints.Feature{
					{Plate: "front", Action: joints.Remove, Name: "hole", Region: layers.Circle(3.4).Move(layers.Point{X: 9})},
					{Plate: "back", Action: joints.Remove, Name: "hole", Region: layers.Circle(3)},
				},
			}}}
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) {
			p.Joints["screw"].(works).Work.Features[0].Region = layers.Circle(3.4)
		},
	},
	{
		// The wall's face is 3.3 − 1.5 from the axis of a head of 5.6.
		name: "a head beside a wall", id: "bought-blocked", severity: layers.Error, subject: `joint "screw"`, value: 1.8,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(60, 40)))
			p.Uprights = []assembly.Upright{wall("wall", "back", 30, 20, layers.Point{X: 3, Y: 2}, 30)}
			p.Joints = map[string]joints.Joint{"screw": joints.Screw{Through: []string{"back"}, At: layers.Point{X: 3, Y: 2}.Add(layers.Degrees(120).Unit().Mul(3.3))}}
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) {
			p.Joints["screw"] = joints.Screw{Through: []string{"back"}, At: layers.Point{X: 3, Y: 2}.Add(layers.Degrees(120).Unit().Mul(4.31))}
		},
	},
	{
		// The wall has a passage 6 × 2 mm about the screw: too low for a head of
		// 2.4, which then is 3 mm from it in x but lies under it.
		name: "a head under an arch", id: "bought-blocked", severity: layers.Error, subject: `joint "screw"`, value: 0,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(60, 40)))
			p.Uprights = []assembly.Upright{wall("wall", "back", 30, 20, layers.Point{}, 0)}
			p.Uprights[0].Outline = p.Uprights[0].Outline.Subtract(rect(6, 4, 0, 0))
			p.Joints = map[string]joints.Joint{"screw": joints.Screw{Through: []string{"back"}}}
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) {
			p.Uprights[0].Outline = p.Uprights[0].Outline.Subtract(rect(6, 4.8, 0, 0))
		},
	},
	{
		name: "a nut behind which a plate lies", id: "bought-blocked", severity: layers.Error, subject: `joint "screw"`, value: 0,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(60, 40)), flat("front", layers.Rectangle(60, 40)))
			p.Joints = map[string]joints.Joint{"screw": joints.Screw{Through: []string{"front"}}}
			return p
		},
		// An M3 nut is 5.5/cos 30° = 6.351 across its corners.
		cured: func(p *assembly.Product, _ *layers.Library) {
			p.Stack[0][0].Outline = p.Stack[0][0].Outline.Subtract(layers.Circle(6.352))
		},
	},
	{
		name: "a nut in a hole that is too small", id: "bought-blocked", severity: layers.Error, subject: `joint "screw"`, value: 3,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(60, 40).Subtract(layers.Circle(6).Move(layers.Point{X: 5}))), flat("front", layers.Rectangle(60, 40)))
			p.Joints = map[string]joints.Joint{"screw": joints.Screw{Through: []string{"front"}, At: layers.Point{X: 5}}}
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) {
			p.Joints["screw"] = joints.Screw{Through: []string{"front"}, At: layers.Point{X: 5}, Nut: "back"}
		},
	},
	{
		// Heads of 5.6 mm; the nuts are turned away.
		name: "two heads", id: "bought-blocked", severity: layers.Error, subject: `joint "one"`, value: 5.5,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(60, 40)), flat("front", layers.Rectangle(60, 40)))
			p.Joints = map[string]joints.Joint{
				"one":   joints.Screw{Through: []string{"front"}, Nut: "back"},
				"other": joints.Screw{Through: []string{"front"}, Nut: "back", At: layers.Point{Y: 5.5}},
			}
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) {
			p.Joints["other"] = joints.Screw{Through: []string{"front"}, Nut: "back", At: layers.Point{Y: 5.6}}
		},
	},
	{
		name: "a tilted plate", id: "collision-unknown", severity: layers.Note, subject: `plate "lid"`, value: math.NaN(),
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(80, 80)))
			tilted := layers.Flat(5)
			tilted.Y = mgl64.Vec3{0, 0.8, 0.6}
			p.Joints = map[string]joints.Joint{"lid": works{Tied: []string{"back"}, Work: joints.Work{
				Makes: []joints.Made{{Plate: flat("lid", layers.Rectangle(20, 20)), Pose: tilted}},
			}}}
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) {
			j := p.Joints["lid"].(works)
			j.Work.Makes[0].Pose.Origin[2] = 20
		},
	},
	{
		name: "a plate cut away", id: "plate-empty", severity: layers.Error, subject: `plate "back"`, value: math.NaN(),
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(40, 40)))
			p.Joints = map[string]joints.Joint{"saw": works{Tied: []string{"back"}, Work: joints.Work{Features: []joints.Feature{
				{Plate: "back", Action: joints.Remove, Region: layers.Rectangle(50, 50)},
			}}}}
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) { p.Stack[0][0].Outline = layers.Rectangle(60, 60) },
	},
	{
		name: "a plate cut in two", id: "plate-parts", severity: layers.Error, subject: `plate "back"`, value: 2,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(40, 40)))
			p.Joints = map[string]joints.Joint{"saw": works{Tied: []string{"back"}, Work: joints.Work{Features: []joints.Feature{
				{Plate: "back", Action: joints.Remove, Region: rect(4, 50, 12, 0)},
			}}}}
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) { p.Stack[0][0].Outline = layers.Rectangle(40, 60) },
	},
	{
		name: "a fragile web", id: "web-narrow", severity: layers.Warning, subject: `plate "back"`, value: 0.8,
		product: func() assembly.Product {
			return stacked(0, flat("back", layers.Rectangle(40, 40).Subtract(rect(10, 10, -5.4, 0), rect(10, 10, 5.4, 0))))
		},
		cured: func(p *assembly.Product, _ *layers.Library) {
			p.Stack[0][0].Outline = layers.Rectangle(40, 40).Subtract(rect(10, 10, -5.6, 0), rect(10, 10, 5.6, 0))
		},
	},
	{
		name: "a web that is nearly wide enough", id: "web-narrow", severity: layers.Warning, subject: `plate "back"`, value: 0.99,
		product: func() assembly.Product {
			return stacked(0, flat("back", layers.Rectangle(40, 40).Subtract(rect(10, 10, -5.495, 0), rect(10, 10, 5.495, 0))))
		},
		cured: func(p *assembly.Product, _ *layers.Library) {
			p.Stack[0][0].Outline = layers.Rectangle(40, 40).Subtract(rect(10, 10, -5.501, 0), rect(10, 10, 5.501, 0))
		},
	},
	{
		name: "a web that burns", id: "web-narrow", severity: layers.Error, subject: `plate "back"`, value: 0.4,
		product: func() assembly.Product {
			return stacked(0, flat("back", layers.Rectangle(40, 40).Subtract(rect(10, 10, -5.2, 0), rect(10, 10, 5.2, 0))))
		},
		cured: func(p *assembly.Product, _ *layers.Library) {
			p.Stack[0][0].Outline = layers.Rectangle(40, 40).Subtract(rect(10, 10, -5.6, 0), rect(10, 10, 5.6, 0))
		},
	},
	{
		name: "a slit narrower than the beam", id: "window-narrow", severity: layers.Error, subject: `plate "back"`, value: 0.15,
		product: func() assembly.Product {
			return stacked(0, flat("back", layers.Rectangle(40, 40).Subtract(layers.Rectangle(20, 0.15))))
		},
		cured: func(p *assembly.Product, _ *layers.Library) {
			p.Stack[0][0].Outline = layers.Rectangle(40, 40).Subtract(layers.Rectangle(20, 0.25))
		},
	},
	{
		// The common sheets are 600 × 400 less 5 mm all round.
		name: "a plate as long as a sheet", id: "sheet-small", severity: layers.Warning, subject: `plate "back"`, value: 591,
		product: func() assembly.Product { return stacked(0, flat("back", layers.Rectangle(40, 591))) },
		library: sheets(600, 400),
		cured:   func(p *assembly.Product, _ *layers.Library) { p.Stack[0][0].Outline = layers.Rectangle(40, 590) },
	},
	{
		name: "a plate as wide as a sheet", id: "sheet-small", severity: layers.Warning, subject: `plate "back"`, value: 391,
		product: func() assembly.Product { return stacked(0, flat("back", layers.Rectangle(391, 580))) },
		library: sheets(600, 400),
		cured:   func(_ *assembly.Product, lib *layers.Library) { *lib = sheets(401, 600) },
	},
	{
		name: "a sheet of a known width", id: "sheet-small", severity: layers.Warning, subject: `plate "back"`, value: 395,
		product: func() assembly.Product { return stacked(0, flat("back", layers.Rectangle(395, 580))) },
		library: sheets(0, 400),
		cured:   func(_ *assembly.Product, lib *layers.Library) { *lib = sheets(0, 0) },
	},
	{
		// The other way round it would fit, across the grain.
		name: "a clip wider than its strip", id: "sheet-small", severity: layers.Warning, subject: `plate "spring"`, value: 50,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(20, 20)))
			p.Joints = map[string]joints.Joint{"spring": works{Tied: []string{"back"}, Work: joints.Work{
				Makes:   []joints.Made{{Plate: flat("spring", rect(50, 20, 0, -20)), Pose: layers.Standing(layers.Point{}, 0, 0, 3)}},
				Springs: []joints.Spring{{Plate: "spring"}},
			}}}
			return p
		},
		library: sheets(600, 40),
		cured: func(_ *assembly.Product, lib *layers.Library) {
			b, _ := lib.Find(birch)
			b.Grain = false
			*lib = lib.With(b)
		},
	},
	{
		name: "two clips from a sheet with a grain", id: "sheet-grain", severity: layers.Note, subject: `material "birch ply 3"`, value: math.NaN(),
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(90, 60)), flat("front", layers.Rectangle(90, 60)))
			p.Joints = map[string]joints.Joint{
				"left clip":  joints.SpringClip{Through: []string{"back", "front"}, At: layers.Point{X: -25}},
				"right clip": joints.SpringClip{Through: []string{"back", "front"}, At: layers.Point{X: 25}},
			}
			return p
		},
		cured: func(_ *assembly.Product, lib *layers.Library) {
			b, _ := lib.Find(birch)
			b.Grain = false
			*lib = lib.With(b)
		},
	},
	{
		name: "a line beyond the edge", id: "mark-off", severity: layers.Warning, subject: `plate "back"`, value: 80,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(80, 50)))
			p.Stack[0][0].Marks = []layers.Mark{{Operation: layers.Score, Lines: []layers.Line{{{X: 0, Y: 0}, {X: 120, Y: 0}}}}}
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) {
			p.Stack[0][0].Marks = []layers.Mark{{Operation: layers.Score, Lines: []layers.Line{{{X: 0, Y: 0}, {X: 40.49, Y: 0}}}}}
		},
	},
	{
		name: "a face beyond the edge", id: "mark-off", severity: layers.Warning, subject: `plate "back"`, value: 1e4*math.Pi - 80*50,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(80, 50)))
			p.Stack[0][0].Marks = []layers.Mark{{Operation: layers.Engrave, Area: layers.Circle(200)}}
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) {
			p.Stack[0][0].Marks[0].Area = rect(80, 50.005, 0, 0.0025)
		},
	},
	{
		name: "a small face in a window", id: "mark-off", severity: layers.Warning, subject: `plate "back"`, value: 0.25,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(80, 50).Subtract(layers.Circle(20))))
			p.Stack[0][0].Marks = []layers.Mark{{Operation: layers.Engrave, Area: layers.Rectangle(0.5, 0.5)}}
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) { p.Stack[0][0].Marks[0].Area = rect(0.5, 0.5, 20, 0) },
	},
	{
		name: "a line across a slot", id: "mark-off", severity: layers.Warning, subject: `plate "back"`, value: 10,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(80, 50)))
			p.Stack[0][0].Marks = []layers.Mark{{Operation: layers.Score, Lines: []layers.Line{{{X: -30}, {X: 30}}}}}
			p.Joints = map[string]joints.Joint{"saw": works{Tied: []string{"back"}, Work: joints.Work{Features: []joints.Feature{
				{Plate: "back", Action: joints.Remove, Region: layers.Circle(10)},
			}}}}
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) { delete(p.Joints, "saw") },
	},
	{
		name: "an insert that another joint cuts", id: "inserts-differ", severity: layers.Error, subject: `joint "seat"`, value: 2 * 4,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(80, 80)))
			p.Stack = append(p.Stack, assembly.Layer{
				flat("sky", layers.Rectangle(80, 80)), flat("moon", layers.Rectangle(50, 50).Subtract(layers.Circle(5))), flat("sun", layers.Rectangle(50, 50)),
			})
			p.Joints = map[string]joints.Joint{
				"seat": joints.Seat{In: "sky", Inserts: []string{"moon", "sun"}, Shape: layers.Rectangle(40, 40), Fit: joints.Fit{Exact: &joints.Play{Along: 0.2}}},
				"saw": works{Tied: []string{"sun"}, Work: joints.Work{Features: []joints.Feature{
					{Plate: "sun", Action: joints.Remove, Region: rect(4, 22, 0, 28.9)},
				}}},
			}
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) { delete(p.Joints, "saw") },
	},
	{
		name: "a tab that another joint narrowed", id: "mating-play", severity: layers.Error, subject: `joint "foot"`, value: 0.5,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(60, 40)))
			p.Uprights = []assembly.Upright{wall("wall", "back", 40, 20, layers.Point{}, 0)}
			p.Joints = map[string]joints.Joint{
				"foot": joints.TabSlot{Upright: "wall", Through: []string{"back"}, Width: 12, Fit: joints.Fit{Exact: &joints.Play{Along: 0.1}}},
				"saw": works{Tied: []string{"wall"}, Work: joints.Work{Features: []joints.Feature{
					{Plate: "wall", Action: joints.Remove, Region: rect(1, 2, 6.1, -1.5)},
				}}},
			}
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) { delete(p.Joints, "saw") },
	},
	{
		// 0.103 in place of 0.1 is found, 0.1015 is not.
		name: "a tab that is a little narrow", id: "mating-play", severity: layers.Error, subject: `joint "foot"`, value: 0.103,
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(60, 40)))
			p.Uprights = []assembly.Upright{wall("wall", "back", 40, 20, layers.Point{}, 0)}
			p.Joints = map[string]joints.Joint{
				"foot": joints.TabSlot{Upright: "wall", Through: []string{"back"}, Width: 12, Fit: joints.Fit{Exact: &joints.Play{Along: 0.1}}},
				"saw": works{Tied: []string{"wall"}, Work: joints.Work{Features: []joints.Feature{
					{Plate: "wall", Action: joints.Remove, Region: rect(1, 2, 6.497, -1.5)},
				}}},
			}
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) {
			p.Joints["saw"].(works).Work.Features[0].Region = rect(1, 2, 6.4985, -1.5)
		},
	},
	{
		name: "a mating of nothing", id: "mating-play", severity: layers.Error, subject: `joint "lie"`, value: math.NaN(),
		product: func() assembly.Product {
			p := stacked(0, flat("back", layers.Rectangle(60, 40)), flat("front", layers.Rectangle(60, 40)))
			p.Joints = map[string]joints.Joint{"lie": works{Tied: []string{"back", "front"}, Work: joints.Work{Matings: []joints.Mating{
				{Insert: "front", Opening: "back", Gaps: []joints.Gap{{Name: "across", Insert: joints.Probe{Sheet: true}}}},
			}}}}
			return p
		},
		cured: func(p *assembly.Product, _ *layers.Library) { delete(p.Joints, "lie") },
	},
}

// sheets returns the common materials with birch in sheets of that size.
func sheets(width, height float64) layers.Library {
	lib := stock.Common()
	b, _ := lib.Find(birch)
	b.Sheet.Width, b.Sheet.Height, b.Sheet.Margin = width, height, 5
	return lib.With(b)
}

// stacked returns a product of one plate a layer.
func stacked(height float64, plates ...layers.Plate) assembly.Product {
	p := assembly.Product{Height: height}
	for _, pl := range plates {
		p.Stack = append(p.Stack, assembly.Layer{pl})
	}
	return p
}

func TestChecks(t *testing.T) {
	for _, test := range judgements {
		t.Run(test.id+"/"+test.name, func(t *testing.T) {
			p, lib := test.product(), test.library
			if slices.Collect(lib.All()) == nil {
				lib = stock.Common()
			}
			found := of(build(t, p, lib), test.id)
			if len(found) != 1 {
				t.Fatalf("want one finding, got:\n%s", found)
			}
			f := found[0]
			if f.Severity != test.severity || f.Subject.String() != test.subject {
				t.Errorf("want a %s about %s, got: %s", test.severity, test.subject, f)
			}
			switch {
			case math.IsNaN(test.value):
				if f.Measure != nil {
					t.Errorf("want nothing measured, got: %s", f)
				}
			case f.Measure == nil || math.Abs(f.Measure.Value-test.value) > 1e-4:
				t.Errorf("want %g measured, got: %s", test.value, f)
			case f.Measure.Margin() >= 0:
				t.Errorf("the measure is on its good side: %s", f)
			}
			if f.Cause == "" || f.Remedy.Text == "" {
				t.Errorf("cause and remedy wanted: %s", f)
			}
			test.cured(&p, &lib)
			if found := of(build(t, p, lib), test.id); len(found) > 0 {
				t.Errorf("after the cure:\n%s", found)
			}
		})
	}
}

// A joint off its plates is one error a plate, not one for each of its plays.
func TestOneErrorAPlate(t *testing.T) {
	for name, j := range map[string]joints.Joint{
		"peg":           joints.Peg{Through: []string{"back", "front"}, At: layers.Point{X: 500}},
		"over the edge": joints.Peg{Through: []string{"back", "front"}, At: layers.Point{X: 29}},
		"clip":          joints.SpringClip{Through: []string{"back", "front"}, At: layers.Point{X: 500}},
	} {
		p := stacked(0, flat("back", layers.Rectangle(60, 40)), flat("front", layers.Rectangle(60, 40)))
		p.Joints = map[string]joints.Joint{"off": j}
		found := slices.Collect(build(t, p, stock.Common()).Findings().Of(layers.Error))
		if len(found) != 2 {
			t.Errorf("%s: want one error a plate, got:\n%s", name, layers.Findings(found))
		}
	}
	// Two joints in one place: an error that names both.
	p := stacked(0, flat("back", layers.Rectangle(60, 40)))
	p.Joints = map[string]joints.Joint{
		"one":   joints.Peg{Through: []string{"back"}},
		"other": joints.Peg{Through: []string{"back"}, At: layers.Point{X: 5}},
	}
	if f := of(build(t, p, stock.Common()), "mating-play"); len(f) > 0 {
		t.Errorf("two pegs in one place:\n%s", f)
	}
}

// The sheet is loaded with its grain along the longer side, as cut files have it.
func TestSheetGrainAxis(t *testing.T) {
	p := stacked(0, flat("back", layers.Rectangle(90, 60)), flat("front", layers.Rectangle(90, 60)))
	p.Joints = map[string]joints.Joint{"clip": joints.SpringClip{Through: []string{"back", "front"}}}
	for axis, lib := range map[string]layers.Library{"x": sheets(600, 400), "y": sheets(400, 600)} {
		want := "load the sheet with its grain along the file's " + axis
		if f := of(build(t, p, lib), "sheet-grain"); len(f) != 1 || f[0].Remedy.Text != want || len(f[0].Related) != 1 {
			t.Errorf("want %q, got:\n%s", want, f)
		}
	}
}

// Two sheets of one batch that lie in a clip's grip are thick together.
func TestClipTightBatches(t *testing.T) {
	panel := layers.Rectangle(60, 60)
	p := stacked(0, flat("back", panel), flat("one", panel.Subtract(layers.Circle(30))), flat("other", panel.Subtract(layers.Circle(30))), flat("front", panel))
	p.Stack[1][0].Material, p.Stack[2][0].Material = blue, blue
	p.Joints = map[string]joints.Joint{"clip": joints.SpringClip{Through: []string{"back", "front"}}}
	found := of(build(t, p, thick(layers.Spread{Mean: 3}, layers.Spread{Mean: 3, SD: 0.1})), "clip-tight")
	if len(found) != 1 || math.Abs(found[0].Measure.Limit-12.6) > 1e-9 {
		t.Errorf("want a grip of at least 12.6 mm, got:\n%s", found)
	}
}

func of(k *assembly.Kit, id string) layers.Findings {
	return slices.DeleteFunc(k.Findings(), func(f layers.Finding) bool { return f.ID != id })
}

// Each check is provoked, has a sentence, and reports its own ID only.
func TestChecksAreDocumented(t *testing.T) {
	provoked := map[string]bool{}
	for _, j := range judgements {
		provoked[j.id] = true
	}
	for _, c := range assembly.Checks() {
		if c.Doc == "" || c.Doc[len(c.Doc)-1] != '.' {
			t.Errorf("%s: no sentence says when it occurs", c.ID)
		}
		if !provoked[c.ID] {
			t.Errorf("%s: no product provokes it", c.ID)
		}
		for _, j := range judgements {
			lib := j.library
			if slices.Collect(lib.All()) == nil {
				lib = stock.Common()
			}
			c.Run(build(t, j.product(), lib), func(f layers.Finding) {
				if f.ID != c.ID {
					t.Errorf("%s reports %s", c.ID, f.ID)
				}
			})
		}
	}
}
