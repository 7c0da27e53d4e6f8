package written

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"
)

// Reader takes values out of the nodes of one file and gathers the mistakes.
// Each method records what is wrong and then returns a zero value and false. A
// Reader may be used by one goroutine only.
type Reader struct {
	File string
	errs Errors
}

// Fail records a mistake at n, in the field called key (a dotted path).
func (r *Reader) Fail(n *yaml.Node, key, format string, args ...any) {
	e := &Error{File: r.File, Key: key, Message: fmt.Sprintf(format, args...)}
	if n != nil {
		e.Line, e.Column = n.Line, n.Column
	}
	r.errs = append(r.errs, e)
}

// Failed returns how many mistakes were recorded so far.
func (r *Reader) Failed() int { return len(r.errs) }

// Err returns all mistakes in the order of the file, or nil.
func (r *Reader) Err() error { return r.errs.Err() }

// Entry is one key of a mapping with its value.
type Entry struct {
	Name  string
	Key   *yaml.Node // where the name stands
	Value *yaml.Node
}

// Mapping is the entries of a mapping in the order they are written.
type Mapping []Entry

// Get returns the value of the entry called name, or nil.
func (m Mapping) Get(name string) *yaml.Node {
	for _, e := range m {
		if e.Name == name {
			return e.Value
		}
	}
	return nil
}

// Has reports whether m has an entry called name.
func (m Mapping) Has(name string) bool { return m.Get(name) != nil }

// Join appends name to a dotted path.
func Join(key, name string) string {
	if key == "" {
		return name
	}
	return key + "." + name
}

// Entries returns the entries of the mapping n, whatever their names.
func (r *Reader) Entries(n *yaml.Node, key string) (Mapping, bool) {
	if n == nil || n.Kind != yaml.MappingNode {
		r.Fail(n, key, "expected a mapping, found %s", Kind(n))
		return nil, false
	}
	m := make(Mapping, 0, len(n.Content)/2)
	for i := 0; i+1 < len(n.Content); i += 2 {
		m = append(m, Entry{n.Content[i].Value, n.Content[i], n.Content[i+1]})
	}
	return m, true
}

// Fields returns the entries of the mapping n whose names are known. Each
// other name is a mistake that names the nearest known one.
func (r *Reader) Fields(n *yaml.Node, key string, known ...string) (Mapping, bool) {
	all, ok := r.Entries(n, key)
	if !ok {
		return nil, false
	}
	m := all[:0]
	for _, e := range all {
		if slices.Contains(known, e.Name) {
			m = append(m, e)
			continue
		}
		r.Unknown(e.Key, Join(key, clip(e.Name)), "field", e.Name, known)
	}
	return m, true
}

// Unknown records that name, written at n, is no known thing of that kind
// ("material"), with the nearest known name.
func (r *Reader) Unknown(n *yaml.Node, key, kind, name string, known []string) {
	text := fmt.Sprintf("there is no %s %q", kind, clip(name))
	if h := Hint(name, known); h != "" {
		text += "; " + h
	}
	r.Fail(n, key, "%s", text)
}

// Items returns the elements of the list n.
func (r *Reader) Items(n *yaml.Node, key string) ([]*yaml.Node, bool) {
	if n == nil || n.Kind != yaml.SequenceNode {
		r.Fail(n, key, "expected a list, found %s", Kind(n))
		return nil, false
	}
	return n.Content, true
}

// Text returns the scalar n as it is written; nothing at all is a mistake.
func (r *Reader) Text(n *yaml.Node, key string) (string, bool) {
	if !scalar(n) {
		r.Fail(n, key, "expected text, found %s", Kind(n))
		return "", false
	}
	return n.Value, true
}

// OneOf returns the scalar n, which must be one of known.
func (r *Reader) OneOf(n *yaml.Node, key string, known ...string) (string, bool) {
	s, ok := r.Text(n, key)
	if ok && !slices.Contains(known, s) {
		text := fmt.Sprintf("expected one of %s, found %q", strings.Join(known, ", "), clip(s))
		if near := Nearest(s, known); near != "" {
			text += fmt.Sprintf("; nearest is %q", near)
		}
		r.Fail(n, key, "%s", text)
		return "", false
	}
	return s, ok
}

// Bool returns the scalar n, which must be true or false.
func (r *Reader) Bool(n *yaml.Node, key string) (value, ok bool) {
	if scalar(n) && n.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) == 0 {
		switch n.Value {
		case "true":
			return true, true
		case "false":
			return false, true
		}
	}
	r.Fail(n, key, "expected true or false, found %s", found(n))
	return false, false
}

// Number returns the scalar n, a finite decimal number.
func (r *Reader) Number(n *yaml.Node, key string) (float64, bool) {
	return r.Quantity(n, key, map[string]float64{"": 1})
}

// Length returns the scalar n as a length, mm; see [Length].
func (r *Reader) Length(n *yaml.Node, key string) (float64, bool) {
	return r.Quantity(n, key, lengths)
}

// Quantity returns the scalar n by [Quantity].
func (r *Reader) Quantity(n *yaml.Node, key string, units map[string]float64) (float64, bool) {
	if !scalar(n) {
		r.Fail(n, key, "expected %s, found %s", expected(units), Kind(n))
		return 0, false
	}
	v, err := Quantity(n.Value, units)
	if err != nil {
		r.Fail(n, key, "%v", err)
		return 0, false
	}
	return v, true
}

// Range records a mistake and returns false where v, read at n, is not
// between least and most, both included.
func (r *Reader) Range(n *yaml.Node, key string, v, least, most float64) bool {
	if cmp.Compare(v, least) < 0 || cmp.Compare(v, most) > 0 {
		r.Fail(n, key, "expected %g to %g, found %g", least, most, v)
		return false
	}
	return true
}

func scalar(n *yaml.Node) bool {
	return n != nil && n.Kind == yaml.ScalarNode && n.ShortTag() != "!!null"
}

// found is Kind, or the text of a scalar.
func found(n *yaml.Node) string {
	if scalar(n) {
		return fmt.Sprintf("%q", clip(n.Value))
	}
	return Kind(n)
}
