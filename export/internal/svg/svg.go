// Package svg writes SVG 1.1 for files that a laser follows: one sticky error,
// fixed decimals, true arcs, and the same bytes for the same calls.
//
// Lengths are user units, which the writers above make millimetres. On the
// page y points down; [Place] turns a plate's plane, whose y points up, over,
// so that up stays up on paper.
package svg

import (
	"bufio"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"github.com/platewright/platewright/layers"
)

// Encoder writes elements in the order it is told to. The first error sticks:
// later calls do nothing and Close returns it.
type Encoder struct {
	w    *bufio.Writer
	open []string
	err  error
}

// Attr is one attribute of an element.
type Attr struct{ Name, Value string }

// A returns the attribute name="value". Numbers are written by [Num].
func A(name string, value any) Attr {
	switch v := value.(type) {
	case string:
		return Attr{name, v}
	case float64:
		return Attr{name, Num(v)}
	}
	return Attr{name, fmt.Sprint(value)}
}

// NewEncoder starts a document of width × height mm.
func NewEncoder(w io.Writer, width, height float64) *Encoder {
	e := &Encoder{w: bufio.NewWriter(w)}
	e.print(`<?xml version="1.0" encoding="UTF-8"?>` + "\n")
	e.Open("svg",
		A("xmlns", "http://www.w3.org/2000/svg"),
		A("version", "1.1"),
		A("width", Num(width)+"mm"),
		A("height", Num(height)+"mm"),
		A("viewBox", fmt.Sprintf("0 0 %s %s", Num(width), Num(height))))
	return e
}

// Open starts an element; End ends it.
func (e *Encoder) Open(name string, attrs ...Attr) {
	e.tag(name, attrs)
	e.print(">\n")
	e.open = append(e.open, name)
}

// End ends the element last opened.
func (e *Encoder) End() {
	last := len(e.open) - 1
	name := e.open[last]
	e.open = e.open[:last]
	e.indent()
	e.print("</" + name + ">\n")
}

// Empty writes an element without content.
func (e *Encoder) Empty(name string, attrs ...Attr) {
	e.tag(name, attrs)
	e.print("/>\n")
}

// Text writes an element that holds s and nothing else.
func (e *Encoder) Text(name, s string, attrs ...Attr) {
	e.tag(name, attrs)
	e.print(">" + escape(s) + "</" + name + ">\n")
}

// Fail makes err the encoder's error where it has none.
func (e *Encoder) Fail(err error) {
	if e.err == nil {
		e.err = err
	}
}

// Close ends every open element and returns the first error.
func (e *Encoder) Close() error {
	for len(e.open) > 0 {
		e.End()
	}
	if e.err == nil {
		e.err = e.w.Flush()
	}
	return e.err
}

func (e *Encoder) tag(name string, attrs []Attr) {
	e.indent()
	e.print("<" + name)
	for _, a := range attrs {
		if a.Name != "id" && a.Name != "class" && (strings.Contains(a.Value, "NaN") || strings.Contains(a.Value, "Inf")) {
			e.Fail(fmt.Errorf("svg: %s of a <%s> is not a finite number", a.Name, name))
		}
		e.print(" " + a.Name + `="` + escape(a.Value) + `"`)
	}
}

func (e *Encoder) indent() { e.print(strings.Repeat("  ", len(e.open))) }

func (e *Encoder) print(s string) {
	if e.err == nil {
		_, e.err = e.w.WriteString(s)
	}
}

// escape makes s fit for text and attributes; what XML cannot hold becomes the
// replacement character.
func escape(s string) string {
	var b strings.Builder
	xml.EscapeText(&b, []byte(s)) // a strings.Builder takes everything
	return b.String()
}

// decimals is what Num keeps: a tenth of a micrometre, where a unit is 1 mm.
const decimals = 4

// Round returns v as Num writes it.
func Round(v float64) float64 {
	const k = 1e4
	return math.Round(v*k)/k + 0 // the sum turns -0 into 0
}

// Num writes v with at most four decimals, no trailing zeros and never "-0".
func Num(v float64) string {
	s := strconv.FormatFloat(Round(v), 'f', decimals, 64)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}

// Place puts a plate's plane on the page: the plane's origin lands at X, Y and
// 1 mm becomes Scale units (0 means 1). Unless Up is set the plane is turned
// over, so that its y axis points up on paper; with Up the numbers are those of
// the plane itself.
type Place struct {
	X, Y  float64
	Scale float64
	Up    bool
}

func (p Place) scale() float64 {
	if p.Scale == 0 {
		return 1
	}
	return p.Scale
}

// Point returns where q lands.
func (p Place) Point(q layers.Point) (x, y float64) {
	k := p.scale()
	if p.Up {
		return p.X + k*q.X, p.Y + k*q.Y
	}
	return p.X + k*q.X, p.Y - k*q.Y
}

func (p Place) xy(q layers.Point) string {
	x, y := p.Point(q)
	return Num(x) + " " + Num(y)
}

// Path returns the path data of contours: absolute coordinates, a line as L,
// an arc as A with its flags set apart. A full circle becomes two half
// circles; any other arc is cut into equal parts of at most a third of a turn,
// because the radius and the rounded ends of a longer one do not determine
// where its centre lies to better than some hundredths of a millimetre.
func (p Place) Path(contours ...layers.Contour) string {
	var b strings.Builder
	for _, c := range contours {
		p.contour(&b, c)
	}
	return b.String()
}

func (p Place) contour(b *strings.Builder, c layers.Contour) {
	if len(c.Segments) == 0 {
		return
	}
	if b.Len() > 0 {
		b.WriteByte(' ')
	}
	if full(c) {
		p.circle(b, c.Segments[0])
		return
	}
	start := p.xy(c.Segments[0].From)
	last := start
	b.WriteString("M " + start)
	for _, s := range c.Segments {
		to := p.xy(s.To)
		switch {
		case to == last: // shorter than what can be written
		case s.Radius != 0:
			p.arc(b, s)
		case to != start: // Z draws the last line
			b.WriteString(" L " + to)
		}
		last = to
	}
	b.WriteString(" Z")
}

// full reports whether c is a whole circle, in however many arcs.
func full(c layers.Contour) bool {
	const same = 1e-9 // mm, degrees
	first, turn := c.Segments[0], layers.Degrees(0)
	for _, s := range c.Segments {
		if s.Radius == 0 || s.Centre.Sub(first.Centre).Len() > same || math.Abs(s.Radius-first.Radius) > same {
			return false
		}
		turn += s.Sweep
	}
	return math.Abs(math.Abs(float64(turn))-360) < 1e-6
}

// circle writes a full circle as two halves between its left and right ends.
// The radius is rounded down, never up: a radius that is too small for the
// ends is enlarged by every reader to fit them exactly, whereas one that is
// too large would move the centre.
func (p Place) circle(b *strings.Builder, s layers.Segment) {
	x, y := p.Point(s.Centre)
	r := s.Radius * p.scale()
	left, right := Round(x-r), Round(x+r)
	radius := Num(math.Floor((right-left)/2*1e4+1e-3) / 1e4)
	half := fmt.Sprintf(" A %s %s 0 0 %s ", radius, radius, p.flag(s.Sweep))
	b.WriteString("M " + Num(left) + " " + Num(y))
	b.WriteString(half + Num(right) + " " + Num(y))
	b.WriteString(half + Num(left) + " " + Num(y) + " Z")
}

func (p Place) arc(b *strings.Builder, s layers.Segment) {
	radius := Num(s.Radius * p.scale())
	n := max(1, int(math.Ceil(math.Abs(float64(s.Sweep))/120-1e-9)))
	from := s.From.Sub(s.Centre)
	for i := 1; i <= n; i++ {
		to := s.To
		if i < n {
			to = s.Centre.Add(from.Turned(s.Sweep * layers.Degrees(i) / layers.Degrees(n)))
		}
		fmt.Fprintf(b, " A %s %s 0 0 %s %s", radius, radius, p.flag(s.Sweep), p.xy(to))
	}
}

// flag is the sweep flag: 1 runs from x towards y as the numbers stand.
func (p Place) flag(sweep layers.Degrees) string {
	if (sweep > 0) == p.Up {
		return "1"
	}
	return "0"
}

// Lines returns the path data of polylines. One that ends where it starts is
// closed.
func (p Place) Lines(lines ...layers.Line) string {
	var b strings.Builder
	for _, l := range lines {
		if len(l) < 2 {
			continue
		}
		closed := len(l) > 2 && l[0] == l[len(l)-1]
		if closed {
			l = l[:len(l)-1]
		}
		for i, q := range l {
			verb := " L "
			if i == 0 {
				verb = "M "
				if b.Len() > 0 {
					verb = " M "
				}
			}
			b.WriteString(verb + p.xy(q))
		}
		if closed {
			b.WriteString(" Z")
		}
	}
	return b.String()
}
