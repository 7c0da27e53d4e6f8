// Lightkeeper is a layered wall piece: a headland at night behind an arched
// frame, in two plywoods and two acrylics, with a moon that the owner changes.
//
// Run it to write its cut files into ./out:
//
//	go run ./examples/lightkeeper
//
// The same product, written in YAML, is lightkeeper.yaml.
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
	blue   = "blue cast acrylic 3"
	amber  = "amber cast acrylic 3"
)

//go:embed art.svg
var drawings embed.FS

func main() {
	kit, err := lightkeeper().Build(assembly.Inputs{Materials: stock.Common()})
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

func lightkeeper() assembly.Design {
	return assembly.Design{
		Name: "lightkeeper",
		Params: []assembly.Param{
			{Name: "border", Value: 14, Min: 12, Max: 18, Unit: "mm", Doc: "width of the frame round every layer"},
			{Name: "moon", Value: 52, Min: 40, Max: 56, Unit: "mm", Doc: "diameter of the seat in the sky"},
		},
		Make: declare,
	}
}

func declare(v assembly.Values) assembly.Product {
	drawing, err := art.Open(drawings, "art.svg")
	v.Fail(err)
	drawn := func(id string) layers.Region {
		r, err := drawing.Region(id)
		v.Fail(err)
		return r
	}
	border, moon := v.Param("border"), v.Param("moon")

	panel := drawn("panel")
	opening := panel.Inset(border) // each layer is the panel less what of this its land leaves open
	engraved := func(id string) []layers.Mark {
		return []layers.Mark{{Operation: layers.Engrave, Area: drawn(id)}}
	}

	sky := layers.Point{X: 118, Y: 162} // the moon's place
	disc := layers.Circle(moon + 4).Move(sky)
	horned := drawn("crescent").Offset(-0.8, layers.Round).Offset(0.8, layers.Round) // sharp horns would crack
	rays := layers.Ring(layers.SlotShape(9, 3).Move(layers.Point{X: 16}), 12).Move(sky)
	lamp := layers.Point{X: 58, Y: 144}
	behind := drawn("tower").Offset(-3, layers.Round) // a strip behind the tower, which the lamp rests on

	through := []string{"back", "liner", "night", "sky", "ridge", "headland", "sea", "front"}
	clip := func(x, y float64) joints.Joint {
		return joints.SpringClip{Through: through, At: layers.Point{X: x, Y: y}, Turn: 90, Cut: birch}
	}
	return assembly.Product{
		Stack: []assembly.Layer{ // back to front
			{{Name: "back", Material: birch, Outline: panel}},
			{{Name: "liner", Material: birch, Outline: panel}},
			{{Name: "night", Material: birch, Outline: panel}}, // hides the hanger behind the clear sky
			{
				{Name: "sky", Material: blue, Outline: panel, Marks: engraved("stars")},
				{Name: "full moon", Material: amber, Outline: disc, Marks: engraved("craters")},
				{Name: "crescent", Material: amber, Outline: disc.Subtract(horned)},
				{Name: "sun", Material: amber, Outline: disc.Subtract(rays)},
			},
			{{
				Name: "ridge", Material: walnut,
				Outline: panel.Subtract(opening.Subtract(drawn("ridge"), behind), layers.Circle(8).Move(lamp)),
			}},
			{
				{Name: "headland", Material: birch, Outline: panel.Subtract(opening.Subtract(drawn("headland")), drawn("panes")), Marks: engraved("bands")},
				{Name: "lamp", Material: amber, Outline: layers.Circle(16).Move(lamp)},
			},
			{{Name: "sea", Material: blue, Outline: panel.Subtract(opening.Subtract(drawn("sea")))}},
			{{Name: "front", Material: walnut, Outline: panel.Subtract(opening.Subtract(drawn("front")))}},
		},
		Height: 25, // what still looks right from the side
		Joints: map[string]joints.Joint{
			"moon": joints.Seat{
				In: "sky", Inserts: []string{"full moon", "crescent", "sun"}, At: sky,
				Shape: layers.Circle(moon), Key: 3, KeyAt: 270, Thumb: 6, Fit: joints.Fit{Class: joints.Slide},
			},
			"light":           joints.Seat{In: "headland", Inserts: []string{"lamp"}, At: lamp, Shape: layers.Circle(13), Fit: joints.Fit{Class: joints.Snug}},
			"hanger":          joints.HangingSlot{In: "back", Room: []string{"liner"}, At: layers.Point{X: 90, Y: 205}, Screw: "4"},
			"left low clip":   clip(border/2, 60),
			"left high clip":  clip(border/2, 140),
			"right low clip":  clip(180-border/2, 60),
			"right high clip": clip(180-border/2, 140),
		},
	}
}
