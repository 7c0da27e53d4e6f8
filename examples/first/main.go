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

var first = assembly.Design{
	Name:   "first",
	Params: []assembly.Param{{Name: "width", Value: 120, Min: 90, Max: 200, Unit: "mm"}},
	Make: func(v assembly.Values) assembly.Product {
		w := v.Param("width")
		panel := layers.RoundedRectangle(w, 84, 8)
		clip := func(x float64) joints.Joint {
			return joints.SpringClip{Through: []string{"back", "sea", "frame"}, At: layers.Point{X: x}, Turn: 90}
		}
		return assembly.Product{
			Stack: []assembly.Layer{ // back to front
				{{Name: "back", Material: "birch ply 3", Outline: panel}},
				{{Name: "sea", Material: "blue cast acrylic 3", Outline: panel}},
				{{Name: "frame", Material: "birch ply 3", Outline: panel.Subtract(panel.Inset(14))}},
			},
			Joints: map[string]joints.Joint{"left clip": clip(7 - w/2), "right clip": clip(w/2 - 7)},
		}
	},
}

func main() {
	kit, err := first.Build(assembly.Inputs{Materials: stock.Common()})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Print(kit.Findings())
	if err := export.Save("out", export.Cut{}.Files(kit)); err != nil {
		log.Fatal(err)
	}
}
