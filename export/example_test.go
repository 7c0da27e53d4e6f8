package export_test

import (
	"fmt"
	"log"
	"os"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/export"
	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/stock"
)

// A coaster with a round window. Its kerf of 0.2 mm moves the outline out and
// the window in by 0.1 mm; the window stays a circle.
func ExampleCut_Encode() {
	coaster := assembly.Product{
		Name: "coaster",
		Stack: []assembly.Layer{{
			{Name: "ring", Material: "birch ply 3", Outline: layers.Rectangle(90, 90).Subtract(layers.Circle(60))},
		}},
	}
	kit, err := coaster.Build(stock.Common())
	if err != nil {
		log.Fatal(err)
	}
	if err := (export.Cut{}).Encode(os.Stdout, kit, "birch ply 3"); err != nil {
		log.Fatal(err)
	}
	// Output:
	// <?xml version="1.0" encoding="UTF-8"?>
	// <svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="100.2mm" height="100.2mm" viewBox="0 0 100.2 100.2">
	//   <title>coaster, birch ply 3</title>
	//   <desc>1 part of birch ply 3, measured thickness 3 mm. Lengths are mm. The lines are the path of the tool: the full kerf of 0.2 mm (not measured on your machine yet) is already allowed for, so set no kerf in the laser&#39;s software. The names in the last group are for reading, not for the laser.</desc>
	//   <g id="inside-cuts" class="inside cuts" fill="none" stroke="#0072B2" stroke-width="0.1">
	//     <g id="inside-ring">
	//       <title>ring</title>
	//       <path d="M 20.2 50.1 A 29.9 29.9 0 0 1 80 50.1 A 29.9 29.9 0 0 1 20.2 50.1 Z"/>
	//     </g>
	//   </g>
	//   <g id="outside-cuts" class="outside cuts" fill="none" stroke="#D55E00" stroke-width="0.1">
	//     <g id="outside-ring">
	//       <title>ring</title>
	//       <path d="M 5 95.2 L 95.2 95.2 L 95.2 5 L 5 5 Z"/>
	//     </g>
	//   </g>
	//   <g id="labels" class="not cut" fill="#CC79A7" stroke="none" font-family="sans-serif" text-anchor="middle">
	//     <text x="14.2" y="51.5" font-size="4">ring</text>
	//   </g>
	// </svg>
}

// All of a kit's files, all or none.
func ExampleSave() {
	kit, err := assembly.Product{
		Name: "two discs",
		Stack: []assembly.Layer{
			{{Name: "back", Material: "birch ply 3", Outline: layers.Circle(60)}},
			{{Name: "front", Material: "blue cast acrylic 3", Outline: layers.Circle(40)}},
		},
	}.Build(stock.Common())
	if err != nil {
		log.Fatal(err)
	}
	dir, err := os.MkdirTemp("", "example")
	if err != nil {
		log.Fatal(err)
	}
	defer os.RemoveAll(dir)
	files := export.Cut{}.Files(kit)
	files = append(files, export.Summary{}.Files(kit)...)
	files = append(files, export.Picture{}.Files(kit)...)
	if err := export.Save(dir, files); err != nil {
		log.Fatal(err)
	}
	for _, f := range files {
		fmt.Println(f.Name)
	}
	// Output:
	// birch-ply-3.svg
	// blue-cast-acrylic-3.svg
	// kit.json
	// picture.svg
}
