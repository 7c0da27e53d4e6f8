package export

import (
	"testing"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
)

// Labels lie on their part, not in its windows, and not over its engraving,
// wherever there is room.
func TestLabelsLieOnTheirParts(t *testing.T) {
	window := layers.Circle(60)
	k := build(t, assembly.Product{
		Name: "labels",
		Stack: []assembly.Layer{
			{{Name: "back", Material: "birch ply 3", Outline: layers.Rectangle(120, 90)}},
			{{Name: "frame", Material: "birch ply 3", Outline: layers.Rectangle(120, 90).Subtract(layers.Rectangle(100, 70))}},
			{{Name: "tall frame", Material: "birch ply 3", Outline: layers.Rectangle(120, 90).Subtract(layers.Rectangle(100, 84))}},
			{{Name: "porthole", Material: "birch ply 3", Outline: layers.Rectangle(120, 90).Subtract(window)}},
			{{Name: "engraved", Material: "birch ply 3", Outline: layers.Rectangle(120, 90), Marks: []layers.Mark{{Operation: layers.Engrave, Area: window}}}},
			{{Name: "ring", Material: "birch ply 3", Outline: layers.Circle(80).Subtract(layers.Circle(70))}},
		},
		Joints: map[string]joints.Joint{"a peg with a long name": joints.Peg{Through: []string{"back"}, At: layers.Point{X: 40}}},
	})
	n := 0
	for p := range k.Plates() {
		part, err := newPart(p, false)
		if err != nil {
			t.Fatal(err)
		}
		letters := 0.6 * float64(len(p.Name))
		at, size, upright := part.spot(letters)
		if size < labelLeast || size > labelSize {
			t.Errorf("%s: letters of %g mm", p.Name, size)
		}
		for i := range 21 {
			for j := range 5 {
				d := layers.Point{X: (float64(i)/20 - 0.5) * letters * size, Y: (float64(j)/4 - 0.5) * size}
				if upright {
					d = d.Turned(90)
				}
				q := at.Add(d)
				if !part.path.Contains(q) {
					t.Errorf("%s: the label leaves the part at %.1f", p.Name, q)
				}
				for _, m := range part.plate.Marks {
					if m.Area.Contains(q) {
						t.Errorf("%s: the label lies on what is engraved at %.1f", p.Name, q)
					}
				}
			}
		}
		n++
	}
	if n != 7 {
		t.Errorf("%d plates", n)
	}
}

// Where there is no room at all the label lies over the part all the same.
func TestLabelWithoutRoom(t *testing.T) {
	net := layers.Row(layers.Row(layers.Rectangle(2, 2), 30, layers.Point{X: 2.4}), 30, layers.Point{Y: 2.4}).Move(layers.Point{X: -35, Y: -35})
	k := build(t, assembly.Product{
		Name:  "net",
		Stack: []assembly.Layer{{{Name: "net", Material: "birch ply 3", Outline: layers.Rectangle(76, 76).Subtract(net)}}},
	})
	p, _ := k.Plate("net")
	part, err := newPart(p, false)
	if err != nil {
		t.Fatal(err)
	}
	if at, size, _ := part.spot(1.8); at != part.box.Centre() || size != labelSize {
		t.Errorf("letters of %g mm at %v", size, at)
	}
}
