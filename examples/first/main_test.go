package main

import (
	"os"
	"strings"
	"testing"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/assembly/form"
	"github.com/platewright/platewright/examples/internal/exampletest"
)

var design = assembly.Design{Name: "first", Make: func(assembly.Values) assembly.Product { return first }}

func TestBothFormsGiveTheSameKit(t *testing.T) {
	written, err := form.Reader{}.Read(os.DirFS("."), "first.yaml")
	if err != nil {
		t.Fatal(err)
	}
	exampletest.Same(t, design, written)
}

func TestSound(t *testing.T) { exampletest.Sound(t, design) }

// The README shows both forms; what it shows must be what is tested here.
func TestReadmeShowsBothForms(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"main.go", "first.yaml"} {
		code, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		_, block, _ := strings.Cut("\n"+string(code), "\npackage main\n") // without the doc comment
		if name == "first.yaml" {
			block = string(code)
		}
		if block = strings.TrimSpace(block); block == "" || !strings.Contains(string(readme), block) {
			t.Errorf("README.md does not show examples/first/%s as it is", name)
		}
	}
}
