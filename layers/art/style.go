package art

import (
	"cmp"
	"regexp"
	"slices"
	"strings"
)

// style is what of an element's look matters here.
type style struct {
	fill, stroke bool
	evenOdd      bool
	hidden       bool // visibility, which is handed down
	off          bool // display none, which is not: all below is left out
}

// initial is the style of the outermost element's parent.
var initial = style{fill: true}

// rule is a rule of a style element: selectors that are a name, a class, an id
// or everything.
type rule struct {
	weight       int // id before class before name before everything
	kind, name   string
	declarations map[string]string
}

// sheet is the rules in the order in which they win.
type sheet struct {
	rules []rule
	odd   *element // a style element with a rule that matters and is not read
	text  string   // its selector
}

var (
	comment  = regexp.MustCompile(`(?s)/\*.*?\*/`)
	selector = regexp.MustCompile(`^([.#]?)([A-Za-z_][-\w]*)$`)
)

// matters are the properties that are read.
var matters = []string{"fill", "stroke", "fill-rule", "display", "visibility", "clip-path", "mask", "filter", "transform", "d"}

// styles reads the style elements below e.
func (d Drawing) styles(e *element) (sheet, error) {
	var s sheet
	var walk func(e *element) error
	walk = func(e *element) error {
		if e.name == "style" {
			if err := d.rulesOf(e, &s); err != nil {
				return err
			}
		}
		for _, c := range e.children {
			if err := walk(c); err != nil {
				return err
			}
		}
		return nil
	}
	if err := walk(e); err != nil {
		return sheet{}, err
	}
	slices.SortStableFunc(s.rules, func(a, b rule) int { return cmp.Compare(a.weight, b.weight) })
	return s, nil
}

// rulesOf reads one style element.
func (d Drawing) rulesOf(e *element, s *sheet) error {
	text := comment.ReplaceAllString(e.text, " ")
	if strings.Contains(text, "@import") {
		return d.fail(e, "styles outside the file are never fetched; save the drawing as plain SVG")
	}
	for text = strings.TrimSpace(text); text != ""; text = strings.TrimSpace(text) {
		head, rest, ok := strings.Cut(text, "{")
		if !ok {
			break
		}
		var body string
		if strings.HasPrefix(head, "@") {
			// Skip to the matching brace: what holds under a condition only
			// is not read.
			depth, end := 1, len(rest)
			for i, c := range rest {
				if c == '{' {
					depth++
				} else if c == '}' {
					if depth--; depth == 0 {
						end = i
						break
					}
				}
			}
			if strings.HasPrefix(head, "@media") || strings.HasPrefix(head, "@supports") {
				s.odd, s.text = e, strings.TrimSpace(head)
			}
			text = rest[min(end+1, len(rest)):]
			continue
		}
		body, text, _ = strings.Cut(rest, "}")
		declarations := declared(body)
		for one := range strings.SplitSeq(head, ",") {
			one = strings.TrimSpace(one)
			if one == "*" {
				s.rules = append(s.rules, rule{declarations: declarations})
				continue
			}
			m := selector.FindStringSubmatch(one)
			if m == nil {
				for _, p := range matters {
					if _, ok := declarations[p]; ok {
						s.odd, s.text = e, one
					}
				}
				continue
			}
			s.rules = append(s.rules, rule{map[string]int{"": 1, ".": 2, "#": 3}[m[1]], m[1], m[2], declarations})
		}
	}
	return nil
}

// declared splits "fill:none;stroke:#000" into its properties.
func declared(body string) map[string]string {
	out := map[string]string{}
	for one := range strings.SplitSeq(body, ";") {
		if name, value, ok := strings.Cut(one, ":"); ok {
			value = strings.TrimSpace(strings.Replace(value, "!important", "", 1))
			out[strings.ToLower(strings.TrimSpace(name))] = value
		}
	}
	return out
}

// property returns the value of a property of e itself: its style attribute
// before the rules before its own attribute.
func (d Drawing) property(e *element, name string) string {
	if s, ok := e.attrs["style"]; ok {
		if v, ok := declared(s)[name]; ok {
			return v
		}
	}
	classes := strings.Fields(e.attrs["class"])
	for _, r := range slices.Backward(d.rules.rules) {
		v, ok := r.declarations[name]
		if !ok {
			continue
		}
		switch r.kind {
		case ".":
			ok = slices.Contains(classes, r.name)
		case "#":
			ok = e.id == r.name
		default:
			ok = r.weight == 0 || e.name == r.name
		}
		if ok {
			return v
		}
	}
	return e.attrs[name]
}

// styled returns the style of e inside an element of the given style.
func (d Drawing) styled(e *element, outer style) (style, error) {
	s := outer
	s.off = false
	paint := func(name string, into *bool) {
		switch v := d.property(e, name); v {
		case "", "inherit":
		default:
			*into = v != "none" && v != "transparent"
		}
	}
	paint("fill", &s.fill)
	paint("stroke", &s.stroke)
	switch v := d.property(e, "fill-rule"); v {
	case "", "inherit":
	case "nonzero", "evenodd":
		s.evenOdd = v == "evenodd"
	default:
		return style{}, d.fail(e, "expected the fill rule nonzero or evenodd, found %.40q", v)
	}
	switch v := d.property(e, "visibility"); v {
	case "", "inherit":
	default:
		s.hidden = v != "visible"
	}
	s.off = d.property(e, "display") == "none"
	if s.off {
		return s, nil
	}
	for _, effect := range []struct{ name, cure string }{
		{"clip-path", "cut the shapes with it in the editor and release it"},
		{"mask", "cut the shapes with it in the editor and release it"},
		{"filter", "remove the effect, or trace what it shows"},
	} {
		if v := d.property(e, effect.name); v != "" && v != "none" {
			return style{}, d.fail(e, "a %s is not read; %s", effect.name, effect.cure)
		}
	}
	if s, ok := e.attrs["style"]; ok {
		for _, name := range []string{"transform", "translate", "rotate", "scale", "transform-origin"} {
			if _, ok := declared(s)[name]; ok {
				return style{}, d.fail(e, "a %s inside style is not read; save the drawing as plain SVG", name)
			}
		}
	}
	if _, ok := e.attrs["transform-origin"]; ok {
		return style{}, d.fail(e, "a transform-origin is not read; save the drawing as plain SVG")
	}
	return s, nil
}
