package form

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"iter"
	"maps"
	"reflect"
	"slices"

	"gopkg.in/yaml.v3"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/art"
	"github.com/platewright/platewright/layers/written"
)

// MaxBytes is the size of the largest file that is read where a Reader does
// not say otherwise.
const MaxBytes = 1 << 20

// Reader reads products in their written form. The zero Reader is ready to
// use, by any number of goroutines.
type Reader struct {
	// Kinds is the joints that may be written; nil is [joints.Kinds]. A joint
	// of your own needs nothing else to be written.
	Kinds []joints.Kind
	// MaxBytes is the size of the largest file that is read; 0 is [MaxBytes].
	MaxBytes int64
}

// File is what a file says: the design, and what is not part of it.
type File struct {
	assembly.Design
	About     string // what the product is, for people
	Materials string // path of the user's materials file in the file system; "" where none is named
}

// Read reads the product in the file called name of fsys. The error, where the
// file can be read at all, is [written.Errors]: every mistake at its place.
func (r Reader) Read(fsys fs.FS, name string) (assembly.Design, error) {
	f, err := r.ReadFile(fsys, name)
	return f.Design, err
}

// ReadFile is Read, and returns what else the file says.
func (r Reader) ReadFile(fsys fs.FS, name string) (File, error) {
	root, err := r.parse(fsys, name)
	if err != nil {
		return File{}, err
	}
	d := decoder{
		Reader:     written.Reader{File: name},
		fsys:       fsys,
		kinds:      r.kinds(),
		parameters: known[unit]{known: map[string]unit{}},
		outlines:   known[setter]{known: map[string]setter{}},
		plates:     known[*yaml.Node]{known: map[string]*yaml.Node{}},
		sources:    map[layers.Subject]layers.Source{},
		drawings:   map[string]*art.Drawing{},
		extracts:   map[string]any{},
	}
	set := d.product(root)
	if err := d.Err(); err != nil {
		return File{}, err
	}
	return File{
		Design:    assembly.Design{Name: d.title, Params: d.params, Make: d.design(set)},
		About:     d.about,
		Materials: d.materials,
	}, nil
}

func (r Reader) kinds() []joints.Kind {
	if r.Kinds == nil {
		return joints.Kinds()
	}
	return r.Kinds
}

func (r Reader) parse(fsys fs.FS, name string) (root *yaml.Node, err error) {
	f, err := fsys.Open(name)
	if err != nil {
		return nil, fmt.Errorf("read product: %w", err)
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	most := r.MaxBytes
	if most == 0 {
		most = MaxBytes
	}
	data, err := io.ReadAll(io.LimitReader(f, most+1))
	if err != nil {
		return nil, fmt.Errorf("read product: %s: %w", name, err)
	}
	if int64(len(data)) > most {
		return nil, written.Errors{{File: name, Message: fmt.Sprintf("expected at most %d bytes", most)}}
	}
	return written.Parse(name, data)
}

// known is the names of one kind of thing that the file declares. Where the
// declarations could not be read in full it is unsure, and a name that is not
// known may be right.
type known[T any] struct {
	known  map[string]T
	unsure bool
}

// decoder reads one file.
type decoder struct {
	written.Reader
	fsys       fs.FS
	kinds      []joints.Kind
	title      string
	about      string
	materials  string
	params     []assembly.Param
	parameters known[unit]
	outlines   known[setter]
	uses       []use // of outlines, since the current one of outlines began
	plates     known[*yaml.Node]
	layers     int      // read so far
	standing   bool     // the plates read now are uprights
	stacked    []string // plates of the stack
	sources    map[layers.Subject]layers.Source
	drawings   map[string]*art.Drawing
	extracts   map[string]any // what was taken out of them
}

// product reads the outermost mapping.
func (d *decoder) product(root *yaml.Node) setter {
	fields := fieldsOf(reflect.TypeFor[product]())
	m, ok := d.Fields(root, "", names(fields)...)
	if !ok {
		return nil
	}
	misnamed := d.Failed() > 0
	d.parameters.unsure = misnamed && !m.Has("parameters")
	d.outlines.unsure = misnamed && !m.Has("outlines")
	d.plates.unsure = misnamed && (!m.Has("stack") || !m.Has("uprights"))
	for _, e := range m {
		switch e.Name {
		case "about":
			d.about = e.Value.Value
		case "stack":
			d.source(e.Key, "stack", "")
		}
		if (e.Name == "stack" || e.Name == "uprights") && e.Value.Kind != yaml.SequenceNode {
			d.plates.unsure = true
		}
	}
	return d.fill(m, root, "", fields, misnamed)
}

// hinted is how many mistakes name the nearest of the file's own names: as many
// as the text of [written.Errors] shows. In a hostile file the search would
// take minutes.
const hinted = 50

// unknown records that name, written at n, is none of the names that the file
// itself gives to such things.
func (d *decoder) unknown(n *yaml.Node, key, what, name string, own iter.Seq[string]) {
	var names []string
	if d.Failed() < hinted {
		names = slices.Collect(own)
	}
	d.Unknown(n, key, what, name, names)
}

// mapping returns the entries of n, none where it is no mapping.
func (d *decoder) mapping(n *yaml.Node) written.Mapping {
	if n.Kind != yaml.MappingNode {
		return nil
	}
	m, _ := d.Entries(n, "")
	return m
}

// design returns the function that declares the product.
func (d *decoder) design(set setter) func(assembly.Values) assembly.Product {
	params, shapes, sources := d.params, d.outlines.known, d.sources
	return func(v assembly.Values) assembly.Product {
		s := &scene{
			values:     v,
			parameters: map[string]float64{},
			shapes:     shapes,
			made:       map[string]made{},
			sheets:     map[string]layers.Material{},
		}
		for _, p := range params {
			s.parameters[p.Name] = v.Param(p.Name)
		}
		var w product
		out := assembly.Product{}
		if set(s, reflect.ValueOf(&w).Elem()) {
			out = w.declare()
		}
		for _, m := range s.mistakes.Sorted() {
			v.Fail(m)
		}
		out.Sources = maps.Clone(sources)
		return out
	}
}

// scene is one run of Make: what expressions and outlines are evaluated in.
type scene struct {
	values     assembly.Values
	parameters map[string]float64
	shapes     map[string]setter
	made       map[string]made
	sheets     map[string]layers.Material
	segments   int
	mistakes   written.Errors
	failures   int // mistakes, and those that values noted
}

// made is a named outline that was constructed.
type made struct {
	region layers.Region
	ok     bool
}

// fail notes a mistake that shows only with the parameters and materials at
// hand.
func (s *scene) fail(at written.Error, format string, args ...any) {
	at.Message = fmt.Sprintf(format, args...)
	s.mistakes = append(s.mistakes, &at)
	s.failures++
}

// outline returns the outline of that name, which is constructed once.
func (s *scene) outline(name string) (layers.Region, bool) {
	m, ok := s.made[name]
	if !ok {
		m.ok = s.shapes[name](s, reflect.ValueOf(&m.region).Elem())
		s.made[name] = m
	}
	return m.region, m.ok
}

// thickness returns the measured thickness of the material. One that is not
// known the values note themselves, once.
func (s *scene) thickness(material string) float64 {
	m, ok := s.sheets[material]
	if !ok {
		m = s.values.Material(material)
		s.sheets[material] = m
	}
	if m.Name == "" {
		s.failures++
	}
	return m.Thickness.Mean
}
