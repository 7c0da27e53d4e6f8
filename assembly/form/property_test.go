package form

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"testing/fstest"
	"time"

	"gopkg.in/yaml.v3"
	"pgregory.net/rapid"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/stock"
	"github.com/platewright/platewright/layers/written"
)

// TestOneSlipOneMistake garbles every word of every.yaml that the form gives a
// meaning to, one at a time: each must give one mistake, on that word's line.
func TestOneSlipOneMistake(t *testing.T) {
	text := every(t)
	var root yaml.Node
	if err := yaml.Unmarshal([]byte(text), &root); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(text, "\n")
	garbled := 0
	for _, n := range meaning(root.Content[0], "") {
		at := n.Column - 1
		if n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle) != 0 {
			at++
		}
		old := lines[n.Line-1]
		lines[n.Line-1] = old[:at] + "zq" + old[at:]
		_, err := read(t, strings.Join(lines, "\n"))
		lines[n.Line-1] = old
		var es written.Errors
		if !errors.As(err, &es) || len(es) != 1 {
			t.Errorf("line %d: zq before %q: want one mistake, got\n%v", n.Line, n.Value, err)
		} else if es[0].Line != n.Line && !strings.Contains(es[0].Message, "expected a field") {
			t.Errorf("line %d: zq before %q: the mistake is said to be in line %d: %v", n.Line, n.Value, es[0].Line, err)
		}
		garbled++
	}
	if garbled < 100 {
		t.Errorf("only %d words were garbled", garbled)
	}
}

// meaning returns the scalars below n that are no names of the writer's own.
func meaning(n *yaml.Node, path string) []*yaml.Node {
	var out []*yaml.Node
	switch n.Kind {
	case yaml.MappingNode:
		for i := 0; i < len(n.Content); i += 2 {
			k, v := n.Content[i], n.Content[i+1]
			if !slices.Contains([]string{"parameters", "outlines", "joints"}, path) {
				out = append(out, k)
			}
			if slices.Contains([]string{"product", "about", "plate", "material", "cut", "size"}, k.Value) {
				continue // known to nobody but the writer, or judged at Build
			}
			out = append(out, meaning(v, written.Join(path, k.Value))...)
		}
	case yaml.SequenceNode:
		for _, c := range n.Content {
			out = append(out, meaning(c, path+"[]")...)
		}
	case yaml.ScalarNode:
		out = append(out, n)
	}
	return out
}

// sum is a random expression beside what it comes to.
type sum struct {
	text  string
	value func(x, y float64) float64
}

func sums() *rapid.Generator[sum] {
	leaf := rapid.Custom(func(t *rapid.T) sum {
		switch rapid.IntRange(0, 3).Draw(t, "leaf") {
		case 0:
			return sum{"x", func(x, _ float64) float64 { return x }}
		case 1:
			return sum{"y", func(_, y float64) float64 { return y }}
		case 2:
			return sum{"pi", func(_, _ float64) float64 { return math.Pi }}
		}
		v := rapid.Float64Range(0, 50).Draw(t, "v")
		return sum{strconv.FormatFloat(v, 'f', -1, 64), func(_, _ float64) float64 { return v }}
	})
	var node func(depth int) *rapid.Generator[sum]
	node = func(depth int) *rapid.Generator[sum] {
		if depth == 0 {
			return leaf
		}
		return rapid.Custom(func(t *rapid.T) sum {
			a, b := node(depth-1).Draw(t, "a"), node(depth-1).Draw(t, "b")
			switch rapid.IntRange(0, 8).Draw(t, "op") {
			case 0:
				return sum{"(" + a.text + " + " + b.text + ")", func(x, y float64) float64 { return a.value(x, y) + b.value(x, y) }}
			case 1:
				return sum{"(" + a.text + " - " + b.text + ")", func(x, y float64) float64 { return a.value(x, y) - b.value(x, y) }}
			case 2:
				return sum{"(" + a.text + " * " + b.text + ")", func(x, y float64) float64 { return a.value(x, y) * b.value(x, y) }}
			case 3:
				return sum{"(" + a.text + " / " + b.text + ")", func(x, y float64) float64 { return a.value(x, y) / b.value(x, y) }}
			case 4:
				return sum{"(-" + a.text + ")", func(x, y float64) float64 { return -a.value(x, y) }}
			case 5:
				return sum{"max(" + a.text + ", " + b.text + ")", func(x, y float64) float64 { return math.Max(a.value(x, y), b.value(x, y)) }}
			case 6:
				return sum{"((" + a.text + ") ^ 2)", func(x, y float64) float64 { return math.Pow(a.value(x, y), 2) }}
			case 7:
				return sum{"(" + a.text + " < " + b.text + " ? " + a.text + " : " + b.text + ")", func(x, y float64) float64 {
					if p, q := a.value(x, y), b.value(x, y); p < q {
						return p
					} else {
						return q
					}
				}}
			}
			return sum{"floor(" + a.text + ")", func(x, y float64) float64 { return math.Floor(a.value(x, y)) }}
		})
	}
	return node(3)
}

// TestExpressionsAgreeWithGo compares random expressions with the same in Go.
func TestExpressionsAgreeWithGo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := sums().Draw(t, "e")
		if len(e.text) > MaxExpression {
			t.Skip("long")
		}
		x, y := rapid.Float64Range(-20, 20).Draw(t, "x"), rapid.Float64Range(-20, 20).Draw(t, "y")
		d := decoder{parameters: known[unit]{known: map[string]unit{"x": {}, "y": {}}}}
		got, ok := d.expression(&yaml.Node{Kind: yaml.ScalarNode, Value: e.text}, "k")
		if !ok {
			t.Fatalf("%s: %v", e.text, d.Err())
		}
		want := e.value(x, y)
		v := got.eval(&scene{parameters: map[string]float64{"x": x, "y": y}})
		if v != want && !(math.IsNaN(v) && math.IsNaN(want)) {
			t.Fatalf("%s is %v, want %v", e.text, v, want)
		}
	})
}

// declared returns the product that d makes with the common sheets.
func declared(t testing.TB, d assembly.Design) assembly.Product {
	t.Helper()
	var p assembly.Product
	spy := d
	spy.Make = func(v assembly.Values) assembly.Product {
		p = d.Make(v)
		return p
	}
	if _, err := spy.Build(assembly.Inputs{Materials: stock.Common()}); err != nil {
		t.Fatal(err)
	}
	return p
}

// TestShapesAreTheGoCalls compares every shape with the Go call it stands for.
func TestShapesAreTheGoCalls(t *testing.T) {
	box := layers.Rectangle(20, 10)
	disc := layers.Circle(8)
	p := func(x, y float64) layers.Point { return layers.Point{X: x, Y: y} }
	for text, want := range map[string]layers.Region{
		"box":                                 box,
		"{rectangle: [20, 10]}":               box,
		"{rectangle: [2 cm, 1 cm]}":           box,
		"{rectangle: [20, 10], corner: 2}":    layers.RoundedRectangle(20, 10, 2),
		"{circle: 8}":                         disc,
		"{ellipse: [9, 4]}":                   layers.Ellipse(9, 4),
		"{polygon: [[0, 0], [9, 0], [0, 7]]}": layers.Polygon(p(0, 0), p(9, 0), p(0, 7)),
		"{regular: {sides: 5, diameter: 9}}":  layers.RegularPolygon(5, 9),
		"{slot: [12, 4]}":                     layers.SlotShape(12, 4),
		"{path: M 0 0 H 9 V 5 Z}":             layers.Polygon(p(0, 0), p(9, 0), p(9, -5)),
		"{of: box, move: [1, 2]}":             box.Move(p(1, 2)),
		"{inset: box, by: 1}":                 box.Inset(1),
		"{outset: box, by: 1}":                box.Offset(1, layers.Mitre),
		"{outset: box, by: 1, round: true}":   box.Offset(1, layers.Round),
		"{union: [box, disc]}":                box.Union(disc),
		"{subtract: [box, disc]}":             box.Subtract(disc),
		"{intersect: [box, {circle: 12}, {rectangle: [9, 30]}]}":  box.Intersect(layers.Circle(12)).Intersect(layers.Rectangle(9, 30)),
		"{row: {of: disc, count: 3, step: [10, 1]}}":              layers.Row(disc, 3, p(10, 1)),
		"{ring: {of: {circle: 2, move: [9, 0]}, count: 7}}":       layers.Ring(layers.Circle(2).Move(p(9, 0)), 7),
		"{of: box, turn: 30, mirror: 90, scale: 2, move: [3, 4]}": box.Mirror(90).Scale(2, 2).Rotate(30).Move(p(3, 4)),
		"{of: box, scale: [2, -1]}":                               box.Scale(2, -1),
		"{polygon: [[0, 0], [9, 0], [0, 7]], centre: true}":       layers.Polygon(p(0, 0), p(9, 0), p(0, 7)).Move(p(-4.5, -3.5)),
		"{of: {of: box, move: [5, 0]}, turn: 90}":                 box.Move(p(5, 0)).Rotate(90),
	} {
		d, err := read(t, "product: p\noutlines: {box: {rectangle: [20, 10]}, disc: {circle: 8}}\nstack:\n  - {plate: a, material: birch ply 3, outline: "+text+"}\n")
		if err != nil {
			t.Errorf("%s: %v", text, err)
			continue
		}
		got := declared(t, d).Stack[0][0].Outline
		if diff := got.Xor(want).Area(); diff > 1e-6 || got.Area() == 0 {
			t.Errorf("%s: differs from the Go call by %g mm²", text, diff)
		}
	}
}

// TestMarksAndUprights compares what is no outline with the Go values.
func TestMarksAndUprights(t *testing.T) {
	d, err := read(t, every(t))
	if err != nil {
		t.Fatal(err)
	}
	p := declared(t, d)
	sea, sky, frame, fin := p.Stack[1][0], p.Stack[1][1], p.Stack[2][0], p.Uprights[0]
	if sea.Gap != 0.1 || frame.Lift != 0.5 || math.Abs(p.Height-(3*2.9+2)) > 1 {
		t.Errorf("gap %g, lift %g, height %g", sea.Gap, frame.Lift, p.Height)
	}
	if fin.Name != "fin" || fin.At != (layers.Point{Y: 30}) || fin.On != "frame" || fin.Turn != 0 {
		t.Errorf("upright is %+v", fin)
	}
	if len(sky.Marks) != 5 {
		t.Fatalf("%d marks, want 5", len(sky.Marks))
	}
	if got, want := fmt.Sprint(sky.Marks[0].Lines), "[[{10 0} {20 5} {40 0}]]"; got != want {
		t.Errorf("scored %s, want %s", got, want)
	}
	// The wave's first point is (0, 30) in the drawing, 40 mm high, y down.
	if got, want := sky.Marks[1].Lines[0][0], (layers.Point{X: 5, Y: 5 - 30}); got.Sub(want).Len() > 1e-9 {
		t.Errorf("the drawn line begins at %v, want %v", got, want)
	}
	if c := sky.Marks[2].Area.Bounds().Centre(); c.Sub(layers.Point{X: 30, Y: 20}).Len() > 1e-6 {
		t.Errorf("the drawn area is centred on %v", c)
	}
	hexagon := sky.Marks[3].Lines
	if len(hexagon) != 1 || len(hexagon[0]) != 7 || hexagon[0][0] != hexagon[0][6] {
		t.Errorf("the scored outline is %v", hexagon)
	}
	want := joints.Peg{
		Through: []string{"back", "sea", "frame"},
		At:      layers.Point{X: -30, Y: 35},
		Cut:     "birch ply 3",
		Fit:     joints.Fit{Exact: &joints.Play{Along: 0.2, Across: stock3(t) / 20}},
	}
	if got := p.Joints["peg"]; !reflect.DeepEqual(got, want) {
		t.Errorf("peg is\n%+v, want\n%+v", got, want)
	}
	if got := p.Joints["right screw"].(joints.Screw); got.Turn != 30 {
		t.Errorf("the right screw's turn is %v, want 30", got.Turn)
	}
	if got := p.Joints["fin foot"].(joints.TabSlot); got.Fit.Class != joints.Slide {
		t.Errorf("the foot's fit is %v", got.Fit)
	}
}

// stock3 returns the thickness of birch ply 3.
func stock3(t *testing.T) float64 {
	m, err := stock.Common().Find("birch ply 3")
	if err != nil {
		t.Fatal(err)
	}
	return m.Thickness.Mean
}

// TestScoredArc follows a circle's edge within the tolerance.
func TestScoredArc(t *testing.T) {
	for _, line := range edges(layers.Circle(50)) {
		for i := range len(line) - 1 {
			if sag := 25 - line[i].Add(line[i+1]).Mul(0.5).Len(); sag > scoreTolerance*1.001 || math.Abs(line[i].Len()-25) > 1e-6 {
				t.Fatalf("chord %d lies %g mm inside", i, sag)
			}
		}
	}
}

// TestMakeIsPure builds at the same time what was built before.
func TestMakeIsPure(t *testing.T) {
	d, err := read(t, every(t))
	if err != nil {
		t.Fatal(err)
	}
	want := declared(t, d)
	var all sync.WaitGroup
	for range 4 {
		all.Go(func() {
			if got := declared(t, d); !reflect.DeepEqual(got, want) {
				t.Error("two makes with the same values differ")
			}
		})
	}
	all.Wait()
}

// hinge is a joint that package joints does not know. It has a field of every
// type that can be written.
type hinge struct {
	Leaf     string
	Others   []string
	Room     layers.Region
	Middle   layers.Point
	OpenTo   layers.Degrees
	Knuckles int
	Greased  bool
	Share    joints.Fraction
	Fit      joints.Fit
	Pin      struct{ Width float64 }
	Extra    *float64
	Ends     []layers.Point
	Cut      string
	private  int
	Hook     func() // has no written form
}

func (h *hinge) Ties() []string { return append([]string{h.Leaf}, h.Others...) }

func (h *hinge) Realize(joints.Site) joints.Work { return joints.Work{} }

func TestJointOfYourOwn(t *testing.T) {
	r := Reader{Kinds: []joints.Kind{{Name: "hinge", New: func() joints.Joint { return &hinge{Knuckles: 5, private: 1} }}}}
	const head = "product: p\nstack:\n  - {plate: a, material: birch ply 3, outline: {circle: 9}}\n  - {plate: b, material: birch ply 3, outline: {circle: 9}}\njoints:\n"
	load := func(j string) (assembly.Design, error) {
		return r.Read(fstest.MapFS{"p.yaml": {Data: []byte(head + j)}}, "p.yaml")
	}
	d, err := load("  h: {kind: hinge, leaf: a, others: [b], room: {circle: 3}, middle: [1, 2], open-to: 90, greased: true, share: 40 %, fit: press, pin: {width: 2 mm}, extra: 7, ends: [[1, 2]], cut: brass}\n  i: {kind: hinge, leaf: b, knuckles: 3}\n")
	if err != nil {
		t.Fatal(err)
	}
	p := declared(t, d)
	h := p.Joints["h"].(*hinge)
	if h.Leaf != "a" || h.Others[0] != "b" || h.Room.Empty() || h.Middle.Y != 2 || h.OpenTo != 90 || h.Knuckles != 5 || !h.Greased || h.Share != 0.4 ||
		h.Fit.Class != joints.Press || h.Pin.Width != 2 || *h.Extra != 7 || h.Ends[0].Y != 2 || h.Cut != "brass" || h.private != 1 {
		t.Errorf("read %+v", h)
	}
	if i := p.Joints["i"].(*hinge); i.Knuckles != 3 {
		t.Errorf("knuckles %d, want 3", i.Knuckles)
	}
	if at := p.Sources[layers.Subject{Kind: "material", Name: "brass"}]; at.Line != 6 {
		t.Errorf("brass is said to stand at %v", at)
	}
	for text, want := range map[string]string{
		"  h: {kind: hinge, leaf: a, hook: x}\n":   `p.yaml:6:29: joints.h.hook: there is no field "hook"; known are cut, ends, extra, fit, greased, kind, knuckles, leaf, middle, open-to, others, pin and 2 more`,
		"  h: {kind: hinge, others: [a]}\n":        `p.yaml:6:6: joints.h: expected a field "leaf", the name of a plate`,
		"  h: {kind: hinge, leaf: c}\n":            `p.yaml:6:26: joints.h.leaf: there is no plate "c"; known are a, b`,
		"  h: {kind: peg}\n":                       `p.yaml:6:13: joints.h.kind: there is no kind of joint "peg"; known are hinge`,
		"  h: {kind: hinge, leaf: a, share: 3mm}":  `p.yaml:6:36: joints.h.share: expected a number, alone or with %, found "3mm"`,
		"  h: {kind: hinge, leaf: a, pin: {w: 3}}": `p.yaml:6:35: joints.h.pin.w: there is no field "w"; known are width`,
	} {
		if _, err := load(text); err == nil || err.Error() != want {
			t.Errorf("%s: got\n%v\nwant\n%s", text, err, want)
		}
	}
	if s := string(r.Schema()); !strings.Contains(s, `"open-to"`) || strings.Contains(s, `"hook"`) {
		t.Error("the schema of a reader's own joints lacks their fields")
	}
}

func TestLimits(t *testing.T) {
	const head = "product: p\nstack: [{plate: a, material: birch ply 3, outline: o}]\n"
	names := func(n int, value string) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, "  n%d: %s\n", i, value)
		}
		return b.String()
	}
	var chain strings.Builder
	for i := range MaxNames - 1 {
		fmt.Fprintf(&chain, "  o%d: {of: o%d}\n", i, i+1)
	}
	long := strings.Repeat("abcdefghij", 5)
	alike := head + "outlines:\n  o: {union: [" + strings.Repeat(long+"x,", 4000) + "a]}\n"
	for i := range MaxNames - 1 {
		alike += fmt.Sprintf("  %s%d: {circle: 1}\n", long, i)
	}
	for name, c := range map[string]struct{ text, want string }{
		"alike":      {alike, "and 3951 more"},
		"size":       {head + strings.Repeat("#\n", MaxBytes), "expected at most 1048576 bytes"},
		"depth":      {head + "about: " + strings.Repeat("[", 100), "not valid YAML"},
		"outlines":   {head + "outlines:\n  o: {circle: 3}\n" + names(MaxNames, "{circle: 3}"), "expected at most 1000 names, found 1001"},
		"parameters": {head + "outlines: {o: {circle: 3}}\nparameters:\n" + names(MaxNames+1, "3"), "expected at most 1000 names, found 1001"},
		"joints":     {head + "outlines: {o: {circle: 3}}\njoints:\n" + names(MaxNames+1, "{kind: screw, through: [a]}"), "expected at most 1000 names, found 1001"},
		"rows":       {head + "outlines:\n  o: {row: {of: {row: {of: {circle: 1}, count: 900, step: [2, 0]}}, count: 900, step: [0, 2]}}", "expected at most 200000 lines and arcs"},
		"grids":      {head + "outlines:\n  r: {row: {of: {polygon: [[0, 0], [1, 0], [0, 1]]}, count: 300, step: [2, 0]}}\n  o: {row: {of: r, count: 900, step: [0, 2]}}", "expected at most 200000 lines and arcs"},
		"chain":      {head + "outlines:\n" + chain.String() + "  o" + strconv.Itoa(MaxNames-1) + ": {circle: 3}\n", `there is no outline "o"`},
	} {
		start := time.Now()
		d, err := read(t, c.text)
		if err == nil {
			_, err = d.Build(assembly.Inputs{Materials: stock.Common()})
		}
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got error %v, want %s", name, err, c.want)
		}
		if took := time.Since(start); took > 10*time.Second {
			t.Errorf("%s took %v", name, took)
		}
	}
	if _, err := (Reader{MaxBytes: 10}).Read(beside(t, head), "p.yaml"); err == nil || err.Error() != "p.yaml: expected at most 10 bytes" {
		t.Errorf("with a limit of 10 bytes: %v", err)
	}
	if _, err := read(t, head+"outlines: {o: {circle: 3}}"); err != nil {
		t.Error(err)
	}
	if _, err := (Reader{}).Read(fstest.MapFS{}, "p.yaml"); err == nil {
		t.Error("a file that is not there can be read")
	}
}

func FuzzRead(f *testing.F) {
	f.Add(every(f))
	for _, s := range []string{
		"", "product: p", "product: p\nstack: [[[]]]", "stack: [{plate: a, outline: {of: a}}]",
		"parameters: {a: 1}\nheight: a^a^a^a^a", "outlines: {a: {of: b}, b: {of: a}}", "joints: {a: {kind: peg}}",
		"product: &p {a: *p}", "height: \"((((\"", "height: '-----1'", "height: \"a?b:c\"",
	} {
		f.Add(s)
	}
	for _, m := range mistakes {
		if len(m.new) < 200 {
			f.Add(m.new)
		}
	}
	f.Fuzz(func(t *testing.T, text string) {
		start := time.Now()
		_, err := read(t, text)
		if took := time.Since(start); took > 5*time.Second {
			t.Errorf("took %v", took)
		}
		var es written.Errors
		if err != nil && !errors.As(err, &es) {
			t.Errorf("the error is a %T: %v", err, err)
		}
		if len(es) > 0 && es[0].File != "p.yaml" {
			t.Errorf("the first mistake stands in %q", es[0].File)
		}
	})
}

func BenchmarkRead(b *testing.B) {
	fsys := beside(b, every(b))
	for b.Loop() {
		if _, err := (Reader{}).Read(fsys, "p.yaml"); err != nil {
			b.Fatal(err)
		}
	}
}
