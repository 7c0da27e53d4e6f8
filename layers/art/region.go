package art

import (
	"math"

	"github.com/tdewolff/canvas"

	"github.com/platewright/platewright/layers"
)

const (
	// closing is the widest gap, mm, between the two ends of an outline that
	// is closed without a word: what editors leave by rounding.
	closing = 0.001
	// LineTolerance is the greatest distance between a curve and the straight
	// lines that Lines returns for it, mm.
	LineTolerance = 0.005
)

// Region returns the union of the filled shapes of the element or group with
// that id, mm, y up from the lower left corner of the page. Inside a symbol or
// a definition, coordinates are those of its own.
func (d Drawing) Region(id string) (layers.Region, error) {
	var parts []layers.Region
	err := d.shapes(id, func(s shape, p *canvas.Path) error {
		if !s.asked && (!s.style.fill || s.element.name == "line") {
			return nil
		}
		r, err := d.filled(s, p)
		if err != nil {
			return err
		}
		if !r.Empty() {
			parts = append(parts, r)
		}
		return nil
	})
	if err != nil {
		return layers.Region{}, err
	}
	if len(parts) == 0 {
		return layers.Region{}, d.fail(d.byID[id][0], "nothing in it is filled; fill the shapes that are meant, or name a closed shape itself")
	}
	r := parts[0].Union(parts[1:]...)
	if err := r.Err(); err != nil {
		return layers.Region{}, d.fail(d.byID[id][0], "its shapes cannot be united: %v", err)
	}
	return r, nil
}

// Lines returns the strokes of the element or group with that id as lines, mm,
// y up from the lower left corner of the page: shapes that have a stroke, or no
// fill, and the shape with that id itself in any case. Curves become straight
// lines within [LineTolerance]; a closed shape ends where it begins. Widths and
// dashes count for nothing.
func (d Drawing) Lines(id string) ([]layers.Line, error) {
	var out []layers.Line
	err := d.shapes(id, func(s shape, p *canvas.Path) error {
		if !s.asked && s.style.fill && !s.style.stroke {
			return nil
		}
		p = moved(p, s.toPage)
		if !finite(p) {
			return d.fail(s.element, "is beyond all sizes")
		}
		for _, sub := range p.Split() {
			if line := flat(sub, LineTolerance); len(line) > 1 {
				out = append(out, line)
			}
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	if len(out) == 0 {
		return nil, d.fail(d.byID[id][0], "nothing in it is a line; give the lines that are meant a stroke")
	}
	return out, nil
}

// finite reports whether all of p lies within 1000 km, which any reader can
// reckon with.
func finite(p *canvas.Path) bool {
	for _, v := range p.Data() {
		if math.IsNaN(v) || math.Abs(v) > 1e9 {
			return false
		}
	}
	return true
}

// filled returns what a shape fills.
func (d Drawing) filled(s shape, p *canvas.Path) (layers.Region, error) {
	if s.element.name == "circle" || s.element.name == "ellipse" {
		if r, ok, err := d.disc(s); ok || err != nil {
			return r, err
		}
	}
	p = moved(p, s.toPage)
	if !finite(p) {
		return layers.Region{}, d.fail(s.element, "is beyond all sizes")
	}
	var closed []*canvas.Path
	for _, sub := range p.Split() {
		if sub.Len() < 2 {
			continue // a pen put down and lifted
		}
		if !sub.Closed() {
			gap := sub.Pos().Sub(sub.StartPos()).Length()
			if gap > closing {
				end := sub.Pos()
				return layers.Region{}, d.fail(s.element, "is open: its ends at %.3f, %.3f mm and %.3f, %.3f mm are %.3g mm apart; close the path, or give it no fill if it is a line to score",
					sub.StartPos().X, sub.StartPos().Y, end.X, end.Y, gap)
			}
			sub = sub.Copy()
			sub.Close()
		}
		closed = append(closed, sub)
	}
	if len(closed) == 0 {
		return layers.Region{}, nil
	}
	r := nonZero(closed)
	if s.style.evenOdd {
		var err error
		if r, err = evenOdd(closed); err != nil {
			return layers.Region{}, d.fail(s.element, "%v", err)
		}
	}
	if err := r.Err(); err != nil {
		return layers.Region{}, d.fail(s.element, "its outline cannot be filled: %v", err)
	}
	return r, nil
}

// disc returns the region of a circle, or of an ellipse that is one, where it
// stays round.
func (d Drawing) disc(s shape) (layers.Region, bool, error) {
	factor, similar := s.toPage.similar()
	if !similar {
		return layers.Region{}, false, nil
	}
	c, rx, ry, err := d.ellipse(s.element)
	if err != nil || rx != ry {
		return layers.Region{}, false, err
	}
	if rx == 0 || factor == 0 {
		return layers.Region{}, true, nil
	}
	r := layers.Circle(2 * rx * factor).Move(s.toPage.at(c.X, c.Y))
	if err := r.Err(); err != nil {
		return layers.Region{}, false, d.fail(s.element, "%v", err)
	}
	return r, true, nil
}

// nonZero returns what the closed subpaths fill by the non-zero rule.
func nonZero(subs []*canvas.Path) layers.Region {
	all := &canvas.Path{}
	for _, s := range subs {
		all = all.Append(s)
	}
	return layers.PathRegion(all)
}
