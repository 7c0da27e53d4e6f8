package art

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"regexp"
	"strings"

	"github.com/platewright/platewright/layers/written"
)

const (
	maxBytes    = 64 << 20 // of the file
	maxDepth    = 64       // of elements, uses followed
	maxElements = 1_000_000
	maxVisits   = 100_000   // of elements in one call, uses followed
	maxPoints   = 1_000_000 // of all outlines that one call looks at
)

// Drawing is a drawing as it was read. It is immutable; the zero Drawing is
// empty.
type Drawing struct {
	file  string
	root  *element
	order []*element            // those with an id that may be asked for
	byID  map[string][]*element // all with an id
	rules sheet
	page  page
}

// element is an element of the drawing.
type element struct {
	name         string // in the namespace of SVG
	id           string
	attrs        map[string]string // without namespace; href also from xlink
	text         string            // of a style element
	line, column int
	parent       *element
	children     []*element
}

// namespace is the one whose elements are read; files without any are taken to
// mean it.
const namespace = "http://www.w3.org/2000/svg"

// Open reads the drawing called name of fsys. What makes a single shape
// unusable is told when it is asked for. The error holds a [written.Error] with
// the place.
func Open(fsys fs.FS, name string) (d Drawing, err error) {
	f, err := fsys.Open(name)
	if err != nil {
		return Drawing{}, fmt.Errorf("open drawing: %w", err)
	}
	defer func() {
		if cerr := f.Close(); cerr != nil && err == nil {
			d, err = Drawing{}, fmt.Errorf("close drawing %s: %w", name, cerr)
		}
	}()
	d = Drawing{file: name, byID: map[string][]*element{}}
	if err := d.read(f); err != nil {
		return Drawing{}, fmt.Errorf("read drawing: %w", err)
	}
	return d, nil
}

// fail returns an error at e.
func (d Drawing) fail(e *element, format string, args ...any) error {
	w := &written.Error{File: d.file, Message: fmt.Sprintf(format, args...)}
	if e != nil {
		w.Line, w.Column = e.line, e.column
		w.Key = e.name
		if e.id != "" {
			w.Key = fmt.Sprintf("%s %q", e.name, e.id)
		}
	}
	return w
}

// read reads the elements.
func (d *Drawing) read(r io.Reader) error {
	limited := &io.LimitedReader{R: r, N: maxBytes + 1}
	dec := xml.NewDecoder(limited)
	var open []*element // nil for elements of other namespaces and what is in them
	count := 0
	for {
		line, column := dec.InputPos()
		at := func(format string, args ...any) error {
			return &written.Error{File: d.file, Line: line, Column: column, Message: fmt.Sprintf(format, args...)}
		}
		token, err := dec.Token()
		if limited.N <= 0 {
			return at("expected at most %d bytes", maxBytes)
		}
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return d.malformed(err, at)
		}
		switch token := token.(type) {
		case xml.Directive:
			if strings.Contains(strings.ToUpper(string(token)), "ENTITY") {
				return at("entity declarations are not read; save the drawing as plain SVG")
			}
		case xml.StartElement:
			count++
			switch {
			case len(open) >= maxDepth:
				return at("expected at most %d elements inside each other", maxDepth)
			case count > maxElements:
				return at("expected at most %d elements", maxElements)
			}
			e := &element{name: token.Name.Local, line: line, column: column}
			outside := len(open) > 0 && open[len(open)-1] == nil
			if outside || token.Name.Space != namespace && token.Name.Space != "" {
				if len(open) == 0 {
					return at("expected an SVG drawing, found <%s> of another namespace", token.Name.Local)
				}
				open = append(open, nil)
				continue
			}
			e.take(token.Attr)
			if len(open) == 0 {
				if e.name != "svg" {
					return at("expected an SVG drawing, found <%s>", e.name)
				}
				if d.root != nil {
					return at("expected one drawing, found a second one")
				}
				d.root = e
			} else {
				e.parent = open[len(open)-1]
				e.parent.children = append(e.parent.children, e)
			}
			if e.id != "" {
				d.byID[e.id] = append(d.byID[e.id], e)
				if e.parent != nil && drawn(e.name) {
					d.order = append(d.order, e)
				}
			}
			open = append(open, e)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			if n := len(open); n > 0 && open[n-1] != nil && open[n-1].name == "style" {
				open[n-1].text += string(token)
			}
		}
	}
	if d.root == nil {
		return &written.Error{File: d.file, Line: 1, Column: 1, Message: "expected an SVG drawing, found an empty file"}
	}
	var err error
	if d.rules, err = d.styles(d.root); err != nil {
		return err
	}
	d.page, err = d.readPage()
	return err
}

var unknownEntity = regexp.MustCompile(`invalid character entity &([^;\s]*)`)

// malformed explains an error of the XML decoder.
func (d Drawing) malformed(err error, at func(format string, args ...any) error) error {
	var syntax *xml.SyntaxError
	var system *fs.PathError
	switch {
	case errors.As(err, &system): // the file could not be read; that is no fault of what it says
		return err
	case errors.As(err, &syntax):
		w := &written.Error{File: d.file, Line: syntax.Line, Message: "not valid XML: " + syntax.Msg}
		if unknownEntity.MatchString(syntax.Msg) {
			w.Message += "; save the drawing as plain SVG"
		}
		return w
	case strings.Contains(err.Error(), "CharsetReader"):
		return at("expected UTF-8; save the drawing in that encoding (%v)", err)
	}
	return at("not valid XML: %v", err)
}

// take keeps the attributes that may matter: those without a namespace, and the
// old form of href.
func (e *element) take(attrs []xml.Attr) {
	e.attrs = map[string]string{}
	for _, a := range attrs {
		switch a.Name.Space {
		case "":
			e.attrs[a.Name.Local] = strings.TrimSpace(a.Value)
		case "http://www.w3.org/1999/xlink", "xlink":
			if _, ok := e.attrs["href"]; !ok && a.Name.Local == "href" {
				e.attrs["href"] = strings.TrimSpace(a.Value)
			}
		}
	}
	e.id = e.attrs["id"]
}

// drawn reports whether elements of that name may be asked for.
func drawn(name string) bool {
	switch name {
	case "path", "rect", "circle", "ellipse", "polygon", "polyline", "line", "g", "a", "svg", "use", "symbol":
		return true
	}
	return false
}

// IDs returns the ids that may be asked for, in the order of the file.
func (d Drawing) IDs() []string {
	out := make([]string, 0, len(d.order))
	for _, e := range d.order {
		out = append(out, e.id)
	}
	return out
}

// Size returns the width and the height of the page, mm.
func (d Drawing) Size() (width, height float64) { return d.page.width, d.page.height }

// find returns the element with that id.
func (d Drawing) find(id string) (*element, error) {
	all := d.byID[id]
	switch {
	case len(all) > 1:
		return nil, d.fail(all[1], "the id stands twice, first in line %d; give one of them another", all[0].line)
	case len(all) == 0:
		text := fmt.Sprintf("there is no element %q", id)
		if h := written.Hint(id, d.IDs()); h != "" {
			text += "; " + h
		} else {
			text += "; no element has an id"
		}
		return nil, d.fail(nil, "%s", text)
	case all[0].parent == nil || drawn(all[0].name):
		return all[0], nil
	}
	return nil, d.refuse(all[0])
}
