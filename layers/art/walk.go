package art

import (
	"fmt"
	"strings"

	"github.com/tdewolff/canvas"

	"github.com/platewright/platewright/layers/written"
)

// shape is a shape as it lies on the page.
type shape struct {
	element *element
	toPage  matrix
	style   style
	asked   bool // asked for by its own id, or by that of a use of it
}

// walker visits the shapes of an element.
type walker struct {
	d      Drawing
	visit  func(s shape, p *canvas.Path) error
	visits int
	points int
	using  map[*element]bool // what is being used around the current element
}

// shapes calls visit for each shape of the element with that id that is not
// hidden, with its path in user units.
func (d Drawing) shapes(id string, visit func(s shape, p *canvas.Path) error) error {
	if d.root == nil {
		return d.fail(nil, "there is no element %q; the drawing is empty", id)
	}
	target, err := d.find(id)
	if err != nil {
		return err
	}
	if odd := d.rules.odd; odd != nil {
		return d.fail(odd, "the rule %.40q is not read; save the drawing with its styles as attributes, or as plain SVG", d.rules.text)
	}
	var around []*element // from the root to the target
	for e := target.parent; e != nil; e = e.parent {
		around = append([]*element{e}, around...)
	}
	m, s := identity, initial
	for _, e := range around {
		if s, err = d.styled(e, s); err != nil {
			return err
		}
		if s.off {
			return d.fail(target, "is hidden, as %s in line %d is; show it", name(e), e.line)
		}
		if m, err = d.inside(e, m); err != nil {
			return err
		}
	}
	w := &walker{d: d, visit: visit, using: map[*element]bool{}}
	group := target.name == "g" || target.name == "a" || target.name == "svg" || target.name == "symbol" || target.name == "use"
	if own, err := d.styled(target, s); err == nil && (own.off || own.hidden && !group) {
		return d.fail(target, "is hidden; show it")
	}
	return w.walk(target, m, s, len(around)+1, true)
}

// name names an element in a message.
func name(e *element) string {
	if e.id != "" {
		return fmt.Sprintf("<%s> %q", e.name, e.id)
	}
	return "<" + e.name + ">"
}

// inside returns the matrix for the children of e, m being the one for e.
func (d Drawing) inside(e *element, m matrix) (matrix, error) {
	if s := e.attrs["transform"]; s != "" {
		t, err := transform(s)
		if err != nil {
			return matrix{}, d.fail(e, "transform: %v", err)
		}
		m = m.mul(t)
	}
	if e.name != "svg" {
		return m, nil
	}
	if e == d.root {
		return m.mul(d.page.toPage), nil
	}
	x, err := d.length(e, "x")
	if err != nil {
		return matrix{}, err
	}
	y, err := d.length(e, "y")
	if err != nil {
		return matrix{}, err
	}
	return d.viewport(e, e, m.mul(translate(x, y)))
}

// viewport returns the matrix for the children of e, a nested svg or a symbol,
// whose upper left corner m has moved to the origin. sized is the element that
// tells its size.
func (d Drawing) viewport(e, sized *element, m matrix) (matrix, error) {
	b, boxed, err := d.viewBox(e)
	if err != nil || !boxed {
		return m, err
	}
	var size [2]float64
	for i, name := range []string{"width", "height"} {
		from := sized
		if from.attrs[name] == "" {
			from = e
		}
		if a := from.attrs[name]; a == "" || a == "auto" || strings.HasSuffix(a, "%") {
			return matrix{}, d.fail(from, "%s: expected a length, found %.20q; a nested drawing needs its own size", name, a)
		}
		if size[i], err = d.length(from, name); err != nil {
			return matrix{}, err
		}
		if size[i] <= 0 {
			return matrix{}, d.fail(from, "%s: expected a positive length", name)
		}
	}
	fit, err := d.fit(e, b, size[0], size[1])
	return m.mul(fit), err
}

// walk visits e, which lies at depth, with the matrix and the style of what is
// around it.
func (w *walker) walk(e *element, m matrix, outer style, depth int, asked bool) error {
	d := w.d
	w.visits++
	switch {
	case w.visits > maxVisits:
		return d.fail(e, "expected at most %d elements, uses followed", maxVisits)
	case depth > maxDepth:
		return d.fail(e, "expected at most %d elements inside each other, uses followed", maxDepth)
	case ignored(e.name) && !(asked && e.name == "symbol"):
		return nil
	}
	s, err := d.styled(e, outer)
	if err != nil || s.off {
		return err
	}
	switch e.name {
	case "g", "a", "svg", "symbol":
		if m, err = d.inside(e, m); err != nil {
			return err
		}
		return w.children(e, m, s, depth)
	case "use":
		return w.use(e, m, s, depth, asked)
	case "path", "rect", "circle", "ellipse", "polygon", "polyline", "line":
	default:
		return d.refuse(e)
	}
	if s.hidden {
		return nil
	}
	if m, err = d.inside(e, m); err != nil {
		return err
	}
	if !m.finite() {
		return d.fail(e, "its transforms are beyond all sizes")
	}
	p, err := d.path(e)
	if err != nil {
		return err
	}
	if w.points += p.Len(); w.points > maxPoints {
		return d.fail(e, "expected at most %d points; simplify the paths", maxPoints)
	}
	return w.visit(shape{e, m, s, asked}, p)
}

func (w *walker) children(e *element, m matrix, s style, depth int) error {
	for _, c := range e.children {
		if err := w.walk(c, m, s, depth+1, false); err != nil {
			return err
		}
	}
	return nil
}

// use visits what a use element refers to.
func (w *walker) use(e *element, m matrix, s style, depth int, asked bool) error {
	d := w.d
	href := e.attrs["href"]
	id, local := strings.CutPrefix(href, "#")
	if !local || id == "" {
		return d.fail(e, "expected a use of an element of this file, found %.60q; nothing outside is ever fetched, so paste it into the drawing", href)
	}
	all := d.byID[id]
	if len(all) == 0 {
		text := fmt.Sprintf("uses %.60q, which is not in the drawing", id)
		if near := written.Nearest(id, d.IDs()); near != "" {
			text += fmt.Sprintf("; nearest is %q", near)
		}
		return d.fail(e, "%s", text)
	}
	target := all[0]
	if w.using[target] || within(e, target) {
		return d.fail(e, "uses %q, which it is part of itself; break the ring", id)
	}
	x, err := d.length(e, "x")
	if err != nil {
		return err
	}
	y, err := d.length(e, "y")
	if err != nil {
		return err
	}
	if m, err = d.inside(e, m); err != nil {
		return err
	}
	m = m.mul(translate(x, y))
	w.using[target] = true
	defer delete(w.using, target)
	if target.name != "symbol" && target.name != "svg" {
		return w.walk(target, m, s, depth+1, asked)
	}
	// A symbol or a drawing inside it may take its size from the use.
	if s, err = d.styled(target, s); err != nil || s.off {
		return err
	}
	if target == d.root {
		return d.fail(e, "uses the whole drawing, which it is part of itself; break the ring")
	}
	if t := target.attrs["transform"]; t != "" {
		n, err := transform(t)
		if err != nil {
			return d.fail(target, "transform: %v", err)
		}
		m = m.mul(n)
	}
	tx, err := d.length(target, "x")
	if err != nil {
		return err
	}
	ty, err := d.length(target, "y")
	if err != nil {
		return err
	}
	if m, err = d.viewport(target, e, m.mul(translate(tx, ty))); err != nil {
		return err
	}
	w.visits++
	return w.children(target, m, s, depth+1)
}

// within reports whether e is target or lies inside it.
func within(e, target *element) bool {
	for ; e != nil; e = e.parent {
		if e == target {
			return true
		}
	}
	return false
}

// ignored reports whether elements of that name show nothing by themselves.
func ignored(name string) bool {
	switch name {
	case "defs", "symbol", "title", "desc", "metadata", "style", "script", "view", "clipPath", "mask", "filter", "marker", "pattern",
		"linearGradient", "radialGradient", "solidcolor", "hatch", "mesh", "meshgradient", "cursor", "font", "font-face":
		return true
	}
	return false
}

// refuse explains why e can't be cut along.
func (d Drawing) refuse(e *element) error {
	switch e.name {
	case "text", "tspan", "textPath", "tref", "flowRoot", "flowPara", "flowRegion":
		return d.fail(e, "text is not read; convert the text to paths")
	case "image":
		return d.fail(e, "an image has no outline; trace it to paths, or remove it")
	case "foreignObject", "iframe", "video", "audio", "canvas":
		return d.fail(e, "what is no SVG has no outline; remove it")
	case "animate", "animateTransform", "animateMotion", "animateColor", "set", "mpath":
		return d.fail(e, "a plate does not move; remove the animation")
	case "switch":
		return d.fail(e, "a switch shows one of several drawings; keep the one that is meant")
	}
	if ignored(e.name) {
		return d.fail(e, "shows nothing by itself; name a shape or a group")
	}
	return d.fail(e, "is no shape that can be read; convert it to a path, or remove it")
}
