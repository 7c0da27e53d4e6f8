package form

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	pathpkg "path"
	"reflect"
	"regexp"
	"slices"
	"strconv"

	"gopkg.in/yaml.v3"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/written"
)

// MaxNames is the most parameters, outlines, plates and joints, of each.
const MaxNames = 1000

// product is the form as a whole. What others refer to stands before them.
type product struct {
	Product    name       `form:"required"` // its name
	About      string     // what it is, for people
	Materials  library    // a file of your own materials, relative to this one
	Parameters parameters // numbers that a build may set
	Outlines   outlines   // shapes that are used by name
	Stack      []layer    `form:"required"` // layers from back to front; plates in a list within the list lie side by side
	Uprights   []upright  // plates that stand square to the stack
	Joints     joinery    // what holds the plates together
	Height     distance   // the stack may not stand higher; 0: any height is well
}

type (
	name     string // of the product or of a plate
	material string
	support  string // a plate of the stack
	library  string // a file of materials
	joinery  map[string]joints.Joint
)

// sheet is what all plates have.
type sheet struct {
	Plate    name          `form:"required"` // its name
	Material material      `form:"required"` // what it is cut from
	Outline  layers.Region `form:"required"` // its finished shape, before the joints' work
	Marks    []mark        // lines to score and faces to engrave
}

func (s sheet) plate() layers.Plate {
	p := layers.Plate{Name: string(s.Plate), Material: string(s.Material), Outline: s.Outline}
	for _, m := range s.Marks {
		p.Marks = append(p.Marks, m.marks()...)
	}
	return p
}

type plate struct {
	sheet
	Gap  distance // least distance to the other plates of its layer; 0: touching is well
	Lift distance // air behind the plate, to the layer behind it
}

type layer []plate

type upright struct {
	sheet
	At   layers.Point   // a point of the line that it stands on
	Turn layers.Degrees // direction of that line
	On   support        // plate from whose front z counts; without it, the back of the stack
	Z    float64        // height of its own origin
}

type mark struct {
	Score   score          // polylines, or an outline whose edge is followed
	Engrave *layers.Region // outline to engrave
}

func (m mark) marks() []layers.Mark {
	var out []layers.Mark
	if m.Score != nil {
		out = append(out, layers.Mark{Operation: layers.Score, Lines: m.Score})
	}
	if m.Engrave != nil {
		out = append(out, layers.Mark{Operation: layers.Engrave, Area: *m.Engrave})
	}
	return out
}

// declare returns the product as the rest of the house knows it.
func (p product) declare() assembly.Product {
	out := assembly.Product{Name: string(p.Product), Joints: p.Joints, Height: float64(p.Height)}
	for _, l := range p.Stack {
		var to assembly.Layer
		for _, x := range l {
			pl := x.plate()
			pl.Gap, pl.Lift = float64(x.Gap), float64(x.Lift)
			to = append(to, pl)
		}
		out.Stack = append(out.Stack, to)
	}
	for _, u := range p.Uprights {
		out.Uprights = append(out.Uprights, assembly.Upright{Plate: u.plate(), At: u.At, Turn: u.Turn, On: string(u.On), Z: u.Z})
	}
	return out
}

// sheet reads a plate or an upright, t. Without its name, other places may
// name a plate that is not known.
func (d *decoder) sheet(n *yaml.Node, key string, t reflect.Type) setter {
	d.standing = t == reflect.TypeFor[upright]()
	before := len(d.plates.known)
	set := d.record(n, key, t)
	if len(d.plates.known) == before {
		d.plates.unsure = true
	}
	return set
}

// layer reads one plate, or a list of plates side by side.
func (d *decoder) layer(n *yaml.Node, key string) setter {
	d.layers++
	d.source(n, "layer", strconv.Itoa(d.layers))
	k, _ := kindOf(reflect.TypeFor[plate]())
	if n.Kind == yaml.SequenceNode {
		if len(n.Content) == 0 {
			d.Fail(n, key, "expected plates, found an empty list")
		}
		return d.items(n.Content, key, reflect.TypeFor[layer](), k)
	}
	set := k.read(d, n, key)
	return func(s *scene, dst reflect.Value) bool {
		dst.Set(reflect.MakeSlice(dst.Type(), 1, 1))
		return set(s, dst.Index(0))
	}
}

// name reads the name of the product or of a plate.
func (d *decoder) name(n *yaml.Node, key string) setter {
	s, ok := d.Text(n, key)
	ok = ok && d.checkName(n, key, s)
	if key == "product" {
		d.title = s
		return fixed(s)
	}
	switch first := d.plates.known[s]; {
	case !ok:
	case first != nil:
		d.Fail(n, key, "two plates are called %q; the first stands in line %d", clip(s), first.Line)
	case len(d.plates.known) == MaxNames:
		d.Fail(n, key, "expected at most %d plates", MaxNames)
	default:
		d.plates.known[s] = n
		if !d.standing {
			d.stacked = append(d.stacked, s)
		}
		d.source(n, "plate", s)
	}
	return fixed(s)
}

// material reads the name of a material, which is known only when the product
// is built.
func (d *decoder) material(n *yaml.Node, key string) setter {
	s, ok := d.Text(n, key)
	if ok && d.checkName(n, key, s) {
		d.mention(n, s)
	}
	return fixed(s)
}

// mention notes where a material is first named.
func (d *decoder) mention(n *yaml.Node, material string) { d.source(n, "material", material) }

// source notes where a thing is declared, once.
func (d *decoder) source(n *yaml.Node, kind, name string) {
	s := layers.Subject{Kind: kind, Name: name}
	if old, ok := d.sources[s]; !ok || cmp.Or(cmp.Compare(n.Line, old.Line), cmp.Compare(n.Column, old.Column)) < 0 {
		d.sources[s] = layers.Source{File: d.File, Line: n.Line, Column: n.Column}
	}
}

// support reads the name of a plate of the stack.
func (d *decoder) support(n *yaml.Node, key string) setter {
	s, ok := d.Text(n, key)
	if ok && !d.plates.unsure && !slices.Contains(d.stacked, s) {
		d.Unknown(n, key, "plate in the stack", s, d.stacked)
	}
	return fixed(s)
}

// library reads the name of a materials file and sees that it is there.
func (d *decoder) library(n *yaml.Node, key string) setter {
	s, ok := d.Text(n, key)
	if ok {
		if d.materials, ok = d.inside(n, key, s); ok {
			if _, err := fs.Stat(d.fsys, d.materials); err != nil {
				d.Fail(n, key, "expected a file of materials: %v", err)
			}
		}
	}
	return fixed(s)
}

// inside returns the path in the file system of a file that is named relative
// to the form.
func (d *decoder) inside(n *yaml.Node, key, file string) (string, bool) {
	p := pathpkg.Join(pathpkg.Dir(d.File), file)
	if file == "" || pathpkg.IsAbs(file) || !fs.ValidPath(p) {
		d.Fail(n, key, "expected a file next to this one or below, with / between folders, found %q", clip(file))
		return "", false
	}
	return p, true
}

// parameters is the mapping of parameters. Nothing is kept in it: the design
// declares them.
type parameters struct{}

// parameter is the long form of one.
type parameter struct {
	Value constant  `form:"required"` // where no input sets it
	From  constant  // least value
	To    constant  // greatest value
	Unit  dimension // mm or deg, for bare numbers
	About string    // what it is, for people
}

// dimension is the unit of a parameter.
type dimension string

// units are what a dimension may be. A plain number has none.
var units = map[dimension]unit{"": {}, "mm": inMM, "deg": inDeg}

// UnmarshalText reads mm or deg.
func (u *dimension) UnmarshalText(text []byte) error {
	*u = dimension(text)
	if _, ok := units[*u]; !ok || *u == "" {
		return fmt.Errorf("expected mm or deg, found %q", clip(string(text)))
	}
	return nil
}

// constant is a number that may bear a unit but is no expression: what a
// parameter is declared with.
type constant struct {
	node  *yaml.Node // nil where none is written
	key   string
	value float64
	unit  dimension
}

// constant reads one.
func (d *decoder) constant(n *yaml.Node, key string) setter {
	c := constant{node: n, key: key}
	var err error
	if n.Kind != yaml.ScalarNode {
		err = errors.New("no number")
	} else if c.value, err = written.Number(n.Value); err != nil {
		c.unit = "mm"
		if c.value, err = written.Length(n.Value); err != nil {
			c.unit = "deg"
			c.value, err = degrees(n.Value)
		}
	}
	if err != nil {
		found := written.Kind(n)
		if found == "text" {
			found = strconv.Quote(clip(n.Value))
		}
		d.Fail(n, key, "expected a number, alone or with deg or a unit of length, found %s", found)
	}
	return fixed(c)
}

var identifier = regexp.MustCompile(`^[\pL_][\pL\p{Nd}_]*$`)

// allParameters reads the parameters into the design.
func (d *decoder) allParameters(n *yaml.Node, key string) setter {
	m, ok := d.named(n, key)
	d.parameters.unsure = !ok
	for _, e := range m {
		at := written.Join(key, e.Name)
		switch {
		case !d.checkName(e.Key, key, e.Name):
		case !identifier.MatchString(e.Name):
			d.Fail(e.Key, at, "expected a name of letters, digits and _, so that expressions can use it, found %q", clip(e.Name))
		case slices.Contains(reserved, e.Name):
			d.Fail(e.Key, at, "expected another name: %s has a meaning in expressions", e.Name)
		}
		p := d.parameter(e.Value, at)
		p.Name = e.Name
		d.parameters.known[p.Name] = units[dimension(p.Unit)]
		d.params = append(d.params, p)
	}
	return func(*scene, reflect.Value) bool { return true }
}

// parameter reads a number, or the long form.
func (d *decoder) parameter(n *yaml.Node, key string) assembly.Param {
	var p parameter
	before := d.Failed()
	set, dst := setter(nil), reflect.ValueOf(&p).Elem()
	if n.Kind == yaml.MappingNode {
		set = d.record(n, key, dst.Type())
	} else {
		set, dst = d.constant(n, key), dst.Field(0)
	}
	if d.Failed() > before {
		return assembly.Param{}
	}
	set(nil, dst)
	before = d.Failed()
	for _, c := range []constant{p.Value, p.From, p.To} {
		switch {
		case c.unit == "" || c.unit == p.Unit:
		case p.Unit == "":
			p.Unit = c.unit
		default:
			d.Fail(c.node, c.key, "expected %s like the rest of the parameter, found %q", units[p.Unit], clip(c.node.Value))
		}
	}
	if d.Failed() > before {
		return assembly.Param{}
	}
	v, from, to := p.Value, p.From, p.To
	switch {
	case from.node == nil && to.node == nil:
	case from.node == nil:
		d.Fail(to.node, to.key, `expected a field "from" beside it`)
	case to.node == nil:
		d.Fail(from.node, from.key, `expected a field "to" beside it`)
	case from.value >= to.value:
		d.Fail(to.node, to.key, "expected more than from, which is %g, found %g", from.value, to.value)
	default:
		d.Range(v.node, v.key, v.value, from.value, to.value)
	}
	return assembly.Param{Value: v.value, Min: from.value, Max: to.value, Unit: string(p.Unit), Doc: p.About}
}

// allJoints reads the joints.
func (d *decoder) allJoints(n *yaml.Node, key string) setter {
	m, _ := d.named(n, key)
	sets := map[string]func(*scene) (joints.Joint, bool){}
	for _, e := range m {
		d.checkName(e.Key, key, e.Name)
		d.source(e.Key, "joint", e.Name)
		sets[e.Name] = d.joint(e.Value, written.Join(key, e.Name))
	}
	return func(s *scene, dst reflect.Value) bool {
		made := make(joinery, len(sets))
		ok := true
		for name, set := range sets {
			j, well := set(s)
			made[name], ok = j, ok && well
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
		near := written.Nearest("kind", func() (keys []string) {
			for _, e := range m {
				keys = append(keys, e.Name)
			}
			return keys
		}())
		text := fmt.Sprintf(`expected a field "kind", one of %s`, kindNames(d.kinds))
		if near != "" {
			text += fmt.Sprintf("; is %q meant?", near)
		}
		d.Fail(n, key, "%s", text)
		return nil
	}
	word, ok := d.Text(tag, kindKey)
	if !ok {
		return nil
	}
	i := slices.IndexFunc(d.kinds, func(k joints.Kind) bool { return k.Name == word })
	if i < 0 {
		var all []string
		for _, k := range d.kinds {
			all = append(all, k.Name)
		}
		d.Unknown(tag, kindKey, "kind of joint", word, all)
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
	var texts []use
	for _, f := range fields {
		at := m.Get(f.name)
		if at == nil || !isName(v.FieldByIndex(f.index).Type()) {
			continue
		}
		keyOf := written.Join(key, f.name)
		f.kind.read(d, at, keyOf)(nil, v.FieldByIndex(f.index))
		for _, x := range append([]*yaml.Node{at}, at.Content...) {
			texts = append(texts, use{x.Value, x, keyOf})
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
		at := use{plate, n, key}
		if i := slices.IndexFunc(texts, func(u use) bool { return u.node.Kind == yaml.ScalarNode && u.name == plate }); i >= 0 {
			at = texts[i]
		}
		d.Unknown(at.node, at.key, "plate", plate, d.plateNames())
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
