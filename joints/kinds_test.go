package joints_test

import (
	"encoding"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
)

func TestKinds(t *testing.T) {
	kinds := joints.Kinds()
	if !slices.IsSortedFunc(kinds, func(a, b joints.Kind) int { return strings.Compare(a.Name, b.Name) }) {
		t.Error("the kinds are not in order")
	}
	for _, k := range kinds {
		if k.Name != strings.ToLower(k.Name) || !strings.HasSuffix(k.Doc, ".") || strings.Count(k.Doc, ".") != 1 {
			t.Errorf("kind %q: %q", k.Name, k.Doc)
		}
		v := reflect.ValueOf(k.New())
		if v.Kind() != reflect.Pointer || !v.Elem().IsZero() {
			t.Errorf("kind %q: New gives %v, want a pointer to a zero value", k.Name, v)
		}
		// The zero joint names no plates: it must refuse, not panic.
		j := k.New()
		if w := j.Realize(joints.Site{Name: "zero"}); w.Findings.Err() == nil {
			t.Errorf("kind %q: its zero value was realized without a finding", k.Name)
		}
	}
	kinds[0].Name = "changed"
	if joints.Kinds()[0].Name == "changed" {
		t.Error("Kinds gives the same slice twice")
	}
}

// Every field of every joint can be written down.
func TestKindsFields(t *testing.T) {
	word := reflect.TypeFor[encoding.TextUnmarshaler]()
	plain := []reflect.Type{
		reflect.TypeFor[float64](), reflect.TypeFor[int](), reflect.TypeFor[bool](), reflect.TypeFor[string](), reflect.TypeFor[[]string](),
		reflect.TypeFor[layers.Point](), reflect.TypeFor[layers.Degrees](), reflect.TypeFor[layers.Region](), reflect.TypeFor[joints.Fraction](), reflect.TypeFor[joints.Fit](),
	}
	for _, k := range joints.Kinds() {
		typ := reflect.TypeOf(k.New()).Elem()
		for i := range typ.NumField() {
			if f := typ.Field(i); !f.IsExported() || !slices.Contains(plain, f.Type) && !reflect.PointerTo(f.Type).Implements(word) {
				t.Errorf("%s.%s of type %v cannot be written down", typ.Name(), f.Name, f.Type)
			}
		}
	}
}
