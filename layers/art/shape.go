package art

import (
	"math"
	"strings"

	"github.com/tdewolff/canvas"

	"github.com/platewright/platewright/layers"
)

// path returns the shape e in user units.
func (d Drawing) path(e *element) (*canvas.Path, error) {
	switch e.name {
	case "path":
		return d.data(e)
	case "polygon", "polyline":
		return d.points(e)
	case "rect":
		return d.rectangle(e)
	}
	p := &canvas.Path{}
	if e.name == "line" {
		var v [4]float64
		for i, name := range []string{"x1", "y1", "x2", "y2"} {
			var err error
			if v[i], err = d.length(e, name); err != nil {
				return nil, err
			}
		}
		p.MoveTo(v[0], v[1])
		p.LineTo(v[2], v[3])
		return p, nil
	}
	c, rx, ry, err := d.ellipse(e)
	if err == nil && rx > 0 && ry > 0 {
		p.MoveTo(c.X+rx, c.Y)
		p.ArcTo(rx, ry, 0, false, true, c.X-rx, c.Y)
		p.ArcTo(rx, ry, 0, false, true, c.X+rx, c.Y)
		p.Close()
	}
	return p, err
}

// ellipse reads a circle or an ellipse in user units. An ellipse with one
// radius missing is a circle.
func (d Drawing) ellipse(e *element) (centre layers.Point, rx, ry float64, err error) {
	names := []string{"cx", "cy", "rx", "ry"}
	switch missing := func(name string) bool { return e.attrs[name] == "" || e.attrs[name] == "auto" }; {
	case e.name == "circle":
		names[2], names[3] = "r", "r"
	case missing("rx") && missing("ry"):
		names = names[:2]
	case missing("rx"):
		names[2] = "ry"
	case missing("ry"):
		names[3] = "rx"
	}
	var v [4]float64
	for i, name := range names {
		if v[i], err = d.length(e, name); err != nil {
			return centre, 0, 0, err
		}
	}
	if v[2] < 0 || v[3] < 0 {
		return centre, 0, 0, d.fail(e, "expected a positive radius")
	}
	return layers.Point{X: v[0], Y: v[1]}, v[2], v[3], nil
}

// data reads a path element.
func (d Drawing) data(e *element) (*canvas.Path, error) {
	s := strings.TrimSpace(e.attrs["d"])
	if s == "" || s == "none" {
		return &canvas.Path{}, nil
	}
	if s[0] != 'M' && s[0] != 'm' {
		return nil, d.fail(e, "expected path data that begins with M, found %.20q", s)
	}
	p, err := canvas.ParseSVGPath(s)
	if err != nil {
		return nil, d.fail(e, "path data: %v", err)
	}
	return p, nil
}

// points reads a polygon or a polyline.
func (d Drawing) points(e *element) (*canvas.Path, error) {
	v, err := numbers(e.attrs["points"])
	if err != nil {
		return nil, d.fail(e, "points: %v", err)
	}
	if len(v)%2 != 0 {
		return nil, d.fail(e, "points: expected pairs of x and y, found %d numbers", len(v))
	}
	p := &canvas.Path{}
	for i := 0; i < len(v); i += 2 {
		if i == 0 {
			p.MoveTo(v[0], v[1])
		} else {
			p.LineTo(v[i], v[i+1])
		}
	}
	if e.name == "polygon" {
		p.Close()
	}
	return p, nil
}

// rectangle reads a rect.
func (d Drawing) rectangle(e *element) (*canvas.Path, error) {
	var v [6]float64
	for i, name := range []string{"x", "y", "width", "height", "rx", "ry"} {
		if e.attrs[name] == "auto" {
			continue
		}
		var err error
		if v[i], err = d.length(e, name); err != nil {
			return nil, err
		}
	}
	x, y, w, h, rx, ry := v[0], v[1], v[2], v[3], v[4], v[5]
	if w < 0 || h < 0 || rx < 0 || ry < 0 {
		return nil, d.fail(e, "expected a positive width, height and radius")
	}
	if a := e.attrs["rx"]; a == "" || a == "auto" {
		rx = ry
	}
	if a := e.attrs["ry"]; a == "" || a == "auto" {
		ry = rx
	}
	rx, ry = min(rx, w/2), min(ry, h/2)
	p := &canvas.Path{}
	if w == 0 || h == 0 {
		return p, nil
	}
	if rx == 0 || ry == 0 {
		p.MoveTo(x, y)
		p.LineTo(x+w, y)
		p.LineTo(x+w, y+h)
		p.LineTo(x, y+h)
		p.Close()
		return p, nil
	}
	p.MoveTo(x+rx, y)
	p.LineTo(x+w-rx, y)
	p.ArcTo(rx, ry, 0, false, true, x+w, y+ry)
	p.LineTo(x+w, y+h-ry)
	p.ArcTo(rx, ry, 0, false, true, x+w-rx, y+h)
	p.LineTo(x+rx, y+h)
	p.ArcTo(rx, ry, 0, false, true, x, y+h-ry)
	p.LineTo(x, y+ry)
	p.ArcTo(rx, ry, 0, false, true, x+rx, y)
	p.Close()
	return p, nil
}

// moved returns p after m. Arcs of circles keep one radius where m keeps
// circles round.
func moved(p *canvas.Path, m matrix) *canvas.Path {
	factor, similar := m.similar()
	at := func(q canvas.Point) layers.Point { return m.at(q.X, q.Y) }
	out := &canvas.Path{}
	for s := p.Scanner(); s.Scan(); {
		end := at(s.End())
		switch s.Cmd() {
		case canvas.MoveToCmd:
			out.MoveTo(end.X, end.Y)
		case canvas.LineToCmd:
			out.LineTo(end.X, end.Y)
		case canvas.QuadToCmd:
			c := at(s.CP1())
			out.QuadTo(c.X, c.Y, end.X, end.Y)
		case canvas.CubeToCmd:
			c, k := at(s.CP1()), at(s.CP2())
			out.CubeTo(c.X, c.Y, k.X, k.Y, end.X, end.Y)
		case canvas.ArcToCmd:
			rx, ry, rot, large, sweep := s.Arc()
			if similar && math.Abs(rx-ry) <= 1e-9*rx {
				// The centre of half a turn hangs on the last digits of its
				// ends, which a grid takes away; that of a quarter does not.
				a := centred(layers.Point(s.Start()), layers.Point(s.End()), rx, rx, 0, large, sweep)
				n := math.Ceil(math.Abs(a.through)/(math.Pi/2) - 1e-9)
				for i := 1.0; i < n; i++ {
					p := a.at(i / n)
					q := m.at(p.X, p.Y)
					out.ArcTo(rx*factor, rx*factor, 0, false, sweep != (m.det() < 0), q.X, q.Y)
				}
				out.ArcTo(rx*factor, rx*factor, 0, false, sweep != (m.det() < 0), end.X, end.Y)
				continue
			}
			rx, ry, rot = m.axes(rx, ry, layers.Degrees(rot))
			if ry <= 1e-12*rx { // pressed flat
				out.LineTo(end.X, end.Y)
				continue
			}
			out.ArcTo(rx, ry, rot, large, sweep != (m.det() < 0), end.X, end.Y)
		case canvas.CloseCmd:
			out.Close()
		}
	}
	return out
}

// flat returns the vertices of one subpath, no chord farther than tol from its
// curve; a closed one ends where it begins.
func flat(p *canvas.Path, tol float64) layers.Line {
	var out layers.Line
	point := func(q canvas.Point) layers.Point { return layers.Point(q) }
	for s := p.Scanner(); s.Scan(); {
		end := point(s.End())
		switch s.Cmd() {
		case canvas.QuadToCmd:
			from, c := point(s.Start()), point(s.CP1())
			out = append(out, bezier([]layers.Point{from, c, end}, tol)...)
		case canvas.CubeToCmd:
			from, c, k := point(s.Start()), point(s.CP1()), point(s.CP2())
			out = append(out, bezier([]layers.Point{from, c, k, end}, tol)...)
		case canvas.ArcToCmd:
			rx, ry, rot, large, sweep := s.Arc()
			out = append(out, arc(point(s.Start()), end, rx, ry, layers.Degrees(rot), large, sweep, tol)...)
		}
		if n := len(out); n == 0 || out[n-1] != end {
			out = append(out, end)
		}
	}
	return out
}

// chords is the most chords that stand for one curve.
const chords = 10000

// bezier returns points on the curve after its start and before its end. With
// n equal steps no chord of a curve of degree k is farther off than
// k (k-1) / 8 · M / n², M being the longest second difference of its control
// points: G. Wang, The subdivision method for finding the intersection between
// two Bézier curves or surfaces, Zhejiang University Journal, 1984.
func bezier(c []layers.Point, tol float64) layers.Line {
	k := float64(len(c) - 1)
	longest := 0.0
	for i := 0; i+2 < len(c); i++ {
		longest = max(longest, c[i].Sub(c[i+1].Mul(2)).Add(c[i+2]).Len())
	}
	n := int(min(chords, math.Ceil(math.Sqrt(k*(k-1)/8*longest/tol))))
	var out layers.Line
	row := make([]layers.Point, len(c))
	for i := 1; i < n; i++ {
		t := float64(i) / float64(n)
		copy(row, c)
		for j := len(row) - 1; j > 0; j-- {
			for l := range j {
				row[l] = row[l].Mul(1 - t).Add(row[l+1].Mul(t))
			}
		}
		out = append(out, row[0])
	}
	return out
}

// turning is an elliptical arc by its centre.
type turning struct {
	centre         layers.Point
	rx, ry         float64
	rot            layers.Degrees
	start, through float64 // radians, in the ellipse's own frame
}

// centred returns the arc with the given ends: SVG 2, appendix B.2.4 (from
// endpoints to centre) and B.2.5 (radii that are too small).
func centred(from, to layers.Point, rx, ry float64, rot layers.Degrees, large, sweep bool) turning {
	half := from.Sub(to).Mul(0.5).Turned(-rot)
	lambda := half.X*half.X/(rx*rx) + half.Y*half.Y/(ry*ry)
	if lambda > 1 {
		rx, ry = rx*math.Sqrt(lambda), ry*math.Sqrt(lambda)
	}
	root := 0.0
	if lambda > 0 && lambda < 1 {
		root = math.Sqrt(1/lambda - 1)
	}
	if large == sweep {
		root = -root
	}
	c := layers.Point{X: root * rx * half.Y / ry, Y: -root * ry * half.X / rx}
	angle := func(p layers.Point) float64 { return math.Atan2((p.Y-c.Y)/ry, (p.X-c.X)/rx) }
	start := angle(half)
	through := angle(half.Mul(-1)) - start
	if sweep && through < 0 {
		through += 2 * math.Pi
	} else if !sweep && through > 0 {
		through -= 2 * math.Pi
	}
	return turning{c.Turned(rot).Add(from.Add(to).Mul(0.5)), rx, ry, rot, start, through}
}

// at returns the point that share of the way along.
func (a turning) at(share float64) layers.Point {
	sin, cos := math.Sincos(a.start + a.through*share)
	return layers.Point{X: a.rx * cos, Y: a.ry * sin}.Turned(a.rot).Add(a.centre)
}

// arc returns points on an elliptical arc after its start and before its end.
func arc(from, to layers.Point, rx, ry float64, rot layers.Degrees, large, sweep bool, tol float64) layers.Line {
	a := centred(from, to, rx, ry, rot, large, sweep)
	n := int(min(chords, math.Ceil(math.Abs(a.through)/(2*math.Acos(max(0, 1-tol/max(a.rx, a.ry)))))))
	var out layers.Line
	for i := 1; i < n; i++ {
		out = append(out, a.at(float64(i)/float64(n)))
	}
	return out
}
