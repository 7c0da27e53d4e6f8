package layers

import (
	"errors"
	"fmt"
	"math"

	"github.com/tdewolff/canvas"

	"github.com/platewright/platewright/layers/internal/kernel"
)

// Path returns r as a canvas path: arcs stay arcs, holes run clockwise. Arcs
// beyond 120° come in equal parts: a path tells an arc by its ends and radius,
// and for half a turn that leaves the centre at the mercy of rounding.
func (r Region) Path() *canvas.Path {
	p := &canvas.Path{}
	for c := range r.Contours() {
		p.MoveTo(c.Segments[0].From.X, c.Segments[0].From.Y)
		for _, s := range c.Segments {
			if s.Radius == 0 {
				p.LineTo(s.To.X, s.To.Y)
				continue
			}
			parts := math.Ceil(math.Abs(float64(s.Sweep))/120 - 1e-9)
			for i := 1.0; i < parts; i++ {
				q := s.Centre.Add(s.From.Sub(s.Centre).Turned(s.Sweep * Degrees(i/parts)))
				p.ArcTo(s.Radius, s.Radius, 0, false, s.Sweep > 0, q.X, q.Y)
			}
			p.ArcTo(s.Radius, s.Radius, 0, false, s.Sweep > 0, s.To.X, s.To.Y)
		}
		p.Close()
	}
	return p
}

// PathRegion returns the region that p fills by the non-zero rule; open
// subpaths are an error (see Err), curves become arcs within CurveTolerance.
// A subpath that ends where it starts counts as closed.
func PathRegion(p *canvas.Path) Region {
	if p == nil {
		return Region{}
	}
	var chains [][]kernel.Seg
	var chain []kernel.Seg
	var start, pos, raw kernel.Vec // raw is pos before it snapped
	total := 0
	finish := func() error {
		if len(chain) == 0 {
			return nil
		}
		if pos != start {
			return fmt.Errorf("open path: it starts at %g, %g and ends at %g, %g", start.X, start.Y, pos.X, pos.Y)
		}
		total += len(chain)
		chains, chain = append(chains, chain), nil
		return nil
	}
	for s := p.Scanner(); s.Scan(); {
		end := Point{s.End().X, s.End().Y}
		if err := reasonable(end); err != nil {
			return Invalid(fmt.Errorf("path: %w", err))
		}
		to := snapped(end)
		if total+len(chain) > kernel.MaxSegs {
			return Invalid(fmt.Errorf("path: more than %d segments", kernel.MaxSegs))
		}
		switch s.Cmd() {
		case canvas.MoveToCmd:
			if err := finish(); err != nil {
				return Invalid(err)
			}
			start = to
		case canvas.LineToCmd:
			if to != pos {
				chain = append(chain, kernel.Line(pos, to))
			}
		case canvas.CloseCmd:
			if to != pos {
				chain = append(chain, kernel.Line(pos, to))
			}
			pos = to
			if err := finish(); err != nil {
				return Invalid(err)
			}
		case canvas.QuadToCmd:
			c := Point{s.CP1().X, s.CP1().Y}
			if err := reasonable(c); err != nil {
				return Invalid(fmt.Errorf("path: %w", err))
			}
			chain = kernel.Fit(chain, kernel.Quad(pos, kernel.Vec(c), to), pos, to, 2, CurveTolerance)
		case canvas.CubeToCmd:
			c, d := Point{s.CP1().X, s.CP1().Y}, Point{s.CP2().X, s.CP2().Y}
			if err := reasonable(c, d); err != nil {
				return Invalid(fmt.Errorf("path: %w", err))
			}
			chain = kernel.Fit(chain, kernel.Cubic(pos, kernel.Vec(c), kernel.Vec(d), to), pos, to, 2, CurveTolerance)
		case canvas.ArcToCmd:
			rx, ry, rot, large, sweep := s.Arc()
			if err := reasonable(Point{rx, ry}, Point{rot, 0}); err != nil {
				return Invalid(fmt.Errorf("path: arc: %w", err))
			}
			chain = arcTo(chain, raw, kernel.Vec(end), pos, to, math.Abs(rx), math.Abs(ry), Degrees(rot), large, sweep)
		}
		pos, raw = to, kernel.Vec(end)
	}
	if err := finish(); err != nil {
		return Invalid(err)
	}
	return resolved(chains)
}

// arcTo appends the elliptical arc from p to q with the given semi-axes and
// turn, by the rules of SVG 2, appendix B.2.4 (conversion from endpoint to
// centre parameters) and B.2.5 (radii that are 0 or too small). Its ends are
// put at a and b, where p and q snap to.
func arcTo(dst []kernel.Seg, p, q, a, b kernel.Vec, rx, ry float64, rot Degrees, large, ccw bool) []kernel.Seg {
	if a == b {
		return dst
	}
	if rx < Grid || ry < Grid {
		return append(dst, kernel.Line(a, b))
	}
	u := kernel.Vec(rot.Unit())
	given := rx
	round := math.Abs(rx-ry) <= 1e-9*rx
	if round {
		u = kernel.Vec{X: 1}
	}
	v := kernel.Vec{X: -u.Y, Y: u.X}
	// Half the chord in units of the axes: the ellipse becomes a unit circle.
	half := q.Sub(p).Mul(0.5)
	h := kernel.Vec{X: half.Dot(u) / rx, Y: half.Dot(v) / ry}
	l := h.Len()
	off := 0.0
	if l > 1-1e-9 { // too small, or a half turn but for rounding
		rx, ry = rx*l, ry*l
		h = h.Mul(1 / l)
	} else {
		off = math.Sqrt((1-l)*(1+l)) / l
	}
	// The centre lies left of the chord for a small counter-clockwise arc and
	// a large clockwise one, else right of it.
	if large == ccw {
		off = -off
	}
	n := kernel.Vec{X: -h.Y * off, Y: h.X * off}
	c := p.Add(half).Add(u.Mul(n.X * rx)).Add(v.Mul(n.Y * ry))
	if round {
		// Both ends lie on the circle exactly: its centre is the nearest that
		// is as far from one as from the other.
		mid, d := a.Add(b).Mul(0.5), b.Sub(a)
		c = c.Sub(d.Mul(c.Sub(mid).Dot(d) / d.Dot(d)))
		if off == 0 {
			c = mid
		}
		s := kernel.ArcTo(a, b, c, a.Dist(c), ccw)
		if math.Abs(s.R-given) < 1e-9 {
			s.R = given
		}
		return append(dst, s)
	}
	t0 := math.Atan2(-h.Y-n.Y, -h.X-n.X)
	turn := math.Atan2(h.Y-n.Y, h.X-n.X) - t0
	if ccw && turn <= 0 {
		turn += 2 * math.Pi
	} else if !ccw && turn >= 0 {
		turn -= 2 * math.Pi
	}
	parts := 1 + int(math.Abs(turn)/(math.Pi/2)+0.01)
	return kernel.Fit(dst, kernel.EllipseArc(c, u.Mul(rx), v.Mul(ry), t0, turn), a, b, parts, CurveTolerance)
}

// PathData returns the region filled, by the non-zero rule, by SVG path data.
// The data's y axis points down as in SVG; flip with Mirror(0) or Scale(1, -1)
// where that is not wanted: PathData itself turns nothing.
func PathData(d string) (r Region) {
	defer func() {
		// The parser of path data indexes beyond broken input.
		if e := recover(); e != nil {
			r = Invalid(fmt.Errorf("path data: %v", e))
		}
	}()
	const longest = 16 << 20
	if len(d) > longest {
		return Invalid(errors.New("path data: longer than 16 MB"))
	}
	p, err := canvas.ParseSVGPath(d)
	if err != nil {
		return Invalid(fmt.Errorf("path data: %w", err))
	}
	return PathRegion(p)
}
