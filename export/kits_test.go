package export

import (
	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/stock"
)

// The kits that tests write: a layered wall piece with round windows, and a
// desk piece of uprights.

func wallPiece() assembly.Product {
	panel := layers.RoundedRectangle(120, 84, 8)
	ring := panel.Subtract(layers.RoundedRectangle(92, 56, 4))
	hill := ring.Union(layers.Circle(90).Move(layers.Point{X: -20, Y: -62}).Intersect(panel))
	return assembly.Product{
		Name: "harbour",
		Stack: []assembly.Layer{
			{{Name: "back", Material: "birch ply 3", Outline: panel,
				Marks: []layers.Mark{{Operation: layers.Engrave, Area: layers.Row(layers.Circle(2), 3, layers.Point{X: 7, Y: 4}).Move(layers.Point{X: -18, Y: 8})}}}},
			{{Name: "sea", Material: "blue cast acrylic 3", Outline: panel.Subtract(layers.Circle(24).Move(layers.Point{X: 22, Y: 12}))}},
			{{Name: "hill", Material: "birch ply 3", Outline: hill,
				Marks: []layers.Mark{{Operation: layers.Score, Lines: []layers.Line{{{X: -52, Y: -36}, {X: -20, Y: -34}, {X: 0, Y: -36}}}}}}},
			{{Name: "frame", Material: "walnut-faced ply 3", Outline: ring}},
		},
	}
}

func deskPiece() assembly.Product {
	wall := layers.Rectangle(150, 60).Move(layers.Point{Y: 30}).Subtract(layers.Circle(22).Move(layers.Point{X: 20, Y: 36}))
	rib := layers.RoundedRectangle(80, 44, 6).Move(layers.Point{Y: 22})
	ups := []assembly.Upright{
		{Plate: layers.Plate{Name: "back wall", Material: "birch ply 3", Outline: wall}, At: layers.Point{Y: 20}, On: "base"},
		{Plate: layers.Plate{Name: "front wall", Material: "birch ply 3", Outline: layers.Rectangle(150, 40).Move(layers.Point{Y: 20})}, At: layers.Point{Y: -20}, On: "base"},
		{Plate: layers.Plate{Name: "left rib", Material: "walnut-faced ply 3", Outline: rib}, At: layers.Point{X: -50}, Turn: 90, On: "base"},
		{Plate: layers.Plate{Name: "right rib", Material: "walnut-faced ply 3", Outline: rib}, At: layers.Point{X: 50}, Turn: 90, On: "base"},
	}
	js := map[string]joints.Joint{}
	for _, w := range []string{"back wall", "front wall"} {
		for _, r := range []string{"left rib", "right rib"} {
			js[r+" in "+w] = joints.CrossLap{A: w, B: r}
		}
		js[w+" foot left"] = joints.TabSlot{Upright: w, Through: []string{"base"}, At: -30, Width: 16}
		js[w+" foot right"] = joints.TabSlot{Upright: w, Through: []string{"base"}, At: 30, Width: 12, Fit: joints.Fit{Class: joints.Slide}}
	}
	return assembly.Product{
		Name:     "caddy",
		Stack:    []assembly.Layer{{{Name: "base", Material: "walnut-faced ply 3", Outline: layers.RoundedRectangle(170, 96, 12)}}},
		Uprights: ups,
		Joints:   js,
	}
}

// pegged is the wall piece held by pegs.
func pegged() assembly.Product {
	p := wallPiece()
	through := []string{"back", "sea", "hill", "frame"}
	p.Joints = map[string]joints.Joint{
		"left peg":  joints.Peg{Through: through, At: layers.Point{X: -53}, Turn: 90, Width: 9, Cut: "birch ply 3"},
		"right peg": joints.Peg{Through: through, At: layers.Point{X: 53}, Turn: 90, Width: 9, Cut: "walnut-faced ply 3"},
	}
	return p
}

// clipped is the wall piece held by spring clips, with a seat in its sea, a
// screw and a hanging slot.
func clipped() assembly.Product {
	p := wallPiece()
	moon := layers.Point{X: 22, Y: 12}
	p.Stack[0] = append(assembly.Layer{}, p.Stack[0]...)
	p.Stack[1] = assembly.Layer{
		{Name: "sea", Material: "blue cast acrylic 3", Outline: layers.RoundedRectangle(120, 84, 8)},
		{Name: "full", Material: "blue cast acrylic 3", Outline: layers.Circle(30).Move(moon)},
		{Name: "half", Material: "blue cast acrylic 3", Outline: layers.Circle(30).Move(moon).Subtract(layers.SlotShape(10, 4).Move(moon))},
	}
	through := []string{"back", "sea", "hill", "frame"}
	p.Joints = map[string]joints.Joint{
		"left clip":  joints.SpringClip{Through: through, At: layers.Point{X: -53}, Turn: 90, Cut: "birch ply 3"},
		"right clip": joints.SpringClip{Through: through, At: layers.Point{X: 53}, Turn: 90, Cut: "walnut-faced ply 3"},
		"moon":       joints.Seat{In: "sea", Inserts: []string{"full", "half"}, At: moon, Shape: layers.Circle(24), Key: 2, KeyAt: 250, Thumb: 4},
		"screw":      joints.Screw{Size: "M3", Through: through, At: layers.Point{X: 20, Y: -35}},
		"hanger":     joints.HangingSlot{In: "back", At: layers.Point{Y: 28}, Screw: "#6"},
	}
	return p
}

func build(t fataler, p assembly.Product, materials ...layers.Material) *assembly.Kit {
	t.Helper()
	k, err := p.Build(stock.Common().With(materials...))
	if err != nil {
		t.Fatal(err)
	}
	return k
}

func material(t fataler, name string) layers.Material {
	t.Helper()
	m, err := stock.Common().Find(name)
	if err != nil {
		t.Fatal(err)
	}
	return m
}
