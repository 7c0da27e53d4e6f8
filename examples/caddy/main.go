// Caddy is a desk tidy: a base, and five uprights that lap into each other and
// stand in the base by tabs.
//
// Run it to write its cut files into ./out:
//
//	go run ./examples/caddy
//
// The same product, written in YAML, is caddy.yaml.
package main

import (
	"embed"
	"fmt"
	"log"
	"slices"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/export"
	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/art"
	"github.com/platewright/platewright/layers/stock"
)

const (
	birch  = "birch ply 3"
	walnut = "walnut-faced ply 3"
)

//go:embed art.svg
var drawings embed.FS

func main() {
	kit, err := caddy().Build(assembly.Inputs{Materials: stock.Common()})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Print(kit.Findings())
	if err := kit.Err(); err != nil {
		log.Fatal(err)
	}
	files := slices.Concat(export.Cut{}.Files(kit), export.Summary{}.Files(kit), export.Picture{}.Files(kit))
	if err := export.Save("out", files); err != nil {
		log.Fatal(err)
	}
}

func caddy() assembly.Design {
	return assembly.Design{
		Name: "caddy",
		Params: []assembly.Param{
			{Name: "depth", Value: 54, Min: 48, Max: 58, Unit: "mm", Doc: "distance between the two walls"},
			{Name: "ends", Value: 62, Min: 50, Max: 70, Unit: "mm", Doc: "distance of the end ribs from the middle"},
			{Name: "share", Value: 25, Min: 0, Max: 36, Unit: "mm", Doc: "place of the low rib"},
		},
		Make: declare,
	}
}

func declare(v assembly.Values) assembly.Product {
	drawing, err := art.Open(drawings, "art.svg")
	v.Fail(err)
	middle := layers.Point{X: -100} // the drawing stands about x = 100
	drawn := func(id string) layers.Region {
		r, err := drawing.Region(id)
		v.Fail(err)
		return r.Move(middle)
	}
	swell, err := drawing.Lines("swell")
	v.Fail(err)
	for _, line := range swell {
		for i := range line {
			line[i] = line[i].Add(middle)
		}
	}
	depth, ends, share := v.Param("depth"), v.Param("ends"), v.Param("share")

	wall := func(name string, outline layers.Region, y float64, marks ...layers.Mark) assembly.Upright {
		return assembly.Upright{
			Plate: layers.Plate{Name: name, Material: birch, Outline: outline, Marks: marks},
			At:    layers.Point{Y: y}, On: "base",
		}
	}
	rib := func(name, id string, x float64) assembly.Upright {
		return assembly.Upright{
			Plate: layers.Plate{Name: name, Material: walnut, Outline: drawn(id)},
			At:    layers.Point{X: x}, Turn: 90, On: "base",
		}
	}
	lap := func(wall, rib string) joints.Joint { return joints.CrossLap{A: wall, B: rib} }
	foot := func(upright string, at float64, class joints.Class) joints.Joint {
		return joints.TabSlot{Upright: upright, Through: []string{"base"}, At: at, Width: 16, Fit: joints.Fit{Class: class}}
	}
	return assembly.Product{
		Stack: []assembly.Layer{{{Name: "base", Material: walnut, Outline: layers.RoundedRectangle(196, 96, 12)}}},
		Uprights: []assembly.Upright{
			wall("back wall", drawn("back").Subtract(drawn("bubbles")), depth/2),
			wall("front wall", drawn("front"), -depth/2, layers.Mark{Operation: layers.Score, Lines: swell}),
			rib("left rib", "rib", -ends),
			rib("low rib", "low-rib", share),
			rib("right rib", "rib", ends),
		},
		Joints: map[string]joints.Joint{
			"left rib in back":   lap("back wall", "left rib"),
			"left rib in front":  lap("front wall", "left rib"),
			"low rib in back":    lap("back wall", "low rib"),
			"low rib in front":   lap("front wall", "low rib"),
			"right rib in back":  lap("back wall", "right rib"),
			"right rib in front": lap("front wall", "right rib"),
			"back foot left":     foot("back wall", -42, joints.Press),
			"back foot right":    foot("back wall", 44, joints.Press),
			"front foot left":    foot("front wall", -42, joints.Press),
			"front foot right":   foot("front wall", 44, joints.Press),
			"left rib foot":      foot("left rib", 0, joints.Snug),
			"low rib foot":       foot("low rib", 0, joints.Snug),
			"right rib foot":     foot("right rib", 0, joints.Snug),
		},
	}
}
