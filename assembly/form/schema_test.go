package form

import (
	"bytes"
	"encoding/json"
	"flag"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/platewright/platewright/joints"
)

var update = flag.Bool("update", false, "write comments.json, product.schema.json and the golden files anew")

// same fails the test where the file does not hold got, or writes it.
func same(t *testing.T, file string, got []byte) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s is out of date: run go test -update and look at the difference", file)
	}
}

// TestComments keeps comments.json equal to what the sources say of each
// field.
func TestComments(t *testing.T) {
	said := map[string]string{}
	for _, dir := range []string{".", "../../joints"} {
		files, err := filepath.Glob(filepath.Join(dir, "*.go"))
		if err != nil || len(files) == 0 {
			t.Fatalf("no sources in %s: %v", dir, err)
		}
		for _, name := range files {
			f, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ParseComments)
			if err != nil {
				t.Fatal(err)
			}
			ast.Inspect(f, func(n ast.Node) bool {
				if x, ok := n.(*ast.TypeSpec); ok {
					if s, ok := x.Type.(*ast.StructType); ok {
						fieldComments(said, f.Name.Name+"."+x.Name.Name, s)
					}
				}
				return true
			})
		}
	}
	used := map[string]string{}
	for _, f := range everyField() {
		key := f.owner.String() + "." + f.goName
		switch {
		case said[key] != "":
			used[key] = said[key]
		case strings.HasPrefix(key, "form."):
			t.Errorf("%s has no comment, so the schema has no description of %q", key, f.name)
		}
	}
	out, err := json.MarshalIndent(used, "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	same(t, "comments.json", append(out, '\n'))
	if *update {
		comment = used // for the schema
	}
}

func fieldComments(to map[string]string, owner string, s *ast.StructType) {
	for _, f := range s.Fields.List {
		text := f.Comment.Text()
		if f.Doc != nil {
			text = f.Doc.Text()
		}
		for _, name := range f.Names {
			to[owner+"."+name.Name] = strings.Join(strings.Fields(text), " ")
		}
	}
}

// everyField returns the fields of every struct that is written as a mapping.
func everyField() []field {
	types := []reflect.Type{
		reflect.TypeFor[product](), reflect.TypeFor[plate](), reflect.TypeFor[upright](), reflect.TypeFor[mark](),
		reflect.TypeFor[parameter](), reflect.TypeFor[play](), reflect.TypeFor[evenSides](), reflect.TypeFor[copies](),
		reflect.TypeFor[copiesRound](), reflect.TypeFor[extract](), reflect.TypeFor[drawnLines](),
	}
	for _, s := range shapes {
		types = append(types, reflect.TypeOf(s))
	}
	for _, k := range joints.Kinds() {
		types = append(types, typeOf(k))
	}
	var out []field
	for _, t := range types {
		out = append(out, fieldsOf(t)...)
	}
	return out
}

// TestSchemaFile keeps the file for editors equal to what Schema returns.
func TestSchemaFile(t *testing.T) { same(t, "product.schema.json", Schema()) }

// TestEveryFieldIsWritten fails where a field of a joint has no written form.
func TestEveryFieldIsWritten(t *testing.T) {
	for _, k := range joints.Kinds() {
		for _, f := range reflect.VisibleFields(typeOf(k)) {
			if _, ok := kindOf(f.Type); !ok && f.IsExported() && !f.Anonymous {
				t.Errorf("%s: field %s of type %s cannot be written", k.Name, f.Name, f.Type)
			}
		}
	}
}

func TestHyphenated(t *testing.T) {
	for in, want := range map[string]string{
		"At": "at", "KeyAt": "key-at", "ID": "id", "LeadIn": "lead-in", "SVGPath": "svg-path", "A": "a", "HoleID": "hole-id",
	} {
		if got := hyphenated(in); got != want {
			t.Errorf("hyphenated(%q) = %q, want %q", in, got, want)
		}
	}
}
