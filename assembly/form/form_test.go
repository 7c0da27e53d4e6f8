package form

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"gopkg.in/yaml.v3"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/stock"
	"github.com/platewright/platewright/layers/written"
)

// every is testdata/every.yaml.
func every(t testing.TB) string {
	t.Helper()
	data, err := os.ReadFile("testdata/every.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// beside returns a file system with the text as p.yaml next to the files that
// every.yaml names.
func beside(t testing.TB, text string) fs.FS {
	t.Helper()
	fsys := fstest.MapFS{"p.yaml": {Data: []byte(text)}}
	for _, name := range []string{"drawing.svg", "sheets.yaml"} {
		data, err := os.ReadFile("testdata/" + name)
		if err != nil {
			t.Fatal(err)
		}
		fsys[name] = &fstest.MapFile{Data: data}
	}
	return fsys
}

func read(t testing.TB, text string) (assembly.Design, error) {
	t.Helper()
	return Reader{}.Read(beside(t, text), "p.yaml")
}

func TestRead(t *testing.T) {
	f, err := Reader{}.ReadFile(beside(t, every(t)), "p.yaml")
	if err != nil {
		t.Fatal(err)
	}
	if f.Name != "every" || f.About != "a test of everything" || f.Materials != "sheets.yaml" {
		t.Errorf("read name %q, about %q, materials %q", f.Name, f.About, f.Materials)
	}
	want := []assembly.Param{
		{Name: "width", Value: 120, Min: 80, Max: 200, Unit: "mm", Doc: "overall width"},
		{Name: "tilt", Value: 30, Unit: "deg"},
		{Name: "dots", Value: 4, Min: 1, Max: 9},
		{Name: "edge", Value: 14, Unit: "mm"},
	}
	if got := fmt.Sprint(f.Params); got != fmt.Sprint(want) {
		t.Errorf("parameters are\n%v, want\n%v", got, want)
	}
	if _, err := f.Build(assembly.Inputs{Materials: stock.Common()}); err != nil {
		t.Error(err)
	}
}

var compiled = sync.OnceValues(func() (*jsonschema.Schema, error) {
	s, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema()))
	if err != nil {
		return nil, err
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("product.schema.json", s); err != nil {
		return nil, err
	}
	return c.Compile("product.schema.json")
})

// validates returns what the schema says of the document.
func validates(t testing.TB, text string) error {
	t.Helper()
	s, err := compiled()
	if err != nil {
		t.Fatal(err)
	}
	var doc any
	if err := yaml.Unmarshal([]byte(text), &doc); err != nil {
		return err
	}
	asJSON, err := json.Marshal(doc)
	if err != nil {
		return err
	}
	if doc, err = jsonschema.UnmarshalJSON(bytes.NewReader(asJSON)); err != nil {
		return err
	}
	return s.Validate(doc)
}

func TestSchemaAcceptsEveryKey(t *testing.T) {
	if err := validates(t, every(t)); err != nil {
		t.Error(err)
	}
}

// mistakes are changes to every.yaml, each of them one mistake. Those of key
// and type the schema sees too.
var mistakes = []struct {
	old, new string
	schema   bool
}{
	// keys
	{"height: 3", "heigth: 3", true},
	{"product: every\n", "", true},
	{"product: every\n", "prodct: every\n", true},
	{"stack:\n", "stak:\n", true},
	{"parameters:\n", "paramters:\n", true},
	{"outlines:\n", "outlnes:\n", true},
	{"uprights:\n", "upright:\n", true},
	{"{plate: back, material", "{plat: back, material", true},
	{"{plate: back, material: birch ply 3, outline: panel}", "{plate: back, material: birch ply 3}", true},
	{"gap: 0.1", "lift: 0.1\n      gap: 1\n      turn: 3", true},
	{"circle: 8", "circel: 8", true},
	{"{circle: 8, move", "{move", true},
	{"circle: 8", "circle: 8, ellipse: [1, 2]", true},
	{"circle: 8", "circle: 8, corner: 3", true},
	{"inset: panel, by: edge", "inset: panel", true},
	{"count: dots, step: [3, 0]", "count: dots, stepp: [3, 0]", true},
	{"kind: peg", "knid: peg", true},
	{"    kind: peg\n", "", true},
	{"kind: tab-slot", "kind: tabslot", true},
	{"kind: screw, size: M3, through", "kind: screw, size: M3, trough", true},
	{"from: 1, to: 9", "from: 1", false},
	{"unit: mm", "units: mm", true},
	{"about: overall", "abuot: overall", true},
	// types
	{"product: every", "product: [every]", true},
	{"product: every", "product:", true},
	{"product: every", `product: " every"`, false},
	{"height: 3 * thickness(\"birch ply 3\") + 2", "height: {mm: 3}", true},
	{"height: 3 * thickness(\"birch ply 3\") + 2", "height: true", true},
	{"height: 3 * thickness(\"birch ply 3\") + 2", "height: -1", true},
	{"height: 3 * thickness(\"birch ply 3\") + 2", "height: .inf", true},
	{"through: [frame]", "through: frame", true},
	{"at: [7 - width/2, 0]", "at: [7 - width/2]", true},
	{"at: [7 - width/2, 0]", "at: 7 - width/2", true},
	{`"max(30, 0.35 * width - 7)"`, "max(30, 0.35 * width - 7)", true},
	{"[[-30, 0], [30, 0], [20, 20], [-20, 20]]", "30", true},
	{"round: true", "round: 1", true},
	{"round: true", "round: yes", true},
	{"sides: 6", "sides: 2", true},
	{"sides: 6", "sides: 6.5", true},
	{"circle: 8", "circle: 0", true},
	{"[[-30, 0], [30, 0], [20, 20], [-20, 20]]", "[[-30, 0], [30, 0]]", true},
	{"[[[10, 0], [20, 5], [width / 2 - 20, 0]]]", "[[[10, 0]]]", true},
	{"engrave: {art", "engrave: [art", true},
	{"outline: panel}", "outline: 7}", true},
	{"- {plate: back, material: birch ply 3, outline: panel}", "- back", true},
	{"- {plate: back, material: birch ply 3, outline: panel}", "- []\n  - {plate: back, material: birch ply 3, outline: panel}", true},
	{"tilt: 30 deg", "tilt: [30]", true},
	{"fit: slide", "fit: loose", true},
	{"fit: slide", "fit: slied", true},
	{"fit: {along: 0.2,", "fit: {", true},
	// numbers
	{"turn: 0 deg", "turn: 3 mm", false},
	{"z: 0", "z: 3 deg", false},
	{"z: 0", "z: 3 feet", false},
	{"z: 0", "z: 2,8", false},
	{"z: 0", "z: 1e9", true},
	{"z: 0", "z: 0x10", false},
	{"turn: 0 deg", "turn: width", false},
	{"turn: 0 deg", "turn: 2 * width", false},
	{"turn: 0 deg", "turn: tilt + width", false},
	{"turn: 0 deg", "turn: sin(width)", false},
	{"gap: 0.1", "gap: max(tilt, width)", false},
	{"gap: 0.1", "gap: 1 / 0", false},
	{"gap: 0.1", "gap: 1 - 2", false},
	{"gap: 0.1", "gap: wdith", false},
	{"gap: 0.1", "gap: 3 + Width / 2", false},
	{"gap: 0.1", `gap: "3 + wdith"`, false},
	{"gap: 0.1", "gap: >\n        3 + wdith", false},
	{"gap: 0.1", "gap: sqr(2)", false},
	{"gap: 0.1", "gap: len(2)", false},
	{"gap: 0.1", "gap: sqrt(2, 3)", false},
	{"gap: 0.1", "gap: max()", false},
	{"gap: 0.1", "gap: thickness(width)", false},
	{"gap: 0.1", "gap: width >", false},
	{"gap: 0.1", "gap: width > 3", false},
	{"gap: 0.1", `gap: "width ? 1 : 2"`, false},
	{"gap: 0.1", `gap: "width > 1 ? 1 : 2 > 1"`, false},
	{"gap: 0.1", `gap: "width > tilt ? 1 : 2"`, false},
	{"gap: 0.1", "gap: width ? 1 : 2", false},
	{"gap: 0.1", "gap: (width", false},
	{"gap: 0.1", "gap: width - 3 mm", false},
	{"gap: 0.1", "gap: width.x", false},
	{"gap: 0.1", "gap: width % 2", false},
	{"gap: 0.1", "gap: let x = 1; x", false},
	{"gap: 0.1", `gap: "map([1], {#})"`, false},
	{"gap: 0.1", "gap: 9223372036854775808 + 1", false},
	{"gap: 0.1", "gap: 1" + strings.Repeat(" + 1", 200), false},
	{"gap: 0.1", "gap: " + strings.Repeat("(", 100_000), false},
	// parameters
	{"value: 12 cm", "value: 12 deg", false},
	{"value: 12 cm", "value: 12 furlongs", false},
	{"value: 12 cm", "value: 300", false},
	{"value: 12 cm", "value: 60 + 60", false},
	{"from: 1, to: 9", "from: 9, to: 1", false},
	{"unit: mm", "unit: cm", false},
	{"tilt: 30 deg\n", "tilt: 30 deg\n  min: 3\n", false},
	{"tilt: 30 deg\n", "tilt: 30 deg\n  full tilt: 3\n", false},
	{"tilt: 30 deg\n", "tilt: 30 deg\n  \"\": 3\n", false},
	{"tilt: 30 deg\n", "tilt: 30 deg\n  tilt: 3\n", false},
	// shapes
	{"path: M -3 -42 h 6 v 20 h -6 z", "path: M 0 nothing", false},
	{"path: M -3 -42 h 6 v 20 h -6 z", "path: M -3 -42 h 6 v 20 h -6", false},
	// references
	{"outline: panel}", "outline: pannel}", false},
	{"inset: panel, by: edge", "inset: wall, by: edge", false},
	{"{rectangle: [width, 0.7 * width], corner: 4}", "{outset: window, by: edge}", false},
	{"{rectangle: [width, 0.7 * width], corner: 4}", "panel", false},
	{"on: frame", "on: fame", false},
	{"on: frame", "on: fin", false},
	{"through: [frame]", "through: [fraem]", false},
	{"upright: fin", "upright: fine", false},
	{"upright: fin, ", "", false},
	{"plate: sky\n", "plate: sea\n", false},
	{"plate: sky\n", "plate: \"\"\n", false},
	// files
	{"file: drawing.svg, id: wave", "file: ../drawing.svg, id: wave", false},
	{"file: drawing.svg, id: wave", "file: drawings.svg, id: wave", false},
	{"file: drawing.svg, id: gull", "file: drawing.svg, id: gul", false},
	{"file: drawing.svg, id: gull", "file: drawing.svg, id: word", false},
	{"file: drawing.svg, id: gull", `file: 'art\drawing.svg', id: gull`, false},
	{"materials: sheets.yaml", "materials: sheet.yaml", false},
	{"materials: sheets.yaml", "materials: /sheets.yaml", false},
	// YAML
	{"product: every", "product: every\nproduct: each", false},
	{"product: every", "product: [every", false},
}

// TestMistakes changes one thing at a time. Each change must give one error
// and no more, with the text in the golden file.
func TestMistakes(t *testing.T) {
	base := every(t)
	var out strings.Builder
	for _, m := range mistakes {
		if strings.Count(base, m.old) == 0 {
			t.Errorf("every.yaml has no %q", m.old)
			continue
		}
		text := strings.Replace(base, m.old, m.new, 1)
		_, err := read(t, text)
		var es written.Errors
		if !errors.As(err, &es) || len(es) != 1 {
			t.Errorf("%q in place of %q: want one mistake, got %d:\n%v", clip(m.new), m.old, len(es), err)
		}
		if bad := validates(t, text) != nil; m.schema && !bad {
			t.Errorf("%q in place of %q: the schema sees nothing wrong", m.new, m.old)
		}
		fmt.Fprintf(&out, "- %s\n+ %s\n%v\n\n", line(m.old), line(m.new), err)
	}
	same(t, "testdata/mistakes.golden", []byte(out.String()))
}

// line writes text that may have several lines as one.
func line(s string) string {
	const most = 60
	s = strings.ReplaceAll(strings.TrimSuffix(s, "\n"), "\n", "⏎")
	if r := []rune(s); len(r) > most {
		s = string(r[:most]) + "…"
	}
	return s
}

// anywhere opens whatever the machine has, as a command does.
type anywhere struct{}

func (anywhere) Open(name string) (fs.File, error) { return os.Open(filepath.FromSlash(name)) }

// TestFolders reads a product whose sheets and drawing lie beside its folder:
// whether that is well is for the file system to say.
func TestFolders(t *testing.T) {
	root := t.TempDir()
	for name, text := range map[string]string{
		"sheets.yaml":      "materials: {birch ply 3: {thickness: 2.9}}",
		"drawing.svg":      `<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm"><rect id="r" width="20" height="20"/></svg>`,
		"one/product.yaml": "product: p\nmaterials: ../sheets.yaml\nstack:\n  - {plate: a, material: birch ply 3, outline: {art: {file: ../drawing.svg, id: r}}}\n",
	} {
		file := filepath.Join(root, filepath.FromSlash(name))
		if err := errors.Join(os.MkdirAll(filepath.Dir(file), 0o777), os.WriteFile(file, []byte(text), 0o666)); err != nil {
			t.Fatal(err)
		}
	}
	folder := filepath.ToSlash(root)
	for _, c := range []struct {
		fsys  fs.FS
		name  string
		sheet string // "" where it is refused
	}{
		{os.DirFS(root), "one/product.yaml", "sheets.yaml"},
		{anywhere{}, folder + "/one/product.yaml", folder + "/sheets.yaml"},
		{os.DirFS(filepath.Join(root, "one")), "product.yaml", ""},
	} {
		file, err := (Reader{}).ReadFile(c.fsys, c.name)
		if c.sheet != "" && err != nil || file.Materials != c.sheet {
			t.Errorf("%s: materials %q, want %q: %v", c.name, file.Materials, c.sheet, err)
		}
		const want = `product.yaml:2:12: materials: expected a file inside the folder that is read, found "../sheets.yaml"
product.yaml:4:61: stack[1].outline.art.file: expected a file inside the folder that is read, found "../drawing.svg"`
		if c.sheet == "" && (err == nil || err.Error() != want) {
			t.Errorf("got\n%v\nwant\n%s", err, want)
		}
	}
}

// TestManyMistakes reads a file that is wrong in several places.
func TestManyMistakes(t *testing.T) {
	_, err := read(t, `product: p
parameters: {w: 10 mm, a: 3 deg}
outlines:
  o: {circle: ww}
stack:
  - {plate: back, material: birch ply 3, outline: oo}
  - {plate: front, material: birch ply 3, outline: {circle: a}}
uprights:
  - {plate: fin, material: birch ply 3, outline: o, on: bakc, turn: w}
joints:
  peg: {kind: pge, through: [back]}
  tab: {kind: tab-slot, upright: fni, through: [back, frnot]}
heigth: 3
`)
	const want = `p.yaml:4:15: outlines.o.circle: there is no parameter "ww"; nearest is "w"
p.yaml:6:51: stack[1].outline: there is no outline "oo"; nearest is "o"
p.yaml:7:61: stack[2].outline.circle: expected a length, found an angle: a
p.yaml:9:57: uprights[1].on: there is no plate in the stack "bakc"; nearest is "back"
p.yaml:9:69: uprights[1].turn: expected an angle, found a length: w
p.yaml:11:15: joints.peg.kind: there is no kind of joint "pge"; nearest is "peg"
p.yaml:12:34: joints.tab.upright: there is no plate "fni"; nearest is "fin"
p.yaml:12:55: joints.tab.through: there is no plate "frnot"; nearest is "front"
p.yaml:13:1: heigth: there is no field "heigth"; nearest is "height"`
	if err == nil || err.Error() != want {
		t.Errorf("got\n%v\nwant\n%s", err, want)
	}
}

// TestBuildMistakes reads files whose mistakes show only when they are built.
func TestBuildMistakes(t *testing.T) {
	for _, c := range []struct{ old, new, want string }{
		{"height: 3 *", "height: width - 200 + 0 *", `product: p.yaml:58:9: height: expected a length from 0 to 100000; width - 200 + 0 * thickness("birch ply 3… is -78`},
		{"corner: 4", "corner: width", `product: p.yaml:15:10: outlines.panel: `},
		{"[[-30, 0], [30, 0], [20, 20], [-20, 20]]", "[[-30, 0], [30, 20], [30, 0], [-30, 20]]", `product: p.yaml:16:9: outlines.foot: `},
		{`thickness("birch ply 3") / 20`, `thickness("brich ply 3") / 20`, `p.yaml:55:31: material "brich ply 3": no material "brich ply 3"; nearest is "birch ply 3"`},
	} {
		base := every(t)
		if !strings.Contains(base, c.old) {
			t.Errorf("every.yaml has no %q", c.old)
		}
		d, err := read(t, strings.Replace(base, c.old, c.new, 1))
		if err != nil {
			t.Errorf("%s: %v", c.new, err)
			continue
		}
		if _, err := d.Build(assembly.Inputs{Materials: stock.Common()}); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: got error\n%v\nwant\n%s", c.new, err, c.want)
		}
	}
}

func TestSources(t *testing.T) {
	d, err := read(t, every(t))
	if err != nil {
		t.Fatal(err)
	}
	var sources map[layers.Subject]layers.Source
	spy := d
	spy.Make = func(v assembly.Values) assembly.Product {
		p := d.Make(v)
		sources = p.Sources
		return p
	}
	if _, err := spy.Build(assembly.Inputs{Materials: stock.Common()}); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(every(t), "\n")
	for s, start := range map[layers.Subject]string{
		{Kind: "stack"}:                                 "stack:",
		{Kind: "layer", Name: "2"}:                      "- plate: sea",
		{Kind: "plate", Name: "back"}:                   "back, material",
		{Kind: "plate", Name: "sea"}:                    "sea",
		{Kind: "plate", Name: "fin"}:                    "fin",
		{Kind: "joint", Name: "left screw"}:             "left screw:",
		{Kind: "joint", Name: "peg"}:                    "peg:",
		{Kind: "material", Name: "birch ply 3"}:         "birch ply 3, outline",
		{Kind: "material", Name: "blue cast acrylic 3"}: "blue",
	} {
		at := sources[s]
		if at.File != "p.yaml" || at.Line < 1 || at.Line > len(lines) || !strings.HasPrefix(lines[at.Line-1][at.Column-1:], start) {
			t.Errorf("%s is said to stand at %s", s, at)
		}
	}
}

// TestDocumentation reads the example of the package's documentation and
// builds it.
func TestDocumentation(t *testing.T) {
	source, err := os.ReadFile("doc.go")
	if err != nil {
		t.Fatal(err)
	}
	before, _, _ := strings.Cut(string(source), "// # Keys")
	var text strings.Builder
	for l := range strings.Lines(before) {
		if example, ok := strings.CutPrefix(l, "//\t"); ok {
			text.WriteString(example)
		}
	}
	if err := validates(t, text.String()); err != nil {
		t.Error(err)
	}
	fsys := fstest.MapFS{"p.yaml": {Data: []byte(text.String())}, "our-sheets.yaml": {}}
	d, err := Reader{}.Read(fsys, "p.yaml")
	if err != nil {
		t.Fatal(err)
	}
	k, err := d.Build(assembly.Inputs{Materials: stock.Common()})
	if err != nil {
		t.Fatal(err)
	}
	if err := k.Findings().Err(); err != nil {
		t.Errorf("%v", err)
	}
}
