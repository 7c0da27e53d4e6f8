package assembly_test

import (
	"errors"
	"fmt"
	"testing"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/stock"
)

var harbour = assembly.Design{
	Name: "harbour",
	Params: []assembly.Param{
		{Name: "width", Value: 120, Min: 80, Max: 200, Unit: "mm", Doc: "overall width"},
		{Name: "shift", Value: 0, Unit: "mm"},
	},
	Make: func(v assembly.Values) assembly.Product {
		w := v.Param("width")
		panel := layers.Rectangle(w, 0.7*w)
		return assembly.Product{
			Stack: []assembly.Layer{ // back to front
				{{Name: "back", Material: birch, Outline: panel}},
				{{Name: "sea", Material: blue, Outline: panel}},
				{{Name: "frame", Material: birch, Outline: panel.Subtract(panel.Inset(14))}},
			},
			Height: 3 * v.Thickness(birch),
		}
	},
}

func TestDesign(t *testing.T) {
	in := assembly.Inputs{Materials: stock.Common()}
	k, err := harbour.Build(in.WithThickness(birch, 2.8).With("width", 140))
	if err != nil {
		t.Fatal(err)
	}
	back, _ := k.Plate("back")
	if b := back.Outline.Bounds(); k.Name() != "harbour" || b.Width() != 140 || back.Stock.Thickness.Mean != 2.8 {
		t.Errorf("%s is %g mm wide of %g mm", k.Name(), b.Width(), back.Stock.Thickness.Mean)
	}
	if in.Set != nil {
		t.Error("With changed its receiver")
	}
	if f := of(k, "stack-height"); len(f) != 1 {
		t.Errorf("want one stack-height, got %v", f)
	}
}

func TestDesignMistakes(t *testing.T) {
	trouble := errors.New("no such drawing")
	in := assembly.Inputs{Materials: stock.Common()}
	for _, test := range []struct {
		name string
		in   assembly.Inputs
		make func(assembly.Values) assembly.Product
		want string
	}{
		{"range", in.With("width", 300).With("shift", -1e9), harbour.Make, `parameter "width", value: expected 80 to 200, found 300`},
		{"unknown inputs", in.With("widht", 90).With("birch ply.thickness", 3).With("birch ply 3.thicknes", 3), harbour.Make,
			`input "birch ply 3.thicknes": set "birch ply 3.thicknes": a material has no field "thicknes"; nearest is "thickness"` + "\n" +
				`input "birch ply.thickness": set "birch ply.thickness": there is no material "birch ply"; nearest is "birch ply 3"` + "\n" +
				`input "widht": no parameter "widht"; nearest is "width"`},
		{"no thickness", in.WithThickness(birch, -3), harbour.Make, `input "birch ply 3.thickness": set "birch ply 3.thickness": thickness: expected 0.01 to 1000 mm, found -3`},
		{"unknown names in Make", in, func(v assembly.Values) assembly.Product {
			_, _ = v.Param("widht"), v.Thickness("brich ply 3")
			v.Fail(nil)
			v.Fail(trouble)
			return assembly.Product{}
		}, "material \"brich ply 3\": no material \"brich ply 3\"; nearest is \"birch ply 3\"\nparameter \"widht\": no parameter \"widht\"; nearest is \"width\"\nproduct: no such drawing"},
		{"no Make", in, nil, `product "harbour", make: the design has no Make`},
	} {
		d := harbour
		d.Make = test.make
		k, err := d.Build(test.in)
		if err == nil || err.Error() != test.want || k != nil {
			t.Errorf("%s: got:\n%v\nwant:\n%s", test.name, err, test.want)
		}
		if errors.Is(err, trouble) != (test.name == "unknown names in Make") {
			t.Errorf("%s: the cause is lost", test.name)
		}
	}
	d := harbour
	d.Params = []assembly.Param{{Name: "a", Value: 3, Min: 5, Max: 4}, {Name: "a"}, {}, {Name: "b.c"}}
	const want = "parameter, name: a parameter has no name\nparameter \"a\", name: two parameters have this name\nparameter \"a\", value: expected 5 to 4, found 3\nparameter \"b.c\", name: a full stop stands between a material and its figure and in no parameter's name"
	if _, err := d.Build(in); err == nil || err.Error() != want {
		t.Errorf("got:\n%v\nwant:\n%s", err, want)
	}
}

func ExampleDesign_Build() {
	in := assembly.Inputs{Materials: stock.Common()}
	kit, err := harbour.Build(in.WithThickness("birch ply 3", 2.8)) // today's sheets, as measured
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(kit.Err())
	for p := range kit.Plates() {
		fmt.Printf("%s: z %.1f mm, %.1f g\n", p.Name, p.Pose.Origin[2], p.Mass())
	}
	// Output:
	// error: stack: the sheets stand higher than declared (8.60 mm, needs at most 8.40 mm); declare a greater height, or thin a sheet or leave one out [stack-height]
	// back: z 0.0 mm, 18.6 g
	// sea: z 2.8 mm, 36.0 g
	// frame: z 5.8 mm, 9.1 g
}

func ExampleProduct_Build() {
	p := assembly.Product{
		Stack: []assembly.Layer{
			{{Name: "back", Material: "birch ply 3", Outline: layers.Rectangle(80, 60)}},
			{{Name: "moon", Material: "brich ply 3", Outline: layers.Circle(40)}},
		},
	}
	_, err := p.Build(stock.Common())
	fmt.Println(err)
	p.Stack[1][0].Material = "opal cast acrylic 3"
	kit, err := p.Build(stock.Common())
	fmt.Println(kit.Height(), kit.Err(), err)
	// Output:
	// plate "moon", material: no material "brich ply 3"; nearest is "birch ply 3"
	// 6 <nil> <nil>
}

func ExampleKit_Column() {
	birch, _ := stock.Common().Find("birch ply 3")
	sea, _ := stock.Common().Find("blue cast acrylic 3")
	birch.Thickness = layers.SpreadOf(2.98, 3.02, 3.00, 3.04)
	sea.Thickness = layers.SpreadOf(2.90, 2.80, 3.00)
	kit, err := harbour.Build(assembly.Inputs{Materials: stock.Common().With(birch, sea)})
	if err != nil {
		fmt.Println(err)
		return
	}
	c := kit.Column()
	fmt.Printf("%v stand %.2f mm high, %.2f more in the worst case, %.2f more at 3 deviations\n", c.Plates, c.Height, c.Worst, c.RSS)
	fmt.Print(kit.Findings())
	// Output:
	// [back sea frame] stand 8.92 mm high, 0.45 more in the worst case, 0.34 more at 3 deviations
	// warning: stack: the sheets may stand higher than declared, even where batches err independently (9.37 mm, needs at most 9.03 mm); sort the sheets by thickness, or declare a greater height [stack-height]
}
