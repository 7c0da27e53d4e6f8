package form

import (
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers/written"
)

// joinery is the joints by name.
type joinery map[string]joints.Joint

// allJoints reads the joints.
func (d *decoder) allJoints(n *yaml.Node, key string) setter {
	m, _ := d.named(n, key)
	all := make([]func(*scene) (joints.Joint, bool), len(m))
	for i, e := range m {
		d.checkName(e.Key, key, e.Name)
		d.source(e.Key, "joint", e.Name)
		all[i] = d.joint(e.Value, written.Join(key, e.Name))
	}
	return func(s *scene, dst reflect.Value) bool {
		made := make(joinery, len(m))
		ok := true
		for i, e := range m {
			j, well := all[i](s)
			made[e.Name], ok = j, ok && well
		}
		dst.Set(reflect.ValueOf(made))
		return ok
	}
}

// joint reads one joint of any kind.
func (d *decoder) joint(n *yaml.Node, key string) func(*scene) (joints.Joint, bool) {
	m, ok := d.Entries(n, key)
	if !ok {
		return nil
	}
	kindKey := written.Join(key, "kind")
	tag := m.Get("kind")
	if tag == nil {
		var keys []string
		for _, e := range m {
			keys = append(keys, e.Name)
		}
		hint := ""
		if near := written.Nearest("kind", keys); near != "" {
			hint = fmt.Sprintf("; is %q meant?", near)
		}
		d.Fail(n, key, `expected a field "kind", one of %s%s`, strings.Join(kindNames(d.kinds), ", "), hint)
		return nil
	}
	word, ok := d.Text(tag, kindKey)
	if !ok {
		return nil
	}
	i := slices.Index(kindNames(d.kinds), word)
	if i < 0 {
		d.Unknown(tag, kindKey, "kind of joint", word, kindNames(d.kinds))
		return nil
	}
	before := d.Failed()
	k := d.kinds[i]
	fields := fieldsOf(typeOf(k))
	m, _ = d.Fields(n, key, append(names(fields), "kind")...)
	set := d.fill(m, n, key, fields, false)
	if d.Failed() == before {
		d.ties(k, m, n, key, fields)
	}
	return func(s *scene) (joints.Joint, bool) {
		v := fresh(k)
		ok := set(s, v)
		return joint(v), ok
	}
}

func kindNames(kinds []joints.Kind) []string {
	out := make([]string, len(kinds))
	for i, k := range kinds {
		out[i] = k.Name
	}
	return out
}

// typeOf returns the struct type of the joint.
func typeOf(k joints.Kind) reflect.Type {
	t := reflect.TypeOf(k.New())
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	return t
}

// fresh returns a new joint of kind k to fill.
func fresh(k joints.Kind) reflect.Value {
	v := reflect.ValueOf(k.New())
	if v.Kind() == reflect.Pointer {
		return v.Elem()
	}
	w := reflect.New(v.Type()).Elem()
	w.Set(v)
	return w
}

// joint returns the joint that v is: the value itself where it is one, else
// its address.
func joint(v reflect.Value) joints.Joint {
	if j, ok := v.Interface().(joints.Joint); ok {
		return j
	}
	return v.Addr().Interface().(joints.Joint)
}

// isName reports whether a field of type t may name plates.
func isName(t reflect.Type) bool {
	return t.Kind() == reflect.String || t.Kind() == reflect.Slice && t.Elem().Kind() == reflect.String
}

// ties checks that the plates which the joint ties are declared. Which fields
// name them only the joint knows: the names it asks for are looked up among
// its text.
func (d *decoder) ties(k joints.Kind, m written.Mapping, n *yaml.Node, key string, fields []field) {
	v := fresh(k)
	texts := map[string]use{} // where each first stands
	for _, f := range fields {
		at := m.Get(f.name)
		if at == nil || !isName(v.FieldByIndex(f.index).Type()) {
			continue
		}
		keyOf := written.Join(key, f.name)
		f.kind.read(d, at, keyOf)(nil, v.FieldByIndex(f.index))
		for _, x := range append([]*yaml.Node{at}, at.Content...) {
			if _, ok := texts[x.Value]; !ok && x.Kind == yaml.ScalarNode {
				texts[x.Value] = use{x.Value, x, keyOf}
			}
		}
		if f.name == "cut" || f.name == "material" {
			d.mention(at, at.Value)
		}
	}
	if d.plates.unsure {
		return
	}
	for _, plate := range joint(v).Ties() {
		if d.plates.known[plate] != nil {
			continue
		}
		if plate == "" {
			if f := d.missing(k, fields, m); f != "" {
				d.Fail(n, key, "expected a field %q, the name of a plate", f)
				return
			}
		}
		at, ok := texts[plate]
		if !ok {
			at = use{plate, n, key}
		}
		d.unknown(at.node, at.key, "plate", plate, maps.Keys(d.plates.known))
	}
}

// missing returns the first field that is not written and that the joint needs
// for the name of a plate: the one without which it asks for a plate "".
func (d *decoder) missing(k joints.Kind, fields []field, m written.Mapping) string {
	for _, f := range fields {
		if m.Has(f.name) {
			continue
		}
		v := fresh(k)
		for _, g := range fields {
			if w := v.FieldByIndex(g.index); g.name != f.name && w.Kind() == reflect.String {
				w.SetString("x")
			}
		}
		if isName(v.FieldByIndex(f.index).Type()) && slices.Contains(joint(v).Ties(), "") {
			return f.name
		}
	}
	return ""
}
