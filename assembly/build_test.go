package assembly_test

import (
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/stock"
)

func TestMistakes(t *testing.T) {
	broken := errors.New("drawn badly")
	for _, test := range []struct {
		name  string
		spoil func(p *assembly.Product)
		want  string // of all mistakes, one a line
	}{
		{"sound", func(*assembly.Product) {}, ""},
		{"empty", func(p *assembly.Product) { *p = assembly.Product{} }, `stack: the product has no plates`},
		{"empty layer", func(p *assembly.Product) { p.Stack = append(p.Stack, assembly.Layer{}) }, `layer "4": the layer has no plates`},
		{"twice", func(p *assembly.Product) { p.Stack[1][0].Name = "frame" },
			"joint \"foot\": no plate \"sea\"\njoint \"heel\": no plate \"sea\"\njoint \"left peg\": no plate \"sea\"\njoint \"low clip\": no plate \"sea\"\njoint \"right peg\": no plate \"sea\"\njoint \"screw\": no plate \"sea\"\njoint \"sun pin\": no plate \"sea\"\njoint \"swim\": no plate \"sea\"\njoint \"toe\": no plate \"sea\"\njoint \"top clip\": no plate \"sea\"\n" +
				"plate \"frame\", name: two plates have this name\nplate \"rib\", on: no plate in the stack \"sea\"\nplate \"wall\", on: no plate in the stack \"sea\""},
		{"unknown material", func(p *assembly.Product) { p.Stack[0][0].Material = "brich ply 3" }, `plate "back", material: no material "brich ply 3"; nearest is "birch ply 3"`},
		{"no material", func(p *assembly.Product) { p.Stack[0][0].Material = "" }, `plate "back", material: names no material`},
		{"empty outline", func(p *assembly.Product) { p.Stack[2][1].Outline = layers.Region{} }, `plate "sun", outline: the outline is empty`},
		{"failed outline", func(p *assembly.Product) { p.Stack[2][1].Outline = layers.Invalid(broken) }, `plate "sun", outline: drawn badly`},
		{"numbers", func(p *assembly.Product) {
			p.Height = math.Inf(1)
			p.Stack[0][0].Gap, p.Stack[0][0].Lift = -1, math.NaN()
			p.Uprights[0].At.X, p.Uprights[0].Z = math.NaN(), math.Inf(-1)
		}, "plate \"back\", gap: -1 mm is negative\nplate \"back\", lift: NaN is no length or angle\nplate \"wall\", at: NaN is no length or angle\nplate \"wall\", z: -Inf is no length or angle\nstack, height: +Inf is no length or angle"},
		{"a joint's numbers", func(p *assembly.Product) {
			p.Joints = map[string]joints.Joint{"pin": &joints.Peg{Through: []string{"back"}, At: layers.Point{Y: math.NaN()}}}
		}, `joint "pin", at.y: infinite, or not a number`},
		{"a joint's words", func(p *assembly.Product) {
			p.Joints = map[string]joints.Joint{
				"clip": joints.SpringClip{Through: []string{"back"}, Arm: -1},
				"pin":  &joints.Peg{Through: []string{"back"}, Fit: joints.Fit{Class: 7}},
			}
		}, "joint \"clip\", arm: arm form -1 is none of straight, tapered, arched\njoint \"pin\", fit.class: fit 7 is none of snug, slide, press"},
		{"nil joint", func(p *assembly.Product) { p.Joints["nothing"] = nil }, `joint "nothing": the joint is nil`},
		{"nil pointer", func(p *assembly.Product) { p.Joints["nothing"] = (*joints.Peg)(nil) }, `joint "nothing": the joint is nil`},
		{"unknown plate", func(p *assembly.Product) {
			p.Joints["foot"] = joints.TabSlot{Upright: "wal", Through: []string{"bakc", ""}}
		}, "joint \"foot\": names no plate\njoint \"foot\": no plate \"bakc\"; nearest is \"back\"\njoint \"foot\": no plate \"wal\"; nearest is \"wall\""},
		{"upright on an upright", func(p *assembly.Product) { p.Uprights[1].On = "wall" }, `plate "rib", on: no plate in the stack "wall"`},
		{"name of a made plate", func(p *assembly.Product) { p.Stack[2][1].Name = "left peg" },
			`joint "left peg": the joint makes a plate "left peg", and another plate has that name`},
		{"a mark that cuts", func(p *assembly.Product) { p.Stack[0][0].Marks = []layers.Mark{{Operation: layers.Cut}} }, `plate "back", marks: a mark is scored or engraved, found "cut"`},
		{"work on a plate that is not there", func(p *assembly.Product) {
			p.Joints["saw"] = works{Tied: []string{"back"}, Work: joints.Work{Features: []joints.Feature{{Plate: "bac"}}}}
		}, `joint "saw": no plate "bac"; nearest is "back"`},
	} {
		t.Run(test.name, func(t *testing.T) {
			p := sound()
			test.spoil(&p)
			k, err := p.Build(stock.Common())
			got := ""
			if err != nil {
				got = err.Error()
			}
			if got != test.want {
				t.Errorf("got:\n%s\nwant:\n%s", got, test.want)
			}
			var all *assembly.DeclarationError
			if err != nil && (k != nil || !errors.As(err, &all) || len(all.Mistakes) != strings.Count(test.want, "\n")+1) {
				t.Errorf("want no kit and every mistake by itself, got %v, %v", k, all)
			}
			if test.name == "failed outline" && !errors.Is(err, broken) {
				t.Error("the cause is lost")
			}
		})
	}
}

func TestSources(t *testing.T) {
	p := sound()
	p.Height = 5
	p.Sources = map[layers.Subject]layers.Source{
		{Kind: "stack"}:                    {File: "sound.yaml", Line: 3},
		{Kind: "joint", Name: "saw"}:       {File: "sound.yaml", Line: 9},
		{Kind: "plate", Name: "back"}:      {File: "sound.yaml", Line: 5},
		{Kind: "joint", Name: "right peg"}: {File: "sound.yaml", Line: 7},
	}
	k := build(t, p, stock.Common())
	if f := of(k, "stack-height"); len(f) != 1 || f[0].Source.Line != 3 {
		t.Errorf("want line 3, got %v", f)
	}
	// What a joint makes was declared with the joint.
	p.Joints["right peg"] = joints.Peg{Through: []string{"back", "frame"}, At: layers.Point{X: 73}, Turn: 90}
	k = build(t, p, stock.Common())
	if f := of(k, "plates-collide"); len(f) != 1 || f[0].Source.Line != 7 {
		t.Errorf("want line 7, got %v", f)
	}
	p.Stack[0][0].Material = "glass"
	p.Joints["saw"] = nil
	_, err := p.Build(stock.Common())
	if want := "sound.yaml:5:0: plate \"back\", material: no material \"glass\"\nsound.yaml:9:0: joint \"saw\": the joint is nil"; err == nil || err.Error() != want {
		t.Errorf("got:\n%v\nwant:\n%s", err, want)
	}
}

func TestHeights(t *testing.T) {
	disc := layers.Circle(10)
	p := assembly.Product{
		Stack: []assembly.Layer{
			{{Name: "a", Material: birch, Outline: layers.Rectangle(90, 90)}},
			{
				{Name: "b", Material: blue, Outline: disc, Lift: 0.5},
				{Name: "c", Material: birch, Outline: disc.Move(layers.Point{X: 20}), Lift: 2},
			},
			{{Name: "d", Material: birch, Outline: layers.Rectangle(80, 80)}},
		},
		Uprights: []assembly.Upright{
			{Plate: flat("u", layers.Rectangle(2, 2)), At: layers.Point{X: 1, Y: 40}, Turn: 90, On: "b", Z: 1},
			{Plate: flat("v", layers.Rectangle(2, 2)), Z: 30},
		},
	}
	k := build(t, p, thick(layers.Spread{Mean: 2.8}, layers.Spread{Mean: 3.1}))
	for name, want := range map[string]float64{
		"a": 0,
		"b": 2.8 + 2,
		"c": 2.8 + 2,
		"d": 2.8 + 2 + 3.1,
		"u": 2.8 + 2 + 3.1 + 1,
		"v": 30,
	} {
		if got, ok := k.Plate(name); !ok || math.Abs(got.Pose.Origin[2]-want) > 1e-12 {
			t.Errorf("%s lies at %v, want %g", name, got.Pose.Origin[2], want)
		}
	}
	if got, want := k.Height(), 2.8+2+3.1+2.8; math.Abs(got-want) > 1e-12 {
		t.Errorf("the stack stands %g high, want %g", got, want)
	}
	u, _ := k.Plate("u")
	if u.Layer != -1 || u.Pose != layers.Standing(layers.Point{X: 1, Y: 40}, 90, u.Pose.Origin[2], 2.8) {
		t.Errorf("upright at %v", u.Pose)
	}
	var names []string
	for p := range k.Plates() {
		names = append(names, p.Name)
	}
	if got := strings.Join(names, " "); got != "a b c d u v" {
		t.Errorf("plates are in the order %s", got)
	}
}

// At every thickness a sound product has no error.
func TestSoundProducts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lib := stock.Common()
		for _, name := range []string{birch, blue} {
			m, _ := lib.Find(name)
			m.Nominal = 0
			m.Thickness.Mean = rapid.Float64Range(2.5, 6.5).Draw(t, name)
			m.Thickness.SD = rapid.Float64Range(0, 0.1).Draw(t, name+" sd")
			kerf := layers.Spread{Mean: rapid.Float64Range(0.08, 0.45).Draw(t, name+" kerf"), SD: rapid.Float64Range(0, 0.02).Draw(t, name+" kerf sd")}
			m.Kerf.X, m.Kerf.Y = kerf, kerf
			lib = lib.With(m)
		}
		k, err := sound().Build(lib)
		if err != nil {
			t.Fatal(err)
		}
		if err := k.Err(); err != nil {
			t.Error(layers.AsFindings(err))
		}
	})
}

// Which joint has which name decides nothing about an outline, even where
// their features meet.
func TestOrderOfJoints(t *testing.T) {
	p := sound()
	p.Joints["saw"] = works{Tied: []string{"back"}, Work: joints.Work{Features: []joints.Feature{
		{Plate: "back", Action: joints.Add, Region: rect(20, 20, 80, 0)},
		{Plate: "back", Action: joints.Remove, Region: rect(5, 9, -25, 0)},
	}}}
	p.Joints["drill"] = works{Tied: []string{"back"}, Work: joints.Work{Features: []joints.Feature{
		{Plate: "back", Action: joints.Remove, Region: layers.Circle(12).Move(layers.Point{X: 82})},
		{Plate: "back", Action: joints.Add, Region: rect(30, 3, -20, 4)},
	}}}
	want := build(t, p, stock.Common())
	p.Joints["saw"], p.Joints["drill"] = p.Joints["drill"], p.Joints["saw"]
	p.Joints["lap"], p.Joints["foot"], p.Joints["heel"] = p.Joints["heel"], p.Joints["lap"], p.Joints["foot"]
	got := build(t, p, stock.Common())
	for a := range want.Plates() {
		b, _ := got.Plate(a.Name)
		if off := a.Outline.Xor(b.Outline).Area(); off > 1e-6 {
			t.Errorf("%s differs by %g mm²", a.Name, off)
		}
	}
}

// print writes all that a kit holds.
func print(k *assembly.Kit) string {
	var b strings.Builder
	for p := range k.Plates() {
		fmt.Fprintln(&b, p.Name, p.Layer, p.Joint, p.Spare, p.Pose, p.Stock.Name, p.Marks)
		for c := range p.Outline.Contours() {
			fmt.Fprintln(&b, c)
		}
	}
	for name, w := range k.Works() {
		fmt.Fprintln(&b, name, len(w.Features), w.Matings, w.Needs, w.Springs)
	}
	fmt.Fprintln(&b, k.Findings(), k.Height(), k.Mass(), k.Column(), k.Bought())
	return b.String()
}

func TestBuildsAreTheSame(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	p := sound()
	p.Height = 9
	p.Joints["odd peg"] = joints.Peg{Through: []string{"back", "frame"}, At: layers.Point{X: 73, Y: 20}, Turn: 90}
	want := print(build(t, p, thick(layers.Spread{Mean: 3, SD: 0.1}, layers.Spread{Mean: 3, SD: 0.1})))
	for i := range 20 {
		runtime.GOMAXPROCS([]int{1, 8}[i%2])
		done := make(chan string)
		for range 2 {
			go func() {
				done <- print(build(t, p, thick(layers.Spread{Mean: 3, SD: 0.1}, layers.Spread{Mean: 3, SD: 0.1})))
			}()
		}
		for range 2 {
			if got := <-done; got != want {
				t.Fatalf("build %d differs:\n%s\nwant:\n%s", i, got, want)
			}
		}
	}
}

func TestKitStaysAsItIs(t *testing.T) {
	p := sound()
	p.Height = 5
	p.Stack[0][0].Marks = []layers.Mark{{Operation: layers.Engrave, Area: layers.Circle(4)}}
	k := build(t, p, stock.Common())
	want := print(k)
	k.Findings()[0].ID = "changed"
	for pl := range k.Plates() {
		for i := range pl.Marks {
			pl.Marks[i].Operation = layers.Score
		}
	}
	for _, w := range k.Works() {
		for i := range w.Matings {
			w.Matings[i].Gaps[0].Play = 7
			w.Matings[i].Insert = "changed"
		}
	}
	p.Stack[0][0].Marks[0].Operation = layers.Score
	if got := print(k); got != want {
		t.Errorf("the kit has changed:\n%s\nwant:\n%s", got, want)
	}
}

func TestKitSums(t *testing.T) {
	p := sound()
	delete(p.Joints, "screw")
	for name, n := range map[string]int{"one": 2, "other": 3} {
		p.Joints[name] = works{Tied: []string{"back"}, Work: joints.Work{Needs: []joints.Item{{Name: "M3 nut", Count: n}, {Name: "M3 × " + name, Count: 1}}}}
	}
	k := build(t, p, stock.Common())
	if got, want := k.Bought(), []joints.Item{{Name: "M3 nut", Count: 5}, {Name: "M3 × one", Count: 1}, {Name: "M3 × other", Count: 1}}; !slices.Equal(got, want) {
		t.Errorf("bought parts are %v, want %v", got, want)
	}
	var used []string
	for m := range k.Materials() {
		used = append(used, m.Name)
	}
	if want := []string{birch, blue}; !slices.Equal(used, want) {
		t.Errorf("materials are %v, want %v", used, want)
	}
	sum := 0.0
	for p := range k.Plates() {
		sum += p.Mass()
	}
	if math.Abs(sum-k.Mass()) > 1e-9 || sum == 0 {
		t.Errorf("plates weigh %g g and the kit %g g", sum, k.Mass())
	}
}

// Inserts of one seat take turns: all but the first are spare, and they may lie
// over each other but over nothing else.
func TestSpareInserts(t *testing.T) {
	p := assembly.Product{
		Stack: []assembly.Layer{{
			flat("sky", layers.Rectangle(90, 90).Subtract(layers.Circle(40.4))),
			flat("moon", layers.Circle(40)), flat("sun", layers.Circle(40)), flat("star", layers.Circle(40)),
		}},
		Joints: map[string]joints.Joint{"turns": works{Tied: []string{"sky", "moon", "sun", "star"}, Work: joints.Work{Swaps: [][]string{{"moon", "star", "sun"}}}}},
	}
	k := build(t, p, stock.Common())
	for pl := range k.Plates() {
		if want := pl.Name == "sun" || pl.Name == "star"; pl.Spare != want {
			t.Errorf("%s is spare: %t", pl.Name, pl.Spare)
		}
	}
	if f := of(k, "plates-overlap"); len(f) > 0 {
		t.Error(f)
	}
	p.Stack[0][2].Outline = layers.Circle(42)
	if f := of(build(t, p, stock.Common()), "plates-overlap"); len(f) != 1 || f[0].Subject.Name != "sky" || f[0].Related[0].Name != "sun" {
		t.Errorf("want the spare sun over the sky, got %v", f)
	}
}

// Whatever is declared, Build comes back with a kit or an error.
func TestBuildComesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		place := func(label string) layers.Point {
			c := rapid.Float64Range(-40, 40)
			return layers.Point{X: c.Draw(t, label+" x"), Y: c.Draw(t, label+" y")}
		}
		size := func(label string) float64 { return rapid.Float64Range(0.01, 80).Draw(t, label) }
		turn := func(label string) layers.Degrees {
			return layers.Degrees(rapid.SampledFrom([]float64{0, 30, 45, 90, 120, 180, 270}).Draw(t, label))
		}
		p := assembly.Product{Height: size("height"), Joints: map[string]joints.Joint{}}
		var names []string
		for i := range rapid.IntRange(1, 3).Draw(t, "layers") {
			var layer assembly.Layer
			for j := range rapid.IntRange(1, 2).Draw(t, "plates") {
				pl := flat(fmt.Sprint("plate ", i, j), layers.Rectangle(size("w"), size("h")).Move(place("plate")))
				pl.Gap, pl.Lift = rapid.SampledFrom([]float64{0, 0.5}).Draw(t, "gap"), rapid.SampledFrom([]float64{0, 2}).Draw(t, "lift")
				pl.Material = rapid.SampledFrom([]string{birch, blue, "birch ply 4"}).Draw(t, "material")
				layer = append(layer, pl)
				names = append(names, pl.Name)
			}
			p.Stack = append(p.Stack, layer)
		}
		plate := rapid.SampledFrom(names)
		for i := range rapid.IntRange(0, 3).Draw(t, "uprights") {
			name := fmt.Sprint("wall ", i)
			p.Uprights = append(p.Uprights, wall(name, plate.Draw(t, "on"), size("w"), size("h"), place("wall"), turn("wall turn")))
			p.Joints["tab "+name] = joints.TabSlot{Upright: name, Through: []string{p.Uprights[i].On}, At: rapid.Float64Range(-10, 10).Draw(t, "tab at")}
			if i > 0 {
				p.Joints["lap "+name] = joints.CrossLap{A: "wall 0", B: name}
			}
		}
		p.Joints["peg"] = joints.Peg{Through: []string{plate.Draw(t, "through"), plate.Draw(t, "through")}, At: place("peg"), Turn: turn("peg turn")}
		p.Joints["clip"] = joints.SpringClip{Through: names, At: place("clip"), Turn: turn("clip turn")}
		p.Joints["saw"] = works{Tied: names[:1], Work: joints.Work{Features: []joints.Feature{{Plate: names[0], Action: joints.Remove, Region: layers.Rectangle(size("saw w"), size("saw h")).Move(place("saw"))}}}}
		k, err := p.Build(stock.Common())
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range k.Findings() {
			if f.Measure != nil && (math.IsNaN(f.Measure.Value) || f.Measure.Margin() > 0) {
				t.Errorf("not a failed measure: %s", f)
			}
		}
	})
}

// A press fit explains its own interference and nothing else.
func TestPressFitHidesNothing(t *testing.T) {
	p := stacked(0, flat("base", layers.Rectangle(80, 60)))
	p.Uprights = []assembly.Upright{wall("wall", "base", 60, 20, layers.Point{}, 30)}
	p.Joints = map[string]joints.Joint{
		"foot": joints.TabSlot{Upright: "wall", Through: []string{"base"}, Width: 12, Fit: joints.Fit{Class: joints.Press}},
	}
	if f := of(build(t, p, stock.Common()), "plates-collide"); len(f) > 0 {
		t.Errorf("a press fit collides: %s", f)
	}
	// A lug of 1 × 3 mm beside the tab, in a base without a slot for it.
	p.Joints["lug"] = works{Tied: []string{"wall"}, Work: joints.Work{Features: []joints.Feature{
		{Plate: "wall", Action: joints.Add, Region: rect(1, 4, 20, -1)},
	}}}
	f := of(build(t, p, stock.Common()), "plates-collide")
	if len(f) != 1 || math.Abs(f[0].Measure.Value-1*3*3) > 0.5 {
		t.Errorf("want the 9 mm³ of the lug, less a little for the fit, got: %s", f)
	}
}
