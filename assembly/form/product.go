package form

import (
	"cmp"
	"errors"
	"io/fs"
	pathpkg "path"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/layers"
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
		d.unknown(n, key, "plate in the stack", s, slices.Values(d.stacked))
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
// to the form. How far up a file may lie is for the file system to say.
func (d *decoder) inside(n *yaml.Node, key, file string) (string, bool) {
	if file == "" || pathpkg.IsAbs(file) || strings.Contains(file, `\`) {
		d.Fail(n, key, "expected a file named relative to this one, with / between folders, found %q", clip(file))
		return "", false
	}
	p := pathpkg.Join(pathpkg.Dir(d.File), file)
	if _, err := fs.Stat(d.fsys, p); errors.Is(err, fs.ErrInvalid) {
		d.Fail(n, key, "expected a file inside the folder that is read, found %q", clip(file))
		return "", false
	}
	return p, true
}
