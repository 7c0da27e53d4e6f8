package written_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/platewright/platewright/layers/written"
)

func TestLength(t *testing.T) {
	for _, c := range []struct {
		in   string
		want float64
	}{
		{"3", 3}, {"2.81", 2.81}, {" 2.79 mm ", 2.79}, {"2.79mm", 2.79}, {"1.2 cm", 12}, {"0.5in", 12.7},
		{"2810 µm", 2.81}, {"2810 um", 2.81}, {"180 μm", 0.18}, {"-.5", -0.5}, {"+3.", 3}, {"1e2", 100}, {"010", 10}, {"2 m", 2000},
	} {
		if got, err := written.Length(c.in); err != nil || got != c.want {
			t.Errorf("Length(%q) = %v, %v; want %v", c.in, got, err, c.want)
		}
	}
	for in, want := range map[string]string{
		"":        `expected a number, alone or with cm, in, m, mm, um, µm, found ""`,
		"three":   `found "three"`,
		"3 feet":  `found "3 feet"`,
		"2,8":     `found "2,8"; write the decimals behind a point`,
		"NaN":     `found "NaN"`,
		".inf":    `found ".inf"`,
		"0x10":    `found "0x10"`,
		"1_000":   `found "1_000"`,
		"1e999":   `found "1e999", which is beyond all numbers`,
		"1e308 m": `beyond all numbers`,
		"1/8 in":  `found "1/8 in"`,
	} {
		if _, err := written.Length(in); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("Length(%q): error %v, want one with %q", in, err, want)
		}
	}
	if _, err := written.Quantity("4", map[string]float64{"EUR": 1}); err == nil || !strings.Contains(err.Error(), "without a unit") {
		t.Errorf("Quantity without its unit: error %v", err)
	}
}

func TestNearest(t *testing.T) {
	names := []string{"birch ply 3", "birch ply 4", "mdf 3", "clear cast acrylic 3"}
	for name, want := range map[string]string{
		"birhc ply 3": "birch ply 3", "Birch-Ply 3": "birch ply 3", "birch ply": "birch ply 3", "mfd 3": "mdf 3",
		"clear acrylic 3": "clear cast acrylic 3", "oak": "", "": "", "birch ply 44": "birch ply 4",
		"cast 3": "clear cast acrylic 3", "3 ply": "birch ply 3", "w": "",
	} {
		if got := written.Nearest(name, names); got != want {
			t.Errorf("Nearest(%q) = %q, want %q", name, got, want)
		}
	}
	if got := written.Hint("oak", names[:2]); got != "known are birch ply 3, birch ply 4" {
		t.Errorf("Hint with nothing near = %q", got)
	}
	if got := written.Hint("oak", nil); got != "" {
		t.Errorf("Hint without candidates = %q", got)
	}
	if got := written.Nearest(strings.Repeat("a", 1<<16), []string{strings.Repeat("a", 1<<16)}); got == "" {
		t.Error("Nearest finds no long name")
	}
}

func TestParseMistakes(t *testing.T) {
	deep := strings.Repeat("[", 70) + strings.Repeat("]", 70)
	bomb := "a: &a [x, x, x, x, x, x, x, x, x, x]\n"
	for i := 'b'; i < 'i'; i++ {
		bomb += fmt.Sprintf("%c: &%c [%s]\n", i, i, strings.TrimSuffix(strings.Repeat(fmt.Sprintf("*%c, ", i-1), 10), ", "))
	}
	chain := "a: &a0 [x]\n"
	for i := 1; i < 80; i++ {
		chain += fmt.Sprintf("k%d: &a%d [*a%d]\n", i, i, i-1)
	}
	for _, c := range []struct{ name, in, want string }{
		{"empty", "", "f.yaml:1:1: expected a mapping, found an empty file"},
		{"syntax", "a: [1, 2\nb: 3\n", "f.yaml:1: not valid YAML: did not find expected ',' or ']'"},
		{"not text", "a: \x01\n", "f.yaml: not valid YAML: control characters are not allowed"},
		{"twice", "a: 1\nb: 2\na: 3\n", "f.yaml:3:1: a: stands twice; it stands first in line 1"},
		{"second", "a: 1\n---\nb: 2\n", "f.yaml:2:1: expected one document, found a second one"},
		{"merge", "a: &x {b: 1}\nc:\n  <<: *x\n", "f.yaml:3:3: <<: merge keys are not read; write the fields out"},
		{"key", "? [a]\n: 1\n", "f.yaml:1:3: expected a plain name as key, found a list"},
		{"cycle", "a: &x\n  b: *x\n", "f.yaml:2:6: expected a value, found an alias that contains itself"},
		{"unknown alias", "a: *x\n", "f.yaml: not valid YAML: unknown anchor 'x' referenced"},
		{"deep", deep, "f.yaml:1:65: expected at most 64 levels of nesting"},
		{"chain", chain, "expected at most 64 levels of nesting"},
		{"bomb", bomb, "expected at most 200000 values, aliases counted where they are used"},
		{"large", strings.Repeat(" ", written.MaxBytes+1), "f.yaml: expected at most 4194304 bytes"},
	} {
		_, err := written.Parse("f.yaml", []byte(c.in))
		var e *written.Error
		if !errors.As(err, &e) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: error %v, want %q", c.name, err, c.want)
		}
	}
}

func TestParseAlias(t *testing.T) {
	root, err := written.Parse("f.yaml", []byte("a: &x {n: 3}\nb: *x\n"))
	if err != nil {
		t.Fatal(err)
	}
	r := written.Reader{File: "f.yaml"}
	m, _ := r.Fields(root, "", "a", "b")
	b, _ := r.Fields(m.Get("b"), "b", "n")
	if n, ok := r.Number(b.Get("n"), "b.n"); n != 3 || !ok || r.Err() != nil {
		t.Errorf("b.n = %v, %v; errors %v", n, ok, r.Err())
	}
}

func TestReaderGathersAll(t *testing.T) {
	const form = `
width: wide
heigth: 3
list: {a: 1}
flag: "true"
kind: fish
none:
deep: {n: 7}
`
	root, err := written.Parse("f.yaml", []byte(form))
	if err != nil {
		t.Fatal(err)
	}
	r := written.Reader{File: "f.yaml"}
	m, _ := r.Fields(root, "", "width", "height", "list", "flag", "kind", "none", "deep")
	r.Length(m.Get("width"), "width")
	r.Items(m.Get("list"), "list")
	r.Bool(m.Get("flag"), "flag")
	r.OneOf(m.Get("kind"), "kind", "dish", "cup")
	r.Text(m.Get("none"), "none")
	deep, _ := r.Entries(m.Get("deep"), "deep")
	r.Range(deep.Get("n"), "deep.n", 7, 0, 5)
	r.Fields(m.Get("width"), "width")
	const want = `f.yaml:2:8: width: expected a mapping, found text
f.yaml:2:8: width: expected a number, alone or with cm, in, m, mm, um, µm, found "wide"
f.yaml:3:1: heigth: there is no field "heigth"; nearest is "height"
f.yaml:4:7: list: expected a list, found a mapping
f.yaml:5:7: flag: expected true or false, found "true"
f.yaml:6:7: kind: expected one of dish, cup, found "fish"; nearest is "dish"
f.yaml:7:6: none: expected text, found nothing
f.yaml:8:11: deep.n: expected 0 to 5, found 7`
	err = r.Err()
	if err == nil || err.Error() != want {
		t.Errorf("got\n%v\nwant\n%s", err, want)
	}
	var all written.Errors
	if !errors.As(err, &all) || len(all) != 8 || r.Failed() != 8 {
		t.Errorf("errors.As gave %d mistakes, Failed %d, want 8", len(all), r.Failed())
	}
}

func TestErrorsText(t *testing.T) {
	var es written.Errors
	if es.Err() != nil {
		t.Error("no mistakes are an error")
	}
	for i := range 52 {
		es = append(es, &written.Error{File: "f", Line: 60 - i, Column: 1, Message: "bad"})
	}
	es = append(es, &written.Error{File: "f", Line: 60, Column: 1, Message: "bad"})
	text := es.Err().Error()
	if !strings.HasPrefix(text, "f:9:1: bad\nf:10:1: bad\n") || !strings.HasSuffix(text, "\nand 2 more") {
		t.Errorf("text of 52 mistakes, one of them twice:\n%s", text)
	}
}

func TestOpen(t *testing.T) {
	fsys := fstest.MapFS{"f.yaml": {Data: []byte("a: 1\n")}}
	if _, err := written.Open(fsys, "f.yaml"); err != nil {
		t.Error(err)
	}
	if _, err := written.Open(fsys, "g.yaml"); err == nil || !strings.Contains(err.Error(), "g.yaml") {
		t.Errorf("missing file: error %v", err)
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"a: 1", "a: &x [*x]", "? [a]\n: b", "<<: {a: 1}", "- !!binary aGk=", "a: .nan\na: 2", "%YAML 1.1\n---\n..."} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		root, err := written.Parse("f.yaml", data)
		if err != nil {
			return
		}
		r := written.Reader{File: "f.yaml"}
		if m, ok := r.Entries(root, ""); ok {
			for _, e := range m {
				r.Length(e.Value, e.Name)
				r.Fields(e.Value, e.Name, "a", "b")
			}
		}
		var es written.Errors
		if err := r.Err(); err != nil && !errors.As(err, &es) {
			t.Errorf("Err gave a %T", err)
		}
	})
}
