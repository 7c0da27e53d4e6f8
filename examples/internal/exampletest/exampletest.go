// Package exampletest holds what the tests of every example ask.
package exampletest

import (
	"bytes"
	"flag"
	"io"
	"os"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/export"
	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/stock"
)

var update = flag.Bool("update", false, "write the golden files anew")

// kit is all that a kit tells of itself, but for where it was declared.
type kit struct {
	Name     string
	Height   float64
	Plates   []assembly.Placed
	Joints   map[string]joints.Work
	Findings layers.Findings
}

func tell(t testing.TB, d assembly.Design, in assembly.Inputs) kit {
	t.Helper()
	k, err := d.Build(in)
	if err != nil {
		t.Fatal(err)
	}
	out := kit{Name: k.Name(), Height: k.Height(), Plates: slices.Collect(k.Plates()), Joints: map[string]joints.Work{}, Findings: k.Findings()}
	for name, work := range k.Works() {
		out.Joints[name] = work
	}
	return out
}

// Same fails unless the two designs give the same kit, with the sheets as
// sold and with a thinner batch of every one.
func Same(t *testing.T, program, written assembly.Design) {
	t.Helper()
	if diff := cmp.Diff(program.Params, written.Params); diff != "" {
		t.Errorf("parameters, program to written:\n%s", diff)
	}
	thin := assembly.Inputs{Materials: stock.Common()}
	for m := range thin.Materials.All() {
		thin = thin.WithThickness(m.Name, m.Nominal-0.2)
	}
	for _, in := range []assembly.Inputs{{Materials: stock.Common()}, thin} {
		diff := cmp.Diff(tell(t, program, in), tell(t, written, in),
			cmpopts.IgnoreTypes(layers.Source{}),
			cmpopts.EquateEmpty(),
			cmp.Comparer(func(a, b layers.Region) bool {
				return a.Err() == nil && b.Err() == nil && cmp.Equal(slices.Collect(a.Contours()), slices.Collect(b.Contours()))
			}))
		if diff != "" {
			t.Errorf("program to written:\n%s", diff)
		}
	}
}

// Sound fails where the design has an error or a warning with the sheets as
// sold.
func Sound(t *testing.T, d assembly.Design) {
	t.Helper()
	k, err := d.Build(assembly.Inputs{Materials: stock.Common()})
	if err != nil {
		t.Fatal(err)
	}
	for f := range k.Findings().Of(layers.Warning) {
		t.Error(f)
	}
}

// Picture fails unless picture.svg, which the README shows, is what the design
// gives today.
func Picture(t *testing.T, d assembly.Design) {
	t.Helper()
	k, err := d.Build(assembly.Inputs{Materials: stock.Common()})
	if err != nil {
		t.Fatal(err)
	}
	var got bytes.Buffer
	if err := (export.Picture{}).Encode(&got, k); err != nil {
		t.Fatal(err)
	}
	const golden = "picture.svg"
	if *update {
		if err := os.WriteFile(golden, got.Bytes(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if want, err := os.ReadFile(golden); err != nil || !bytes.Equal(got.Bytes(), want) {
		t.Errorf("%s is out of date (%v): run go test with -update, and look at it", golden, err)
	}
}

// Bench measures a whole run: build with all checks, and every file encoded.
func Bench(b *testing.B, d assembly.Design) {
	in := assembly.Inputs{Materials: stock.Common()}
	for b.Loop() {
		k, err := d.Build(in)
		if err != nil {
			b.Fatal(err)
		}
		for _, f := range slices.Concat(export.Cut{}.Files(k), export.Summary{}.Files(k), export.Picture{}.Files(k)) {
			if err := f.Encode(io.Discard); err != nil {
				b.Fatal(err)
			}
		}
	}
}
