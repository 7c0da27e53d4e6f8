package main

import (
	"os"
	"testing"

	"github.com/platewright/platewright/assembly/form"
	"github.com/platewright/platewright/examples/internal/exampletest"
)

func TestBothFormsGiveTheSameKit(t *testing.T) {
	written, err := form.Reader{}.Read(os.DirFS("."), "caddy.yaml")
	if err != nil {
		t.Fatal(err)
	}
	exampletest.Same(t, caddy(), written)
}

func TestSound(t *testing.T) { exampletest.Sound(t, caddy()) }

func TestPicture(t *testing.T) { exampletest.Picture(t, caddy()) }

func BenchmarkBuild(b *testing.B) { exampletest.Bench(b, caddy()) }
