package form

import (
	"errors"
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strconv"

	"gopkg.in/yaml.v3"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/layers/written"
)

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
