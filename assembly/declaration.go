package assembly

import (
	"cmp"
	"encoding"
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/written"
)

// Mistake is one thing in a declaration that makes no sense.
type Mistake struct {
	Subject layers.Subject // also Kind "parameter", "input" and "product"
	Field   string         // "outline", "on", "through"; "" for the subject as a whole
	Message string         // what is wrong and what was expected
	Nearest string         // the valid name nearest to an unknown one; "" where none is near
	Source  layers.Source  // where the subject was declared; zero for Go code
	Err     error          // what caused it, where something did
}

// Error returns for instance `plate "sea", material: no material "brich";
// nearest is "birch"`.
func (m Mistake) Error() string {
	var b strings.Builder
	if m.Source != (layers.Source{}) {
		fmt.Fprintf(&b, "%s: ", m.Source)
	}
	b.WriteString(m.Subject.String())
	if m.Field != "" {
		fmt.Fprintf(&b, ", %s", m.Field)
	}
	fmt.Fprintf(&b, ": %s", m.Message)
	if m.Nearest != "" {
		fmt.Fprintf(&b, "; nearest is %q", m.Nearest)
	}
	return b.String()
}

// Unwrap returns what caused the mistake, or nil.
func (m Mistake) Unwrap() error { return m.Err }

// DeclarationError is every mistake of a declaration that makes no sense, by
// place in the file, then subject and field.
type DeclarationError struct{ Mistakes []Mistake }

// Error returns the mistakes, one a line.
func (e *DeclarationError) Error() string {
	if len(e.Mistakes) == 0 {
		return "no mistakes"
	}
	lines := make([]string, len(e.Mistakes))
	for i, m := range e.Mistakes {
		lines[i] = m.Error()
	}
	return strings.Join(lines, "\n")
}

// Unwrap returns the mistakes one by one.
func (e *DeclarationError) Unwrap() []error {
	out := make([]error, len(e.Mistakes))
	for i, m := range e.Mistakes {
		out[i] = m
	}
	return out
}

// mistakes gathers what is wrong.
type mistakes struct {
	sources map[layers.Subject]layers.Source
	list    []Mistake
}

// add notes a mistake about the subject; an error given for %w becomes its
// cause.
func (ms *mistakes) add(kind, name, field, format string, args ...any) {
	err := fmt.Errorf(format, args...)
	ms.list = append(ms.list, Mistake{
		Subject: layers.Subject{Kind: kind, Name: name},
		Field:   field,
		Message: err.Error(),
		Err:     errors.Unwrap(err),
	})
}

// unknown notes that want is none of the known names.
func (ms *mistakes) unknown(kind, name, field, what, want string, known []string) {
	if want == "" {
		ms.add(kind, name, field, "names no %s", what)
		return
	}
	ms.add(kind, name, field, "no %s %q", what, want)
	ms.list[len(ms.list)-1].Nearest = written.Nearest(want, known)
}

// finite notes each of the values that is infinite or not a number.
func (ms *mistakes) finite(kind, name, field string, values ...float64) bool {
	ok := true
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			ms.add(kind, name, field, "%v is no length or angle", v)
			ok = false
		}
	}
	return ok
}

// err returns the mistakes with their sources, or nil where there are none.
func (ms *mistakes) err() error {
	if len(ms.list) == 0 {
		return nil
	}
	for i, m := range ms.list {
		ms.list[i].Source = ms.sources[m.Subject]
	}
	slices.SortStableFunc(ms.list, func(a, b Mistake) int {
		return cmp.Or(
			cmp.Compare(a.Source.File, b.Source.File),
			cmp.Compare(a.Source.Line, b.Source.Line),
			cmp.Compare(a.Source.Column, b.Source.Column),
			cmp.Compare(a.Subject.Kind, b.Subject.Kind),
			cmp.Compare(a.Subject.Name, b.Subject.Name),
			cmp.Compare(a.Field, b.Field),
			cmp.Compare(a.Message, b.Message),
		)
	})
	ms.list = slices.CompactFunc(ms.list, func(a, b Mistake) bool {
		return a.Subject == b.Subject && a.Field == b.Field && a.Message == b.Message
	})
	return &DeclarationError{ms.list}
}

// odd returns the path of the first exported value inside v that makes no sense
// whatever it stands for, and what is wrong with it, or "": a number that is
// infinite or none, or a word's number that stands for no word.
func odd(v reflect.Value, path string) (at, wrong string) {
	inside := func(name string) string { return strings.TrimPrefix(path+"."+name, ".") }
	switch v.Kind() {
	case reflect.Int:
		if word, ok := v.Interface().(encoding.TextMarshaler); ok {
			if _, err := word.MarshalText(); err != nil {
				return cmp.Or(path, "value"), err.Error()
			}
		}
	case reflect.Float32, reflect.Float64:
		if f := v.Float(); math.IsNaN(f) || math.IsInf(f, 0) {
			return cmp.Or(path, "value"), "infinite, or not a number"
		}
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			return odd(v.Elem(), path)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			if at, wrong := odd(v.Index(i), inside(fmt.Sprint(i))); at != "" {
				return at, wrong
			}
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() {
				if at, wrong := odd(v.Field(i), inside(strings.ToLower(f.Name))); at != "" {
					return at, wrong
				}
			}
		}
	}
	return "", ""
}
