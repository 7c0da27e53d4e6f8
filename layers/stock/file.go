package stock

import (
	"fmt"
	"io/fs"
	"maps"
	"regexp"
	"slices"
	"strings"
	"time"
	"unicode"

	"gopkg.in/yaml.v3"

	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/written"
)

// Open reads the materials file called name of fsys and returns base with its
// materials in it: those that base knows are changed field by field, others are
// new. Each figure that the file gives has the file and line as its source.
// Where the file is wrong, the error holds a [written.Errors] with all mistakes
// in it and the library is empty. See the package comment for the form.
func Open(fsys fs.FS, name string, base layers.Library) (layers.Library, error) {
	root, err := written.Open(fsys, name)
	if err != nil {
		return layers.Library{}, fmt.Errorf("read materials: %w", err)
	}
	lib, err := read(root, name, base)
	if err != nil {
		return layers.Library{}, fmt.Errorf("read materials: %w", err)
	}
	return lib, nil
}

// materialKeys are the fields of a material in the file.
var materialKeys = []string{
	"like", "kind", "nominal", "thickness", "tolerance", "kerf", "density", "modulus", "strain", "friction",
	"grain", "sheet", "price", "speed", "pens", "picture", "sources",
}

// file reads the materials of one file.
type file struct {
	written.Reader
	base    layers.Library
	entries map[string]written.Entry
	done    map[string]layers.Material // zero where the material is wrong
	open    map[string]bool            // materials that wait for what they are like
}

// most is how many materials a file may hold.
const most = 1000

func read(root *yaml.Node, name string, base layers.Library) (layers.Library, error) {
	f := &file{
		Reader: written.Reader{File: name}, base: base,
		entries: map[string]written.Entry{}, done: map[string]layers.Material{}, open: map[string]bool{},
	}
	var entries written.Mapping
	if top, ok := f.Fields(root, "", "materials"); ok {
		if list := top.Get("materials"); list == nil {
			f.Fail(root, "materials", "expected a mapping from names to materials, found nothing")
		} else {
			entries, _ = f.Entries(list, "materials")
			if len(entries) > most {
				f.Fail(list, "materials", "expected at most %d materials, found %d", most, len(entries))
				entries = nil
			}
		}
	}
	for _, e := range entries {
		f.entries[e.Name] = e
	}
	for _, e := range entries {
		f.material(e)
	}
	if err := f.Err(); err != nil {
		return layers.Library{}, err
	}
	return base.With(slices.Collect(maps.Values(f.done))...), nil
}

// material reads one material, and before it what it is like.
func (f *file) material(e written.Entry) layers.Material {
	if m, ok := f.done[e.Name]; ok {
		return m
	}
	f.done[e.Name] = layers.Material{}
	key := written.Join("materials", e.Name)
	before := f.Failed()
	if e.Name == "" || e.Name != strings.TrimSpace(e.Name) || strings.ContainsRune(e.Name, '=') || strings.ContainsFunc(e.Name, unicode.IsControl) || len(e.Name) > 100 {
		f.Fail(e.Key, "materials", "expected a name of 1 to 100 letters, without =, line breaks or spaces around it, found %.40q", e.Name)
	}
	fields, ok := f.Fields(e.Value, key, materialKeys...)
	if !ok {
		return layers.Material{}
	}
	f.open[e.Name] = true
	m, known := f.start(e, fields, key)
	delete(f.open, e.Name)
	m.Name = e.Name
	f.basics(e, fields, key, &m, known)
	f.figures(fields, key, &m)
	f.looks(fields, key, &m)
	f.sources(fields, key, &m)
	if f.Failed() == before {
		f.done[e.Name] = m
	}
	return f.done[e.Name]
}

// start returns the material that the entry starts from, and whether there is
// one.
func (f *file) start(e written.Entry, fields written.Mapping, key string) (layers.Material, bool) {
	n := fields.Get("like")
	if n == nil {
		m, err := f.base.Find(e.Name)
		if err != nil {
			return layers.Material{Pens: palette, Opacity: 1, Colour: "#C8B090", Sources: map[string]string{"pens": Chosen, "picture": Chosen}}, false
		}
		return m, true
	}
	key = written.Join(key, "like")
	like, ok := f.Text(n, key)
	if !ok {
		return layers.Material{}, true
	}
	if other, here := f.entries[like]; here && like != e.Name {
		if f.open[like] {
			f.Fail(n, key, "expected a material that is not itself like %q, found %q", e.Name, like)
			return layers.Material{}, true
		}
		return f.material(other), true
	}
	m, err := f.base.Find(like)
	if err != nil {
		names := f.base.Names()
		for other := range f.entries {
			if other != e.Name {
				names = append(names, other)
			}
		}
		f.Unknown(n, key, "material", like, names)
	}
	return m, true
}

// given says where the value at n comes from.
func (f *file) given(n *yaml.Node) string { return fmt.Sprintf("given in %s, line %d", f.File, n.Line) }

// figure reads the field of that name from n into m.
func (f *file) figure(n *yaml.Node, key, name string, m *layers.Material) bool {
	field, err := FindField(name)
	if err != nil {
		f.Fail(n, key, "%v", err)
		return false
	}
	v, ok := f.value(n, key, field)
	if !ok {
		return false
	}
	return f.put(n, key, name, v, m)
}

// value reads the written form of a field.
func (f *file) value(n *yaml.Node, key string, field Field) (float64, bool) {
	if field.units == nil {
		return f.Length(n, key)
	}
	return f.Quantity(n, key, field.units)
}

// put sets the field of that name in m, which n gives.
func (f *file) put(n *yaml.Node, key, name string, v float64, m *layers.Material) bool {
	field, err := FindField(name)
	if err == nil {
		var changed layers.Material
		if changed, err = field.With(*m, v, f.given(n)); err == nil {
			*m = changed
			return true
		}
	}
	f.Fail(n, key, "%s", strings.TrimPrefix(err.Error(), name+": "))
	return false
}

// group reads the mapping at n, whose entries are fields of that group: sheet,
// with width, gives sheet-width.
func (f *file) group(n *yaml.Node, key, group string, m *layers.Material, names ...string) {
	entries, _ := f.Fields(n, key, names...)
	for _, e := range entries {
		f.figure(e.Value, written.Join(key, e.Name), group+"-"+e.Name, m)
	}
}

// spread reads a measured length: a number, a mean and a deviation, or
// readings. field is the name of its mean.
func (f *file) spread(n *yaml.Node, key, field string, m *layers.Material) {
	if n.Kind != yaml.MappingNode {
		f.figure(n, key, field, m)
		return
	}
	if entries, ok := f.Fields(n, key, "mean", "sd", "readings"); ok {
		f.meanOf(entries, n, key, field, m)
	}
}

// meanOf reads the entries of a spread.
func (f *file) meanOf(entries written.Mapping, n *yaml.Node, key, field string, m *layers.Material) {
	mean, sd, readings := entries.Get("mean"), entries.Get("sd"), entries.Get("readings")
	switch {
	case readings != nil && (mean != nil || sd != nil):
		f.Fail(n, key, "expected either readings, or a mean and an sd")
	case readings != nil:
		f.readings(readings, written.Join(key, "readings"), field, m)
	case mean == nil && sd == nil:
		f.Fail(n, key, "expected a mean, an sd or readings, found none of them")
	}
	if readings != nil {
		return
	}
	if mean != nil {
		f.figure(mean, written.Join(key, "mean"), field, m)
	}
	if sd != nil {
		f.figure(sd, written.Join(key, "sd"), field+"-sd", m)
	}
}

// readings reads a list of readings. A single one says nothing of the
// deviation, which then stays.
func (f *file) readings(n *yaml.Node, key, name string, m *layers.Material) {
	field, err := FindField(name)
	if err != nil {
		f.Fail(n, key, "%v", err)
		return
	}
	items, ok := f.Items(n, key)
	if !ok {
		return
	}
	if len(items) == 0 {
		f.Fail(n, key, "expected one reading or more, found none")
		return
	}
	var values []float64
	for i, item := range items {
		at := fmt.Sprintf("%s[%d]", key, i+1)
		v, ok := f.value(item, at, field)
		if !ok {
			continue
		}
		if err := field.check(v); err != nil {
			f.Fail(item, at, "%s", strings.TrimPrefix(err.Error(), name+": "))
			continue
		}
		values = append(values, v)
	}
	if len(values) < len(items) {
		return
	}
	s := layers.SpreadOf(values...)
	f.put(n, key, name, s.Mean, m)
	if len(values) > 1 {
		f.put(n, key, name+"-sd", s.SD, m)
	}
}

// basics reads what a material is and how thick.
func (f *file) basics(e written.Entry, fields written.Mapping, key string, m *layers.Material, known bool) {
	kind, nominal, thickness, tolerance := fields.Get("kind"), fields.Get("nominal"), fields.Get("thickness"), fields.Get("tolerance")
	if !known && (kind == nil || nominal == nil) {
		text := fmt.Sprintf("expected kind and nominal, which a new material needs, or like: a material to start from; %q is not built in", e.Name)
		if near := written.Nearest(e.Name, f.base.Names()); near != "" {
			text += fmt.Sprintf("; nearest is %q", near)
		}
		f.Fail(e.Key, key, "%s", text)
	}
	if kind != nil {
		var words []string
		for _, k := range layers.Kinds() {
			words = append(words, string(k))
		}
		if word, ok := f.OneOf(kind, written.Join(key, "kind"), words...); ok {
			m.Kind = layers.Kind(word)
			*m = m.WithSource(f.given(kind), "kind")
		}
	}
	if nominal != nil && f.figure(nominal, written.Join(key, "nominal"), "nominal", m) {
		if thickness == nil {
			m.Thickness.Mean = m.Nominal
			*m = m.WithSource(nominalOnly, "thickness")
		}
		if tolerance == nil {
			m.Tolerance = layers.Band{}
			*m = m.WithSource(Unpublished, "tolerance", "tolerance-minus", "tolerance-plus")
		}
	}
	if thickness != nil {
		f.spread(thickness, written.Join(key, "thickness"), "thickness", m)
	}
	if tolerance != nil {
		key := written.Join(key, "tolerance")
		if tolerance.Kind == yaml.MappingNode {
			f.group(tolerance, key, "tolerance", m, "minus", "plus")
		} else if f.figure(tolerance, key, "tolerance-minus", m) {
			f.figure(tolerance, key, "tolerance-plus", m)
		}
	}
	if n := fields.Get("grain"); n != nil {
		if grain, ok := f.Bool(n, written.Join(key, "grain")); ok {
			m.Grain = grain
			*m = m.WithSource(f.given(n), "grain")
		}
	}
}

// figures reads the properties that are numbers.
func (f *file) figures(fields written.Mapping, key string, m *layers.Material) {
	for _, e := range fields {
		key := written.Join(key, e.Name)
		switch e.Name {
		case "kerf":
			f.kerf(e.Value, key, m)
		case "density", "friction":
			f.figure(e.Value, key, e.Name, m)
		case "modulus":
			if e.Value.Kind == yaml.MappingNode {
				f.group(e.Value, key, e.Name, m, "along", "across")
			} else {
				f.figure(e.Value, key, e.Name, m)
			}
		case "strain":
			f.group(e.Value, key, e.Name, m, "once", "repeated", "held")
		case "sheet":
			f.group(e.Value, key, e.Name, m, "width", "height", "margin")
		case "speed":
			f.group(e.Value, key, e.Name, m, "cut", "score", "engrave")
		case "price":
			f.price(e.Value, key, m)
		}
	}
}

// kerf reads a kerf. Its date and set-up are those of this measurement.
func (f *file) kerf(n *yaml.Node, key string, m *layers.Material) {
	if n.Kind != yaml.MappingNode {
		f.figure(n, key, "kerf", m)
		return
	}
	entries, ok := f.Fields(n, key, "x", "y", "mean", "sd", "readings", "date", "at")
	if !ok {
		return
	}
	x, y := entries.Get("x"), entries.Get("y")
	both := entries.Has("mean") || entries.Has("sd") || entries.Has("readings")
	switch {
	case both && (x != nil || y != nil):
		f.Fail(n, key, "expected either one width for both directions, or x and y")
	case both:
		f.meanOf(entries, n, key, "kerf", m)
	case x == nil && y == nil && !entries.Has("date") && !entries.Has("at"):
		f.Fail(n, key, "expected x and y, a mean or readings, found none of them")
	}
	if x != nil {
		f.spread(x, written.Join(key, "x"), "kerf-x", m)
	}
	if y != nil {
		f.spread(y, written.Join(key, "y"), "kerf-y", m)
	}
	if d := entries.Get("date"); d != nil {
		key := written.Join(key, "date")
		if text, ok := f.Text(d, key); ok {
			if _, err := time.Parse(time.DateOnly, text); err != nil {
				f.Fail(d, key, "expected a date as 2026-10-02, found %.40q", text)
			}
			m.Kerf.Date = text
		}
	}
	if at := entries.Get("at"); at != nil {
		if text, ok := f.Text(at, written.Join(key, "at")); ok {
			m.Kerf.At = text
		}
	}
}

var currency = regexp.MustCompile(`^[A-Z]{3}$`)

// price reads "14.5 EUR", or a bare number where the currency is known.
func (f *file) price(n *yaml.Node, key string, m *layers.Material) {
	text, ok := f.Text(n, key)
	if !ok {
		return
	}
	number, code, _ := strings.Cut(strings.TrimSpace(text), " ")
	code = strings.TrimSpace(code)
	v, err := written.Number(number)
	switch {
	case err != nil, code == "" && m.Sheet.Currency == "", code != "" && !currency.MatchString(code):
		f.Fail(n, key, "expected a number and the three letters of a currency, 14.5 EUR, found %.40q", text)
	case f.put(n, key, "price", v, m) && code != "":
		m.Sheet.Currency = code
	}
}

var colour = regexp.MustCompile(`^#[0-9A-Fa-f]{6}$`)

// looks reads pens and picture.
func (f *file) looks(fields written.Mapping, key string, m *layers.Material) {
	hue := func(n *yaml.Node, key, source string, into *string) {
		if n.Kind != yaml.ScalarNode || !colour.MatchString(n.Value) {
			// Without its quotes a colour is a comment, and nothing is left.
			f.Fail(n, key, `expected a colour in quotes, "#1a2b3c", found %.40q`, n.Value)
			return
		}
		*into = n.Value
		*m = m.WithSource(f.given(n), source)
	}
	if n := fields.Get("pens"); n != nil {
		key := written.Join(key, "pens")
		entries, _ := f.Fields(n, key, "cut", "inside-cut", "score", "engrave", "label")
		for _, e := range entries {
			into := map[string]*string{
				"cut": &m.Pens.Cut, "inside-cut": &m.Pens.InsideCut, "score": &m.Pens.Score,
				"engrave": &m.Pens.Engrave, "label": &m.Pens.Label,
			}[e.Name]
			hue(e.Value, written.Join(key, e.Name), "pens-"+e.Name, into)
		}
	}
	if n := fields.Get("picture"); n != nil {
		key := written.Join(key, "picture")
		entries, _ := f.Fields(n, key, "colour", "opacity")
		for _, e := range entries {
			if e.Name == "colour" {
				hue(e.Value, written.Join(key, e.Name), "picture-colour", &m.Colour)
				continue
			}
			f.figure(e.Value, written.Join(key, e.Name), "picture-opacity", m)
		}
	}
}

// sources reads what the user says about where figures come from. A source for
// a group replaces those of its fields.
func (f *file) sources(fields written.Mapping, key string, m *layers.Material) {
	n := fields.Get("sources")
	if n == nil {
		return
	}
	key = written.Join(key, "sources")
	known := Properties()
	entries, _ := f.Fields(n, key, known...)
	sources := maps.Clone(m.Sources)
	if sources == nil {
		sources = map[string]string{}
	}
	for _, e := range entries {
		if text, ok := f.Text(e.Value, written.Join(key, e.Name)); ok {
			maps.DeleteFunc(sources, func(k, _ string) bool { return strings.HasPrefix(k, e.Name+"-") })
			sources[e.Name] = text
		}
	}
	m.Sources = sources
}

// Properties returns the names under which a material tells its sources,
// sorted: those of the fields, of their groups, and of what is no number.
func Properties() []string {
	out := []string{"kind", "grain", "pens", "pens-cut", "pens-inside-cut", "pens-score", "pens-engrave", "pens-label", "picture", "picture-colour"}
	for _, f := range fields {
		out = append(out, f.Name)
		if i := strings.LastIndexByte(f.Name, '-'); i > 0 {
			out = append(out, f.Name[:i])
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}
