package layers

import (
	"errors"
	"fmt"
	"math"

	"github.com/platewright/platewright/layers/internal/kernel"
)

// Rectangle returns a rectangle of w × h mm centred on the origin.
func Rectangle(w, h float64) Region {
	if err := sizes("rectangle", w, h); err != nil {
		return Invalid(err)
	}
	x, y := snap(w/2), snap(h/2)
	return resolved([][]kernel.Seg{polygon([]kernel.Vec{{X: -x, Y: -y}, {X: x, Y: -y}, {X: x, Y: y}, {X: -x, Y: y}})})
}

// RoundedRectangle is Rectangle with corners of the given radius, which may
// not exceed half of either side.
func RoundedRectangle(w, h, radius float64) Region {
	if err := sizes("rounded rectangle", w, h); err != nil {
		return Invalid(err)
	}
	if radius == 0 {
		return Rectangle(w, h)
	}
	if !(radius > 0) || radius > math.Min(w, h)/2+Grid {
		return Invalid(fmt.Errorf("rounded rectangle: a radius of %g mm does not fit %g × %g mm", radius, w, h))
	}
	x, y, r := snap(w/2), snap(h/2), snap(radius)
	r = math.Min(r, math.Min(x, y))
	var segs []kernel.Seg
	at := kernel.Vec{X: -x + r, Y: -y}
	first := at
	line := func(to kernel.Vec) {
		if at != to {
			segs = append(segs, kernel.Line(at, to))
		}
		at = to
	}
	arc := func(c, to kernel.Vec) {
		segs = append(segs, kernel.Seg{A: at, B: to, C: c, R: r, Sweep: math.Pi / 2})
		at = to
	}
	line(kernel.Vec{X: x - r, Y: -y})
	arc(kernel.Vec{X: x - r, Y: -y + r}, kernel.Vec{X: x, Y: -y + r})
	line(kernel.Vec{X: x, Y: y - r})
	arc(kernel.Vec{X: x - r, Y: y - r}, kernel.Vec{X: x - r, Y: y})
	line(kernel.Vec{X: -x + r, Y: y})
	arc(kernel.Vec{X: -x + r, Y: y - r}, kernel.Vec{X: -x, Y: y - r})
	line(kernel.Vec{X: -x, Y: -y + r})
	arc(kernel.Vec{X: -x + r, Y: -y + r}, first)
	return made(kernel.NewShape([]kernel.Ring{kernel.NewRing(segs)}))
}

// RelievedRectangle is Rectangle with a round ear of the given radius through
// each corner, so that what has sharp corners still goes in and no inside
// corner of the sheet around it is sharp. The corner lies on the ear's edge and
// the ear's centre on the corner's bisector, inside; ears must leave a straight
// stretch between them on every side, which takes four times radius/√2.
func RelievedRectangle(w, h, radius float64) Region {
	if err := sizes("relieved rectangle", w, h); err != nil {
		return Invalid(err)
	}
	if radius == 0 {
		return Rectangle(w, h)
	}
	x, y, in := snap(w/2), snap(h/2), snap(radius/math.Sqrt2)
	if !(in > 0) || 2*in >= math.Min(x, y) {
		return Invalid(fmt.Errorf("relieved rectangle: ears of %g mm do not fit %g × %g mm", radius, w, h))
	}
	var segs []kernel.Seg
	for _, c := range [...]kernel.Vec{{X: x, Y: -y}, {X: x, Y: y}, {X: -x, Y: y}, {X: -x, Y: -y}} {
		centre := kernel.Vec{X: c.X - math.Copysign(in, c.X), Y: c.Y - math.Copysign(in, c.Y)}
		// The ear meets both sides two steps from the corner, and half of its
		// circle lies between.
		a := kernel.Vec{X: c.X - 2*math.Copysign(in, c.X), Y: c.Y}
		b := kernel.Vec{X: c.X, Y: c.Y - 2*math.Copysign(in, c.Y)}
		if c.X*c.Y > 0 {
			a, b = b, a
		}
		if len(segs) > 0 {
			segs = append(segs, kernel.Line(segs[len(segs)-1].B, a))
		}
		segs = append(segs, kernel.Seg{A: a, B: b, C: centre, R: in * math.Sqrt2, Sweep: math.Pi})
	}
	segs = append(segs, kernel.Line(segs[len(segs)-1].B, segs[0].A))
	return made(kernel.NewShape([]kernel.Ring{kernel.NewRing(segs)}))
}

// Circle returns a disc of the given diameter centred on the origin.
func Circle(diameter float64) Region {
	if err := sizes("circle", diameter); err != nil {
		return Invalid(err)
	}
	return made(kernel.NewShape([]kernel.Ring{kernel.Circle(kernel.Vec{}, snap(diameter/2))}))
}

// Ellipse returns an ellipse of w × h mm centred on the origin, as arcs within
// CurveTolerance.
func Ellipse(w, h float64) Region {
	if err := sizes("ellipse", w, h); err != nil {
		return Invalid(err)
	}
	if w == h {
		return Circle(w)
	}
	u, v := kernel.Vec{X: snap(w / 2)}, kernel.Vec{Y: snap(h / 2)}
	segs := kernel.Fit(nil, kernel.EllipseArc(kernel.Vec{}, u, v, 0, 2*math.Pi), u, u, 4, CurveTolerance)
	return resolved([][]kernel.Seg{segs})
}

// Polygon returns the polygon through the given corners, in either direction.
// A boundary that crosses itself is an error (see Region.Err).
func Polygon(corners ...Point) Region {
	if len(corners) < 3 {
		return Invalid(fmt.Errorf("polygon: %d corners", len(corners)))
	}
	if err := reasonable(corners...); err != nil {
		return Invalid(fmt.Errorf("polygon: %w", err))
	}
	vs := make([]kernel.Vec, 0, len(corners))
	for _, p := range corners {
		if v := snapped(p); len(vs) == 0 || v != vs[len(vs)-1] {
			vs = append(vs, v)
		}
	}
	for len(vs) > 1 && vs[0] == vs[len(vs)-1] {
		vs = vs[:len(vs)-1]
	}
	if len(vs) < 3 {
		return Region{}
	}
	segs := polygon(vs)
	s, met, err := kernel.Resolve([][]kernel.Seg{segs})
	if err != nil {
		return Invalid(fmt.Errorf("polygon: %w", err))
	}
	if met {
		// Windings other than 0 and 1 (or -1) show in the area.
		ring := kernel.NewRing(segs)
		if math.Abs(math.Abs(ring.Area())-s.Area()) > kernel.Sagitta*ring.Len() {
			return Invalid(errors.New("polygon: its boundary crosses itself"))
		}
	}
	return Region{shape: s}
}

// RegularPolygon returns a polygon of n ≥ 3 equal sides centred on the origin,
// whose corners lie on a circle of the given diameter, the first at the top.
func RegularPolygon(n int, diameter float64) Region {
	if n < 3 || n > kernel.MaxSegs {
		return Invalid(fmt.Errorf("regular polygon of %d sides", n))
	}
	if err := sizes("regular polygon", diameter); err != nil {
		return Invalid(err)
	}
	ps := make([]Point, n)
	for i := range ps {
		ps[i] = (90 + Degrees(i)*360/Degrees(n)).Unit().Mul(diameter / 2)
	}
	return Polygon(ps...)
}

// SlotShape returns a w × h mm rectangle whose shorter sides are half circles.
func SlotShape(w, h float64) Region {
	if err := sizes("slot", w, h); err != nil {
		return Invalid(err)
	}
	x, y := snap(w/2), snap(h/2)
	r := math.Min(x, y)
	if x == y {
		return Circle(w)
	}
	half := func(a, b, c kernel.Vec) kernel.Seg { return kernel.Seg{A: a, B: b, C: c, R: r, Sweep: math.Pi} }
	var segs []kernel.Seg
	if d := x - r; d > 0 {
		a, b := kernel.Vec{X: -d, Y: -r}, kernel.Vec{X: d, Y: -r}
		c, e := kernel.Vec{X: d, Y: r}, kernel.Vec{X: -d, Y: r}
		segs = []kernel.Seg{kernel.Line(a, b), half(b, c, kernel.Vec{X: d}), kernel.Line(c, e), half(e, a, kernel.Vec{X: -d})}
	} else {
		d = y - r
		a, b := kernel.Vec{X: r, Y: -d}, kernel.Vec{X: r, Y: d}
		c, e := kernel.Vec{X: -r, Y: d}, kernel.Vec{X: -r, Y: -d}
		segs = []kernel.Seg{kernel.Line(a, b), half(b, c, kernel.Vec{Y: d}), kernel.Line(c, e), half(e, a, kernel.Vec{Y: -d})}
	}
	return made(kernel.NewShape([]kernel.Ring{kernel.NewRing(segs)}))
}

// most is the largest number of copies Row and Ring make.
const most = 10_000

// Row returns n copies of r, each moved by step from the one before.
func Row(r Region, n int, step Point) Region {
	return copies(r, n, func(i int) Region { return r.Move(step.Mul(float64(i))) })
}

// Ring returns n copies of r turned evenly about the origin, the first where r
// is.
func Ring(r Region, n int) Region {
	return copies(r, n, func(i int) Region { return r.Rotate(Degrees(i) * 360 / Degrees(n)) })
}

func copies(r Region, n int, at func(i int) Region) Region {
	switch {
	case r.err != nil:
		return r
	case n < 0 || n > most:
		return Invalid(fmt.Errorf("%d copies, at most %d are made", n, most))
	case n == 0:
		return Region{}
	}
	all := make([]Region, 0, n-1)
	for i := 1; i < n; i++ {
		all = append(all, at(i))
	}
	return r.Union(all...)
}

// polygon is the closed chain of lines through vs.
func polygon(vs []kernel.Vec) []kernel.Seg {
	segs := make([]kernel.Seg, len(vs))
	for i, v := range vs {
		segs[i] = kernel.Line(v, vs[(i+1)%len(vs)])
	}
	return segs
}

// sizes returns an error for a size that is not positive or out of range.
func sizes(what string, mm ...float64) error {
	for _, v := range mm {
		if !(v > 0) || v > kernel.MaxCoord {
			return fmt.Errorf("%s: a size of %g mm", what, v)
		}
	}
	return nil
}
