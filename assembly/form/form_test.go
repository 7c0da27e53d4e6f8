package form_test

import (
	"os"
	"testing"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/assembly/form"
	"github.com/platewright/platewright/layers/stock"
)

func TestRead(t *testing.T) {
	d, err := form.Reader{}.Read(os.DirFS("testdata"), "harbour.yaml")
	if err != nil {
		t.Fatal(err)
	}
	k, err := d.Build(assembly.Inputs{Materials: stock.Common()})
	if err != nil {
		t.Fatal(err)
	}
	t.Log(k.Findings())
	t.Log(len(form.Schema()))
}
