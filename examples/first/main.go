// First is the smallest product: three plates and two spring clips.
package main

import (
	"fmt"
	"log"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/export"
	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/stock"
)

var panel = layers.RoundedRectangle(120, 84, 8)

var first = assembly.Product{
	Name: "first",
	Stack: []assembly.Layer{ // back to front
		{{Name: "back", Material: "birch ply 3", Outline: panel}},
		{{Name: "sea", Material: "blue cast acrylic 3", Outline: panel}},
		{{Name: "frame", Material: "birch ply 3", Outline: panel.Subtract(panel.Inset(14))}},
	},
	Joints: map[string]joints.Joint{
		"left clip":  joints.SpringClip{Through: []string{"back", "sea", "frame"}, At: layers.Point{X: -53}, Turn: 90},
		"right clip": joints.SpringClip{Through: []string{"back", "sea", "frame"}, At: layers.Point{X: 53}, Turn: 90},
	},
}

func main() {
	kit, err := first.Build(stock.Common())
	if err != nil {
		log.Fatal(err)
	}
	fmt.Print(kit.Findings())
	if err := export.Save("out", export.Cut{}.Files(kit)); err != nil {
		log.Fatal(err)
	}
}
