package form

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"

	"gopkg.in/yaml.v3"

	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/art"
	"github.com/platewright/platewright/layers/written"
)

type (
	// drawing is a filled shape out of a drawing, read once with the form.
	drawing struct{ region layers.Region }
	// strokes is the lines of a shape out of a drawing.
	strokes []layers.Line
)

// extract is the written form of both.
type extract struct {
	File string `form:"required"` // an SVG drawing, named relative to this file
	ID   string `form:"required"` // the id of the shape in it
}

// drawing reads a shape of a drawing.
func (d *decoder) drawing(n *yaml.Node, key string) setter {
	return extracted(d, n, key, func(a art.Drawing, id string) (drawing, error) {
		r, err := a.Region(id)
		return drawing{r}, err
	})
}

// strokes reads the lines of a shape of a drawing.
func (d *decoder) strokes(n *yaml.Node, key string) setter {
	return extracted(d, n, key, func(a art.Drawing, id string) (strokes, error) { return a.Lines(id) })
}

// extracted reads an extract and takes what it means out of the drawing.
func extracted[T any](d *decoder, n *yaml.Node, key string, take func(art.Drawing, string) (T, error)) setter {
	var x extract
	before := d.Failed()
	set := d.record(n, key, reflect.TypeFor[extract]())
	if d.Failed() > before {
		return nil
	}
	set(nil, reflect.ValueOf(&x).Elem())
	m, _ := d.Entries(n, key)
	file, id := m.Get("file"), m.Get("id")
	a, ok := d.open(file, key+".file", x.File)
	if !ok {
		return nil
	}
	var got T
	cached := fmt.Sprintf("%T %q %q", got, x.File, x.ID)
	if old, ok := d.extracts[cached]; ok {
		return fixed(old)
	}
	all := a.IDs()
	if d.Failed() >= hinted && !slices.Contains(all, x.ID) {
		d.unknown(id, key+".id", "shape", x.ID, slices.Values(all)) // and no search for the nearest
		return nil
	}
	got, err := take(a, x.ID)
	var mistake *written.Error
	switch {
	case err == nil:
	case errors.As(err, &mistake) && mistake.Line == 0: // nothing in the drawing has that id
		d.unknown(id, key+".id", "shape", x.ID, slices.Values(all))
		return nil
	default: // what has it cannot be cut along
		d.Fail(id, key+".id", "%v", err)
	}
	d.extracts[cached] = got
	return fixed(got)
}

// open returns the drawing. One that cannot be opened is one mistake, however
// often it is used.
func (d *decoder) open(n *yaml.Node, key, file string) (art.Drawing, bool) {
	path, ok := d.inside(n, key, file)
	if !ok {
		return art.Drawing{}, false
	}
	a, known := d.drawings[path]
	if !known {
		if read, err := art.Open(d.fsys, path); err != nil {
			d.Fail(n, key, "%v", err)
		} else {
			a = &read
		}
		d.drawings[path] = a
	}
	if a == nil {
		return art.Drawing{}, false
	}
	return *a, true
}

func (w *describer) drawing() schema {
	return w.define("art", func() schema { return w.record(reflect.TypeFor[extract]()) })
}

// drawnLines is the strokes of a shape, modified.
type drawnLines struct {
	Art strokes `form:"required"` // lines from a drawing
	modifiers
}

// score is what a score mark follows.
type score []layers.Line

// scoreTolerance is how far a scored polyline may lie from its arc, mm.
const scoreTolerance = art.LineTolerance

// score reads polylines, the lines of a drawing, or an outline for its edge.
func (d *decoder) score(n *yaml.Node, key string) setter {
	if n.Kind == yaml.SequenceNode {
		k, _ := kindOf(reflect.TypeFor[[]layers.Line]())
		return k.read(d, n, key)
	}
	if m := d.mapping(n); m.Has("art") {
		set := d.record(n, key, reflect.TypeFor[drawnLines]())
		return func(s *scene, dst reflect.Value) bool {
			var x drawnLines
			ok := set(s, reflect.ValueOf(&x).Elem())
			dst.Set(reflect.ValueOf(score(x.lines(x.Art))))
			return ok
		}
	}
	set := d.outline(n, key)
	return func(s *scene, dst reflect.Value) bool {
		var r layers.Region
		ok := set(s, reflect.ValueOf(&r).Elem())
		if ok {
			dst.Set(reflect.ValueOf(edges(r)))
		}
		return ok
	}
}

// lines applies m to lines as modify does to a region.
func (m modifiers) lines(lines []layers.Line) []layers.Line {
	var shift layers.Point
	if m.Centre {
		shift = middle(lines).Mul(-1)
	}
	out := make([]layers.Line, len(lines))
	for i, line := range lines {
		for _, p := range line {
			p = p.Add(shift)
			if m.Mirror != nil {
				u := m.Mirror.Unit()
				p = u.Mul(2 * u.Dot(p)).Sub(p)
			}
			if m.Scale != nil {
				p = layers.Point{X: p.X * float64(m.Scale.X), Y: p.Y * float64(m.Scale.Y)}
			}
			out[i] = append(out[i], p.Turned(m.Turn).Add(m.Move))
		}
	}
	return out
}

// middle returns the middle of the bounds of lines.
func middle(lines []layers.Line) layers.Point {
	inf := math.Inf(1)
	b := layers.Box{Min: layers.Point{X: inf, Y: inf}, Max: layers.Point{X: -inf, Y: -inf}}
	for _, p := range slices.Concat(lines...) {
		b.Min = layers.Point{X: min(b.Min.X, p.X), Y: min(b.Min.Y, p.Y)}
		b.Max = layers.Point{X: max(b.Max.X, p.X), Y: max(b.Max.Y, p.Y)}
	}
	if b.Empty() {
		return layers.Point{}
	}
	return b.Centre()
}

// edges returns the boundaries of r as closed polylines.
func edges(r layers.Region) score {
	var out score
	for c := range r.Contours() {
		var line layers.Line
		for i, g := range c.Segments {
			if i == 0 {
				line = append(line, g.From)
			}
			line = append(line, flat(g)...)
		}
		out = append(out, line)
	}
	return out
}

// flat returns the points of g after its first.
func flat(g layers.Segment) []layers.Point {
	n := 1
	if g.Radius > 0 {
		step := 2 * math.Acos(max(0, 1-scoreTolerance/g.Radius)) // the chord whose sagitta is the tolerance
		n = max(1, int(math.Ceil(math.Abs(g.Sweep.Radians())/step)))
	}
	var out []layers.Point
	for i := 1; i < n; i++ {
		turn := g.Sweep * layers.Degrees(i) / layers.Degrees(n)
		out = append(out, g.Centre.Add(g.From.Sub(g.Centre).Turned(turn)))
	}
	return append(out, g.To)
}
