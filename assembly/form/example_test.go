package form_test

import (
	"fmt"
	"testing/fstest"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/assembly/form"
	"github.com/platewright/platewright/layers/stock"
)

func ExampleReader_Read() {
	fsys := fstest.MapFS{"tray.yaml": {Data: []byte(`
product: tray
parameters:
  width: {value: 9 cm, from: 60, to: 120, about: overall width}
outlines:
  panel: {rectangle: [width, width / 2], corner: 5}
stack:
  - {plate: floor, material: birch ply 3, outline: panel}
  - {plate: rim, material: birch ply 3, outline: {subtract: [panel, {inset: panel, by: 10}]}}
joints:
  left: {kind: screw, through: [floor, rim], at: [6 - width / 2, 0]}
  right: {kind: screw, through: [floor, rim], at: [width / 2 - 6, 0]}
`)}}
	tray, err := form.Reader{}.Read(fsys, "tray.yaml")
	if err != nil {
		fmt.Println(err)
		return
	}
	in := assembly.Inputs{Materials: stock.Common()}
	for _, width := range []float64{90, 110} {
		kit, err := tray.Build(in.With("width", width))
		if err != nil {
			fmt.Println(err)
			return
		}
		for p := range kit.Plates() {
			fmt.Printf("%s: %.0f mm wide, %d holes\n", p.Name, p.Outline.Bounds().Width(), holes(p))
		}
	}
	// Output:
	// floor: 90 mm wide, 2 holes
	// rim: 90 mm wide, 3 holes
	// floor: 110 mm wide, 2 holes
	// rim: 110 mm wide, 3 holes
}

func holes(p assembly.Placed) int {
	n := 0
	for c := range p.Outline.Contours() {
		if c.Hole {
			n++
		}
	}
	return n
}

// Every mistake is told, each with its place and the nearest name.
func ExampleReader_Read_mistakes() {
	fsys := fstest.MapFS{"tray.yaml": {Data: []byte(`
product: tray
parameters: {width: 90 mm}
stack:
  - {plate: floor, material: birch ply 3, outline: {rectangle: [widht, 45 deg]}}
joints:
  left: {kind: screw, trough: [floor], at: [width / 2 - 6, 0]}
`)}}
	_, err := form.Reader{}.Read(fsys, "tray.yaml")
	fmt.Println(err)
	// Output:
	// tray.yaml:5:65: stack[1].outline.rectangle: there is no parameter "widht"; nearest is "width"
	// tray.yaml:5:72: stack[1].outline.rectangle: expected a number, alone or with cm, in, m, mm, um, µm, found "45 deg"
	// tray.yaml:7:23: joints.left.trough: there is no field "trough"; nearest is "through"
}
