package form

import (
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/written"
)

// MaxSegments is the most lines and arcs that the outlines of one product may
// have in all, each step of a construction counted.
const MaxSegments = 200_000

// shape is one way to write an outline. Its first field is the key that tells
// it from the others.
type shape interface {
	region() layers.Region
	modify(layers.Region) layers.Region
}

// shapes are all ways to write an outline, in the order of the package's
// documentation.
var shapes = []shape{
	rectangle{}, circle{}, ellipse{}, polygon{}, regular{}, slot{}, path{}, drawn{},
	of{}, inset{}, outset{}, union{}, subtract{}, intersect{}, row{}, ring{},
}

// modifiers change an outline where it stands. They apply in this order.
type modifiers struct {
	Centre bool            // move the middle of its bounds to the origin
	Mirror *layers.Degrees // reflect across the line through the origin in this direction; 90 swaps left and right
	Scale  *factors        // multiply both axes, or x and y apart
	Turn   layers.Degrees  // turn about the origin, counter-clockwise
	Move   layers.Point    // shift by [x, y]
}

func (m modifiers) modify(r layers.Region) layers.Region {
	if m.Centre && !r.Empty() {
		r = r.Move(r.Bounds().Centre().Mul(-1))
	}
	if m.Mirror != nil {
		r = r.Mirror(*m.Mirror)
	}
	if m.Scale != nil {
		r = r.Scale(float64(m.Scale.X), float64(m.Scale.Y))
	}
	if m.Turn != 0 {
		r = r.Rotate(m.Turn)
	}
	if m.Move != (layers.Point{}) {
		r = r.Move(m.Move)
	}
	return r
}

type (
	// size is the sides of a box, written [w, h].
	size struct{ W, H side }
	// factors is how much to multiply x and y, written as one number or [x, y].
	factors struct{ X, Y ratio }
)

type rectangle struct {
	Rectangle size     `form:"required"` // width and height, about the origin
	Corner    distance // radius of its corners
	modifiers
}

func (s rectangle) region() layers.Region {
	w, h := float64(s.Rectangle.W), float64(s.Rectangle.H)
	if s.Corner == 0 {
		return layers.Rectangle(w, h)
	}
	return layers.RoundedRectangle(w, h, float64(s.Corner))
}

type circle struct {
	Circle side `form:"required"` // diameter, about the origin
	modifiers
}

func (s circle) region() layers.Region { return layers.Circle(float64(s.Circle)) }

type ellipse struct {
	Ellipse size `form:"required"` // width and height, about the origin
	modifiers
}

func (s ellipse) region() layers.Region {
	return layers.Ellipse(float64(s.Ellipse.W), float64(s.Ellipse.H))
}

// corners are the corners of a polygon.
type corners []layers.Point

type polygon struct {
	Polygon corners `form:"required"` // its corners, three or more
	modifiers
}

func (s polygon) region() layers.Region { return layers.Polygon(s.Polygon...) }

type regular struct {
	Regular evenSides `form:"required"` // a polygon of equal sides about the origin, a corner at the top
	modifiers
}

type evenSides struct {
	Sides    sides `form:"required"` // how many, 3 or more
	Diameter side  `form:"required"` // of the circle its corners lie on
}

func (s regular) region() layers.Region {
	return layers.RegularPolygon(int(s.Regular.Sides), float64(s.Regular.Diameter))
}

type slot struct {
	Slot size `form:"required"` // width and height over all, about the origin; the short sides are half circles
	modifiers
}

func (s slot) region() layers.Region { return layers.SlotShape(float64(s.Slot.W), float64(s.Slot.H)) }

type path struct {
	Path pathData `form:"required"` // SVG path data, which counts y downwards: y is turned round, so that the shape stands as drawn
	modifiers
}

func (s path) region() layers.Region { return s.Path.region }

// pathData is what SVG path data fills, read once with the form.
type pathData struct{ region layers.Region }

// pathData reads SVG path data.
func (d *decoder) pathData(n *yaml.Node, key string) setter {
	s, ok := d.Text(n, key)
	r := layers.PathData(s).Mirror(0)
	if err := r.Err(); ok && err != nil {
		d.Fail(n, key, "%v", err)
	}
	return fixed(pathData{r})
}

type drawn struct {
	Art drawing `form:"required"` // a shape from a drawing
	modifiers
}

func (s drawn) region() layers.Region { return s.Art.region }

type of struct {
	Of layers.Region `form:"required"` // an outline to modify
	modifiers
}

func (s of) region() layers.Region { return s.Of }

type inset struct {
	Inset layers.Region `form:"required"` // an outline to make smaller all round
	By    float64       `form:"required"` // how far its edge moves in
	Round bool          // round concave corners
	modifiers
}

func (s inset) region() layers.Region { return s.Inset.Offset(-s.By, corner(s.Round)) }

type outset struct {
	Outset layers.Region `form:"required"` // an outline to make larger all round
	By     float64       `form:"required"` // how far its edge moves out
	Round  bool          // round convex corners
	modifiers
}

func (s outset) region() layers.Region { return s.Outset.Offset(s.By, corner(s.Round)) }

func corner(round bool) layers.Corner {
	if round {
		return layers.Round
	}
	return layers.Mitre
}

type union struct {
	Union []layers.Region `form:"required"` // outlines to join
	modifiers
}

func (s union) region() layers.Region { return layers.Region{}.Union(s.Union...) }

type subtract struct {
	Subtract []layers.Region `form:"required"` // an outline, and those to take away from it
	modifiers
}

func (s subtract) region() layers.Region {
	if len(s.Subtract) == 0 {
		return layers.Region{}
	}
	return s.Subtract[0].Subtract(s.Subtract[1:]...)
}

type intersect struct {
	Intersect []layers.Region `form:"required"` // outlines of which to keep what they share
	modifiers
}

func (s intersect) region() layers.Region {
	if len(s.Intersect) == 0 {
		return layers.Region{}
	}
	r := s.Intersect[0]
	for _, x := range s.Intersect[1:] {
		r = r.Intersect(x)
	}
	return r
}

type row struct {
	Row copies `form:"required"` // copies side by side
	modifiers
}

type copies struct {
	Of    layers.Region `form:"required"` // the outline to copy
	Count times         `form:"required"` // how many in all
	Step  layers.Point  `form:"required"` // from each to the next, [x, y]
}

func (s row) region() layers.Region {
	if err := affordable(s.Row.Of, s.Row.Count); err != nil {
		return layers.Invalid(err)
	}
	return layers.Row(s.Row.Of, int(s.Row.Count), s.Row.Step)
}

type ring struct {
	Ring copiesRound `form:"required"` // copies evenly round the origin
	modifiers
}

type copiesRound struct {
	Of    layers.Region `form:"required"` // the outline to copy
	Count times         `form:"required"` // how many in all
}

func (s ring) region() layers.Region {
	if err := affordable(s.Ring.Of, s.Ring.Count); err != nil {
		return layers.Invalid(err)
	}
	return layers.Ring(s.Ring.Of, int(s.Ring.Count))
}

// affordable returns an error where n copies of r would be too many.
func affordable(r layers.Region, n times) error {
	if segments(r)*int(n) > MaxSegments {
		return fmt.Errorf("expected at most %d lines and arcs", MaxSegments)
	}
	return nil
}

func segments(r layers.Region) int {
	n := 0
	for c := range r.Contours() {
		n += len(c.Segments)
	}
	return n
}

// keyOf returns the key that tells the shape from others.
func keyOf(s shape) string { return hyphenated(reflect.TypeOf(s).Field(0).Name) }

func shapeKeys() []string {
	out := make([]string, len(shapes))
	for i, s := range shapes {
		out[i] = keyOf(s)
	}
	return out
}

// outline reads an outline: the name of one, or a mapping with a shape.
func (d *decoder) outline(n *yaml.Node, key string) setter {
	switch {
	case n.Kind == yaml.MappingNode:
		t, ok := d.shape(n, key)
		if !ok {
			return nil
		}
		return d.construct(n, key, t)
	case n.Kind == yaml.ScalarNode && written.Kind(n) == "text":
		return d.reference(n, key)
	}
	d.Fail(n, key, "expected an outline: a name from outlines, or a mapping such as {circle: 20}; found %s", written.Kind(n))
	return nil
}

// shape returns the Go type of the shape that the mapping n writes.
func (d *decoder) shape(n *yaml.Node, key string) (reflect.Type, bool) {
	m, _ := d.Entries(n, key)
	var found []written.Entry
	var t reflect.Type
	keys := shapeKeys()
	for _, e := range m {
		if i := slices.Index(keys, e.Name); i >= 0 {
			found = append(found, e)
			t = reflect.TypeOf(shapes[i])
		}
	}
	switch len(found) {
	case 0:
		own := names(fieldsOf(reflect.TypeFor[modifiers]()))
		for _, e := range m {
			if !slices.Contains(own, e.Name) {
				d.Fail(e.Key, key, "there is no shape %q; %s", clip(e.Name), written.Hint(e.Name, keys))
				return nil, false
			}
		}
		d.Fail(n, key, "expected a shape, one of %s", strings.Join(keys, ", "))
		return nil, false
	case 1:
		return t, true
	}
	d.Fail(found[1].Key, key, "expected one shape, found %s and %s", found[0].Name, found[1].Name)
	return nil, false
}

// construct reads a shape of type t and returns what makes its region.
func (d *decoder) construct(n *yaml.Node, key string, t reflect.Type) setter {
	set := d.record(n, key, t)
	at := d.place(n, key)
	return func(s *scene, dst reflect.Value) bool {
		v := reflect.New(t).Elem()
		if !set(s, v) {
			return false
		}
		x := v.Interface().(shape)
		r := x.region()
		if r.Err() == nil {
			r = x.modify(r)
		}
		if err := r.Err(); err != nil {
			s.fail(at, "%v", err)
			return false
		}
		if s.segments += segments(r); s.segments > MaxSegments {
			s.fail(at, "expected at most %d lines and arcs in all outlines", MaxSegments)
			return false
		}
		dst.Set(reflect.ValueOf(r))
		return true
	}
}

// outlines is the mapping of named outlines. Nothing is kept in it: who uses
// one asks the scene.
type outlines struct{}

// use is a reference to a named outline.
type use struct {
	name string
	node *yaml.Node
	key  string
}

// allOutlines reads the named outlines; a name may be used before it stands.
func (d *decoder) allOutlines(n *yaml.Node, key string) setter {
	m, ok := d.named(n, key)
	d.outlines.unsure = !ok
	for _, e := range m {
		d.checkName(e.Key, key, e.Name)
		d.outlines.known[e.Name] = nil
	}
	uses := map[string][]use{}
	for _, e := range m {
		d.uses = nil
		d.outlines.known[e.Name] = d.outline(e.Value, written.Join(key, e.Name))
		uses[e.Name] = d.uses
	}
	d.cycles(m, uses)
	return func(*scene, reflect.Value) bool { return true }
}

// cycles records it as a mistake where an outline contains itself, once a
// cycle, at the use that closes it.
func (d *decoder) cycles(m written.Mapping, uses map[string][]use) {
	done := map[string]bool{}
	var chain []string
	var visit func(name string)
	visit = func(name string) {
		if done[name] {
			return
		}
		chain = append(chain, name)
		for _, u := range uses[name] {
			if i := slices.Index(chain, u.name); i >= 0 {
				d.Fail(u.node, u.key, "expected an outline that does not contain itself, found %s", strings.Join(append(slices.Clone(chain[i:]), u.name), " in "))
				continue
			}
			visit(u.name)
		}
		chain = chain[:len(chain)-1]
		done[name] = true
	}
	for _, e := range m {
		visit(e.Name)
	}
}

// reference reads the name of an outline.
func (d *decoder) reference(n *yaml.Node, key string) setter {
	if _, ok := d.outlines.known[n.Value]; !ok {
		if !d.outlines.unsure {
			d.unknown(n, key, "outline", n.Value, maps.Keys(d.outlines.known))
		}
		return nil
	}
	d.uses = append(d.uses, use{n.Value, n, key})
	return func(s *scene, dst reflect.Value) bool {
		r, ok := s.outline(n.Value)
		dst.Set(reflect.ValueOf(r))
		return ok
	}
}

// factors reads one number or [x, y].
func (d *decoder) factors(n *yaml.Node, key string) setter {
	m := measures[reflect.TypeFor[ratio]()]
	if n.Kind == yaml.SequenceNode {
		return pair(reflect.TypeFor[factors]()).read(d, n, key)
	}
	both := d.quantity(n, key, m)
	return func(s *scene, dst reflect.Value) bool {
		v, ok := both(s)
		dst.Set(reflect.ValueOf(factors{ratio(v), ratio(v)}))
		return ok
	}
}
