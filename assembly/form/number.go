package form

import (
	"fmt"
	"math"
	"reflect"
	"regexp"

	"gopkg.in/yaml.v3"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/written"
)

const (
	// MaxLength is the greatest length or coordinate, mm either way from 0.
	MaxLength = 100_000
	// MaxCount is the most copies, sides or pieces that one number may ask for.
	MaxCount = 1000
)

// unit is what a number counts, as powers: {1, 0} is mm, {0, 1} degrees. The
// zero unit is a plain number, which may stand for any other.
type unit struct{ mm, deg float64 }

var (
	inMM  = unit{mm: 1}
	inDeg = unit{deg: 1}
)

func (u unit) String() string {
	switch u {
	case inMM:
		return "a length"
	case inDeg:
		return "an angle"
	}
	return "a plain number"
}

// clash reports whether u and v are a length and an angle. Whatever else an
// expression mixes may be meant.
func (u unit) clash(v unit) bool {
	return u == inMM && v == inDeg || u == inDeg && v == inMM
}

func fraction(s string) (float64, error) {
	return written.Quantity(s, map[string]float64{"": 1, "%": 0.01})
}

// measure is a kind of number: how a literal is read, and what holds for the
// value.
type measure struct {
	name        string // in the schema
	unit        unit
	parse       func(string) (float64, error)
	least, most float64
	positive    bool // 0 itself is out
	whole       bool
}

func degrees(s string) (float64, error) {
	return written.Quantity(s, map[string]float64{"": 1, "deg": 1, "°": 1})
}

// measures tells by Go type how a number is written.
var measures = map[reflect.Type]measure{
	reflect.TypeFor[float64]():         {name: "length", unit: inMM, parse: written.Length, least: -MaxLength, most: MaxLength},
	reflect.TypeFor[distance]():        {name: "distance", unit: inMM, parse: written.Length, least: 0, most: MaxLength},
	reflect.TypeFor[side]():            {name: "side", unit: inMM, parse: written.Length, least: 0, most: MaxLength, positive: true},
	reflect.TypeFor[layers.Degrees]():  {name: "angle", unit: inDeg, parse: degrees, least: -MaxLength, most: MaxLength},
	reflect.TypeFor[joints.Fraction](): {name: "fraction", parse: fraction, least: -1000, most: 1000},
	reflect.TypeFor[ratio]():           {name: "ratio", parse: written.Number, least: -1000, most: 1000},
	reflect.TypeFor[int]():             {name: "count", parse: written.Number, least: -MaxCount, most: MaxCount, whole: true},
	reflect.TypeFor[times]():           {name: "times", parse: written.Number, least: 1, most: MaxCount, whole: true},
	reflect.TypeFor[sides]():           {name: "sides", parse: written.Number, least: 3, most: MaxCount, whole: true},
}

// The numbers of the form's own structs, where the range is narrower than that
// of the plain Go type.
type (
	distance float64 // mm, not negative
	side     float64 // mm, above 0
	ratio    float64
	times    int // 1 or more
	sides    int // 3 or more
)

// noun says what is expected: "a length from 0 to 100000".
func (m measure) noun() string {
	what := m.unit.String()
	if m.whole {
		what = "a whole number"
	}
	if m.positive {
		return fmt.Sprintf("%s above 0 and at most %g", what, m.most)
	}
	return fmt.Sprintf("%s from %g to %g", what, m.least, m.most)
}

// holds reports whether v is such a number. NaN never is.
func (m measure) holds(v float64) bool {
	return v >= m.least && v <= m.most && (v != 0 || !m.positive) && (!m.whole || v == math.Trunc(v))
}

// literal is a number with or without a unit, as opposed to an expression.
// What begins like a decimal comma is let through for the better message.
var literal = regexp.MustCompile(`^\s*[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]+)?(\s*[\p{L}°%]*|,[0-9]+)\s*$`)

// quantity reads a number, a number with its unit, or an expression.
func (d *decoder) quantity(n *yaml.Node, key string, m measure) func(*scene) (float64, bool) {
	if n.Kind != yaml.ScalarNode || n.ShortTag() == "!!null" || n.ShortTag() == "!!bool" {
		d.Fail(n, key, "expected %s, found %s", m.unit, written.Kind(n))
		return nil
	}
	if tag := n.ShortTag(); tag == "!!int" || tag == "!!float" || literal.MatchString(n.Value) {
		v, err := m.parse(n.Value)
		if err != nil {
			d.Fail(n, key, "%v", err)
			return nil
		}
		if !m.holds(v) {
			d.Fail(n, key, "expected %s, found %g", m.noun(), v)
		}
		return func(*scene) (float64, bool) { return v, true }
	}
	e, ok := d.expression(n, key)
	if !ok {
		return nil
	}
	if e.unit.clash(m.unit) {
		d.Fail(n, key, "expected %s, found %s: %s", m.unit, e.unit, clip(n.Value))
		return nil
	}
	judge := func(v float64) (string, bool) {
		return fmt.Sprintf("expected %s; %s is %g", m.noun(), clip(n.Value), v), m.holds(v)
	}
	if e.constant {
		v := e.eval(nil)
		if text, ok := judge(v); !ok {
			d.Fail(n, key, "%s", text)
		}
		return func(*scene) (float64, bool) { return v, true }
	}
	at := d.place(n, key)
	return func(s *scene) (float64, bool) {
		before := s.failures
		v := e.eval(s)
		if s.failures > before {
			return 0, false
		}
		text, ok := judge(v)
		if !ok {
			s.fail(at, "%s", text)
		}
		return v, ok
	}
}

// number reads a number into a float64 or int.
func (d *decoder) number(n *yaml.Node, key string, m measure) setter {
	q := d.quantity(n, key, m)
	return func(s *scene, dst reflect.Value) bool {
		v, ok := q(s)
		if !ok {
			return false
		}
		if dst.CanInt() {
			dst.SetInt(int64(v))
		} else {
			dst.SetFloat(v)
		}
		return true
	}
}

// clip shortens text that is quoted in a message.
func clip(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		s = string(r[:most]) + "…"
	}
	return s
}
