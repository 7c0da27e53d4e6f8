package main

import (
	"os"
	"testing"

	"github.com/platewright/platewright/assembly/form"
	"github.com/platewright/platewright/examples/internal/exampletest"
)

func TestBothFormsGiveTheSameKit(t *testing.T) {
	written, err := form.Reader{}.Read(os.DirFS("."), "lightkeeper.yaml")
	if err != nil {
		t.Fatal(err)
	}
	exampletest.Same(t, lightkeeper(), written)
}

func TestSound(t *testing.T) { exampletest.Sound(t, lightkeeper()) }

func TestPicture(t *testing.T) { exampletest.Picture(t, lightkeeper()) }

func BenchmarkBuild(b *testing.B) { exampletest.Bench(b, lightkeeper()) }
