package svg

import (
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strings"
	"testing"

	"github.com/platewright/platewright/layers"
)

func TestNum(t *testing.T) {
	for v, s := range map[float64]string{
		0: "0", math.Copysign(0, -1): "0", -0.00004: "0", 0.00005: "0.0001", 1: "1", -2.5: "-2.5",
		1.23456: "1.2346", 100: "100", 1e6: "1000000", 0.1 + 0.2: "0.3", -1.00001: "-1",
	} {
		if got := Num(v); got != s {
			t.Errorf("Num(%v) = %q, want %q", v, got, s)
		}
	}
}

// arc returns the segment from a through sweep about the centre.
func arc(centre, from layers.Point, sweep layers.Degrees) layers.Segment {
	r := from.Sub(centre)
	return layers.Segment{From: from, To: centre.Add(r.Turned(sweep)), Centre: centre, Radius: r.Len(), Sweep: sweep}
}

func TestPath(t *testing.T) {
	at := func(x, y float64) layers.Point { return layers.Point{X: x, Y: y} }
	square := layers.Contour{Segments: []layers.Segment{
		{From: at(0, 0), To: at(2, 0)}, {From: at(2, 0), To: at(2, 1)}, {From: at(2, 1), To: at(0, 1)}, {From: at(0, 1), To: at(0, 0)},
	}}
	circle := layers.Contour{Segments: []layers.Segment{arc(at(5, 5), at(6, 5), 360)}}
	hole := layers.Contour{Hole: true, Segments: []layers.Segment{arc(at(5, 5), at(6, 5), -360)}}
	quarters := layers.Contour{Segments: []layers.Segment{
		arc(at(5, 5), at(6, 5), 90), arc(at(5, 5), at(5, 6), 90), arc(at(5, 5), at(4, 5), 90), arc(at(5, 5), at(5, 4), 90),
	}}
	end := layers.Contour{Segments: []layers.Segment{
		{From: at(0, 0), To: at(4, 0)}, arc(at(4, 1), at(4, 0), 180), {From: at(4, 2), To: at(0, 2)}, {From: at(0, 2), To: at(0, 0)},
	}}
	for _, c := range []struct {
		name  string
		place Place
		c     layers.Contour
		want  string
	}{
		{"up stays up", Place{Y: 10}, square, "M 0 10 L 2 10 L 2 9 L 0 9 Z"},
		{"moved", Place{X: 1, Y: 1, Up: true}, square, "M 1 1 L 3 1 L 3 2 L 1 2 Z"},
		{"scaled", Place{Scale: 2, Up: true}, square, "M 0 0 L 4 0 L 4 2 L 0 2 Z"},
		{"circle", Place{Up: true}, circle, "M 4 5 A 1 1 0 0 1 6 5 A 1 1 0 0 1 4 5 Z"},
		{"circle on paper", Place{}, circle, "M 4 -5 A 1 1 0 0 0 6 -5 A 1 1 0 0 0 4 -5 Z"},
		{"circle in quarters", Place{Up: true}, quarters, "M 4 5 A 1 1 0 0 1 6 5 A 1 1 0 0 1 4 5 Z"},
		{"hole", Place{Up: true}, hole, "M 4 5 A 1 1 0 0 0 6 5 A 1 1 0 0 0 4 5 Z"},
		{"half circle in two", Place{Up: true}, end, "M 0 0 L 4 0 A 1 1 0 0 1 5 1 A 1 1 0 0 1 4 2 L 0 2 Z"},
		{"too short to write", Place{Up: true}, layers.Contour{Segments: []layers.Segment{
			{From: at(0, 0), To: at(2, 0)}, {From: at(2, 0), To: at(2, 0.00001)}, {From: at(2, 0.00001), To: at(0, 2)}, {From: at(0, 2), To: at(0, 0)},
		}}, "M 0 0 L 2 0 L 0 2 Z"},
	} {
		if got := c.place.Path(c.c); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
	if got := (Place{}).Lines(layers.Line{at(0, 0), at(1, 1)}, layers.Line{at(0, 0)}, layers.Line{at(0, 0), at(1, 0), at(1, 1), at(0, 0)}); got != "M 0 0 L 1 -1 M 0 0 L 1 0 L 1 -1 Z" {
		t.Error("lines:", got)
	}
}

func TestHostileNames(t *testing.T) {
	name := "\"></title><script>&\x00\x1b\xff]]>'"
	var b strings.Builder
	e := NewEncoder(&b, 1, 1)
	e.Open("g", A("id", name))
	e.Text("title", name)
	e.End()
	if err := e.Close(); err != nil {
		t.Fatal(err)
	}
	d := xml.NewDecoder(strings.NewReader(b.String()))
	elements := 0
	for {
		tok, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		if _, ok := tok.(xml.StartElement); ok {
			elements++
		}
	}
	if elements != 3 {
		t.Errorf("%d elements, want svg, g and title", elements)
	}
}

type broken struct{ err error }

func (b broken) Write([]byte) (int, error) { return 0, b.err }

func TestErrorsStick(t *testing.T) {
	full := errors.New("full")
	e := NewEncoder(broken{full}, 1, 1)
	for range 1000 {
		e.Text("desc", "more than the buffer holds, so that it must be written")
	}
	if err := e.Close(); err != full {
		t.Errorf("Close: %v, want %v", err, full)
	}
	e = NewEncoder(io.Discard, 1, 1)
	e.Empty("path", A("d", (Place{X: math.NaN()}).xy(layers.Point{})))
	if e.Close() == nil {
		t.Error("not a number is written without complaint")
	}
}
