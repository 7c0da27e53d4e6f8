package form

import (
	"encoding"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"unicode"

	"gopkg.in/yaml.v3"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/written"
)

// kind is the written form of a Go type. The form as a whole is nothing but
// the kinds of a few structs and of the joints: reading and the schema are two
// walks over the same types.
type kind struct {
	// read checks the value at n, as the field called key, and returns what
	// puts it into a Go value in Make. After a mistake that is never run.
	read func(d *decoder, n *yaml.Node, key string) setter
	// schema returns what the schema says of such a value.
	schema func(w *describer) schema
}

// setter puts a value that was read into dst, which is addressable. It returns
// false where the scene's parameters make no sense of it; the scene has noted
// why.
type setter func(s *scene, dst reflect.Value) bool

var unmarshaler = reflect.TypeFor[encoding.TextUnmarshaler]()

// kindOf returns the kind of t; ok is false where t has no written form.
func kindOf(t reflect.Type) (k kind, ok bool) {
	if m, ok := measures[t]; ok {
		return kind{
			func(d *decoder, n *yaml.Node, key string) setter { return d.number(n, key, m) },
			func(w *describer) schema { return w.number(m) },
		}, true
	}
	switch t {
	case reflect.TypeFor[layers.Region]():
		return kind{(*decoder).outline, (*describer).outline}, true
	case reflect.TypeFor[layers.Point](), reflect.TypeFor[size]():
		return pair(t), true
	case reflect.TypeFor[factors]():
		return kind{(*decoder).factors, (*describer).factors}, true
	case reflect.TypeFor[name]():
		return kind{(*decoder).name, (*describer).text}, true
	case reflect.TypeFor[material]():
		return kind{(*decoder).material, (*describer).text}, true
	case reflect.TypeFor[support]():
		return kind{(*decoder).support, (*describer).text}, true
	case reflect.TypeFor[library]():
		return kind{(*decoder).library, (*describer).text}, true
	case reflect.TypeFor[pathData]():
		return kind{(*decoder).pathData, (*describer).text}, true
	case reflect.TypeFor[drawing]():
		return kind{(*decoder).drawing, (*describer).drawing}, true
	case reflect.TypeFor[strokes]():
		return kind{(*decoder).strokes, (*describer).drawing}, true
	case reflect.TypeFor[score]():
		return kind{(*decoder).score, (*describer).score}, true
	case reflect.TypeFor[plate](), reflect.TypeFor[upright]():
		return kind{
			func(d *decoder, n *yaml.Node, key string) setter { return d.sheet(n, key, t) },
			func(w *describer) schema { return w.record(t) },
		}, true
	case reflect.TypeFor[constant]():
		return kind{(*decoder).constant, (*describer).constant}, true
	case reflect.TypeFor[layer]():
		return kind{(*decoder).layer, (*describer).layer}, true
	case reflect.TypeFor[parameters]():
		return kind{(*decoder).allParameters, (*describer).allParameters}, true
	case reflect.TypeFor[outlines]():
		return kind{(*decoder).allOutlines, (*describer).allOutlines}, true
	case reflect.TypeFor[joinery]():
		return kind{(*decoder).allJoints, (*describer).allJoints}, true
	case reflect.TypeFor[joints.Fit]():
		return kind{(*decoder).fit, (*describer).fit}, true
	}
	if reflect.PointerTo(t).Implements(unmarshaler) {
		return kind{
			func(d *decoder, n *yaml.Node, key string) setter { return d.word(n, key, t) },
			func(w *describer) schema { return w.word(t) },
		}, true
	}
	switch t.Kind() {
	case reflect.Bool:
		return kind{(*decoder).flag, (*describer).flag}, true
	case reflect.String:
		return kind{(*decoder).text, (*describer).text}, true
	case reflect.Pointer:
		return pointer(t)
	case reflect.Slice:
		return list(t)
	case reflect.Struct:
		return kind{
			func(d *decoder, n *yaml.Node, key string) setter { return d.record(n, key, t) },
			func(w *describer) schema { return w.record(t) },
		}, true
	}
	return kind{}, false
}

// field is a field of a struct in its written form.
type field struct {
	name     string // "key-at"
	required bool
	index    []int
	owner    reflect.Type // the struct that declares it
	goName   string
	kind     kind
}

// fieldsOf returns the fields of the struct t that have a written form, those
// of embedded structs in their place.
func fieldsOf(t reflect.Type) []field {
	var out []field
	for _, f := range reflect.VisibleFields(t) {
		if f.Anonymous || !f.IsExported() {
			continue
		}
		k, ok := kindOf(f.Type)
		if !ok {
			continue
		}
		owner := t
		for _, i := range f.Index[:len(f.Index)-1] {
			owner = owner.Field(i).Type
		}
		out = append(out, field{hyphenated(f.Name), f.Tag.Get("form") == "required", f.Index, owner, f.Name, k})
	}
	return out
}

// names returns the written names of the fields.
func names(fields []field) []string {
	out := make([]string, len(fields))
	for i, f := range fields {
		out[i] = f.name
	}
	return out
}

// hyphenated returns the written name of a Go field: "KeyAt" is key-at.
func hyphenated(goName string) string {
	var b strings.Builder
	r := []rune(goName)
	for i, c := range r {
		if i > 0 && unicode.IsUpper(c) && (!unicode.IsUpper(r[i-1]) || i+1 < len(r) && unicode.IsLower(r[i+1])) {
			b.WriteByte('-')
		}
		b.WriteRune(unicode.ToLower(c))
	}
	return b.String()
}

// record reads a mapping into the struct t.
func (d *decoder) record(n *yaml.Node, key string, t reflect.Type) setter {
	fields := fieldsOf(t)
	before := d.Failed()
	m, ok := d.Fields(n, key, names(fields)...)
	if !ok {
		return nil
	}
	return d.fill(m, n, key, fields, d.Failed() > before)
}

// fill reads the entries m of the mapping n into the fields. Where a name was
// not known, a field that seems to be missing may be the one that was meant.
func (d *decoder) fill(m written.Mapping, n *yaml.Node, key string, fields []field, misnamed bool) setter {
	type step struct {
		index []int
		set   setter
	}
	var steps []step
	for _, f := range fields {
		v := m.Get(f.name)
		if v == nil {
			if f.required && !misnamed {
				d.Fail(n, key, "expected a field %q", f.name)
			}
			continue
		}
		steps = append(steps, step{f.index, f.kind.read(d, v, written.Join(key, f.name))})
	}
	return func(s *scene, dst reflect.Value) bool {
		ok := true
		for _, x := range steps {
			ok = x.set(s, dst.FieldByIndex(x.index)) && ok
		}
		return ok
	}
}

func pointer(t reflect.Type) (kind, bool) {
	k, ok := kindOf(t.Elem())
	return kind{
		func(d *decoder, n *yaml.Node, key string) setter {
			set := k.read(d, n, key)
			return func(s *scene, dst reflect.Value) bool {
				dst.Set(reflect.New(t.Elem()))
				return set(s, dst.Elem())
			}
		},
		k.schema,
	}, ok
}

// fewest is how many items a list of that type needs at least.
var fewest = map[reflect.Type]int{
	reflect.TypeFor[corners]():     3,
	reflect.TypeFor[layers.Line](): 2,
}

func list(t reflect.Type) (kind, bool) {
	k, ok := kindOf(t.Elem())
	least := fewest[t]
	return kind{
		func(d *decoder, n *yaml.Node, key string) setter {
			items, ok := d.Items(n, key)
			if !ok {
				return nil
			}
			if len(items) < least {
				d.Fail(n, key, "expected %d points or more, found %d", least, len(items))
				return nil
			}
			return d.items(items, key, t, k)
		},
		func(w *describer) schema {
			s := schema{"type": "array", "items": k.schema(w)}
			if least > 0 {
				s["minItems"] = least
			}
			return s
		},
	}, ok
}

func (d *decoder) items(items []*yaml.Node, key string, t reflect.Type, k kind) setter {
	sets := make([]setter, len(items))
	for i, item := range items {
		sets[i] = k.read(d, item, fmt.Sprintf("%s[%d]", key, i+1))
	}
	return func(s *scene, dst reflect.Value) bool {
		dst.Set(reflect.MakeSlice(t, len(sets), len(sets)))
		ok := true
		for i, set := range sets {
			ok = set(s, dst.Index(i)) && ok
		}
		return ok
	}
}

// pair is the kind of a struct of two numbers: [x, y].
func pair(t reflect.Type) kind {
	m := measures[t.Field(0).Type]
	label := strings.ToLower("[" + t.Field(0).Name + ", " + t.Field(1).Name + "]")
	return kind{
		func(d *decoder, n *yaml.Node, key string) setter {
			if n.Kind != yaml.SequenceNode {
				d.Fail(n, key, "expected %s, found %s", label, written.Kind(n))
				return nil
			}
			if len(n.Content) != 2 {
				hint := ""
				for _, c := range n.Content {
					if strings.Count(c.Value, "(") > strings.Count(c.Value, ")") {
						hint = "; put quotes round an expression that holds a comma"
					}
				}
				d.Fail(n, key, "expected %s, found a list of %d%s", label, len(n.Content), hint)
				return nil
			}
			x, y := d.number(n.Content[0], key, m), d.number(n.Content[1], key, m)
			return func(s *scene, dst reflect.Value) bool {
				ok := x(s, dst.Field(0))
				return y(s, dst.Field(1)) && ok
			}
		},
		func(w *describer) schema {
			return schema{"type": "array", "items": w.number(m), "minItems": 2, "maxItems": 2}
		},
	}
}

// fixed returns a setter for a value that does not depend on the scene.
func fixed(v any) setter {
	r := reflect.ValueOf(v)
	return func(_ *scene, dst reflect.Value) bool {
		dst.Set(r.Convert(dst.Type()))
		return true
	}
}

func (d *decoder) text(n *yaml.Node, key string) setter {
	s, _ := d.Text(n, key)
	return fixed(s)
}

func (d *decoder) flag(n *yaml.Node, key string) setter {
	b, _ := d.Bool(n, key)
	return fixed(b)
}

// word reads text that the type itself understands.
func (d *decoder) word(n *yaml.Node, key string, t reflect.Type) setter {
	known := words(t)
	s, ok := "", false
	if known != nil {
		s, ok = d.OneOf(n, key, known...)
	} else {
		s, ok = d.Text(n, key)
	}
	v := reflect.New(t)
	if ok {
		if err := v.Interface().(encoding.TextUnmarshaler).UnmarshalText([]byte(s)); err != nil {
			d.Fail(n, key, "%v", err)
		}
	}
	return fixed(v.Elem().Interface())
}

// words returns all words that t understands where t counts its values from 0
// and can write them, else nil.
func words(t reflect.Type) []string {
	v := reflect.New(t).Elem()
	m, ok := v.Addr().Interface().(encoding.TextMarshaler)
	if !ok || !v.CanInt() {
		return nil
	}
	var out []string
	for i := range int64(100) {
		v.SetInt(i)
		text, err := m.MarshalText()
		if err != nil {
			break
		}
		out = append(out, string(text))
	}
	return out
}

// named reads a mapping from names to things. Of a mistaken mapping it returns
// what it can.
func (d *decoder) named(n *yaml.Node, key string) (m written.Mapping, ok bool) {
	m, ok = d.Entries(n, key)
	if len(m) > MaxNames {
		d.Fail(n, key, "expected at most %d names, found %d", MaxNames, len(m))
		return nil, false
	}
	return m, ok
}

// checkName records it as a mistake where s is no name.
func (d *decoder) checkName(n *yaml.Node, key, s string) bool {
	const most = 100
	switch letters := len([]rune(s)); {
	case s == "" || strings.TrimSpace(s) != s:
		d.Fail(n, key, "expected a name without space around it, found %q", clip(s))
	case letters > most:
		d.Fail(n, key, "expected a name of at most %d letters, found %d", most, letters)
	case strings.ContainsFunc(s, unicode.IsControl):
		d.Fail(n, key, "expected a name in one line, found %q", clip(s))
	default:
		return true
	}
	return false
}

// fit reads a joint's fit: its class, or the play in mm.
func (d *decoder) fit(n *yaml.Node, key string) setter {
	if n.Kind == yaml.MappingNode {
		set := d.record(n, key, reflect.TypeFor[play]())
		return func(s *scene, dst reflect.Value) bool {
			var p play
			ok := set(s, reflect.ValueOf(&p).Elem())
			dst.Set(reflect.ValueOf(joints.Fit{Exact: (*joints.Play)(&p)}))
			return ok
		}
	}
	word, ok := d.OneOf(n, key, fits()...)
	i := 0
	if ok {
		i = slices.Index(fits(), word)
	}
	return fixed(joints.Fit{Class: joints.Class(i)})
}

// play is joints.Play with both numbers asked for.
type play struct {
	Along  float64 `form:"required"` // how much wider the opening is along the sheet of what goes in; negative is interference
	Across float64 `form:"required"` // the same across the thickness of what goes in
}

// fits returns the words for the classes of fit, each at its number.
func fits() []string {
	return []string{joints.Snug.String(), joints.Slide.String(), joints.Press.String()}
}
