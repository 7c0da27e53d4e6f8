package layers

import (
	"cmp"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"sort"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

var (
	cases     = flag.Uint64("cases", 300, "how many random cases TestRegionMillion runs")
	firstCase = flag.Uint64("first", 0, "the number of the first of them")
)

// The independent count. A solid is described by primitives only; whether a
// point lies in it, how far its borders are and what a level line cuts out of
// it is answered by code that shares nothing with the kernel.

// prim is a polygon, or a disc or stadium where r > 0: all points within r of
// the segment from vs[0] to vs[1].
type prim struct {
	vs []Point
	r  float64
}

// solid is all plus less all minus.
type solid struct{ plus, minus []prim }

func (p prim) region() Region {
	if p.r == 0 {
		return Polygon(p.vs...)
	}
	a, b := p.vs[0], p.vs[1]
	if a == b {
		return Circle(2 * p.r).Move(a)
	}
	d := b.Sub(a)
	return SlotShape(d.Len()+2*p.r, 2*p.r).Rotate(Degrees(math.Atan2(d.Y, d.X) * 180 / math.Pi)).Move(a.Add(b).Mul(0.5))
}

func (s solid) region() Region {
	var plus, minus []Region
	for _, p := range s.plus {
		plus = append(plus, p.region())
	}
	for _, p := range s.minus {
		minus = append(minus, p.region())
	}
	return Region{}.Union(plus...).Subtract(minus...)
}

func segDist(p, a, b Point) float64 {
	d := b.Sub(a)
	t := 0.0
	if l := d.Dot(d); l > 0 {
		t = math.Max(0, math.Min(1, p.Sub(a).Dot(d)/l))
	}
	return p.Sub(a.Add(d.Mul(t))).Len()
}

func (p prim) has(q Point) bool {
	if p.r > 0 {
		return segDist(q, p.vs[0], p.vs[1]) < p.r
	}
	in := false
	for i, a := range p.vs {
		b := p.vs[(i+1)%len(p.vs)]
		if a.Y > q.Y != (b.Y > q.Y) && q.X < a.X+(q.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
	}
	return in
}

// dist is the distance from q to the border of p.
func (p prim) dist(q Point) float64 {
	if p.r > 0 {
		return math.Abs(segDist(q, p.vs[0], p.vs[1]) - p.r)
	}
	d := math.Inf(1)
	for i, a := range p.vs {
		d = math.Min(d, segDist(q, a, p.vs[(i+1)%len(p.vs)]))
	}
	return d
}

func (s solid) prims() []prim { return append(append([]prim{}, s.plus...), s.minus...) }

func (s solid) dist(q Point) float64 {
	d := math.Inf(1)
	for _, p := range s.prims() {
		d = math.Min(d, p.dist(q))
	}
	return d
}

// box holds p.
func (p prim) box() Box {
	b := Box{p.vs[0], p.vs[0]}
	for _, v := range p.vs {
		b.Min = Point{min(b.Min.X, v.X), min(b.Min.Y, v.Y)}
		b.Max = Point{max(b.Max.X, v.X), max(b.Max.Y, v.Y)}
	}
	return Box{b.Min.Sub(Point{p.r, p.r}), b.Max.Add(Point{p.r, p.r})}
}

func holds(b Box, p Point, d float64) bool {
	return p.X >= b.Min.X-d && p.X <= b.Max.X+d && p.Y >= b.Min.Y-d && p.Y <= b.Max.Y+d
}

// survey answers for two solids what they answer themselves, sooner: their
// borders, cut into edges and discs, lie in a grid of cells.
type survey struct {
	s     [2]solid
	ps    []prim // of both
	boxes []Box
	sides []int // which of s, and whether plus: a+ a- b+ b-

	box   Box
	n     int
	cells [][]prim // pieces of border whose boxes come within reach of the cell
}

// reach is the greatest distance survey.near is asked for.
const reach = 0.005

func newSurvey(a, b solid) *survey {
	v := &survey{s: [2]solid{a, b}}
	var pieces []prim
	for side, ps := range [4][]prim{a.plus, a.minus, b.plus, b.minus} {
		for _, p := range ps {
			v.ps, v.boxes, v.sides = append(v.ps, p), append(v.boxes, p.box()), append(v.sides, side)
			if p.r > 0 {
				pieces = append(pieces, p)
				continue
			}
			for i, c := range p.vs {
				pieces = append(pieces, prim{vs: []Point{c, p.vs[(i+1)%len(p.vs)]}})
			}
		}
	}
	if len(pieces) == 0 {
		return v
	}
	v.box = v.boxes[0]
	for _, b := range v.boxes {
		v.box.Min = Point{min(v.box.Min.X, b.Min.X), min(v.box.Min.Y, b.Min.Y)}
		v.box.Max = Point{max(v.box.Max.X, b.Max.X), max(v.box.Max.Y, b.Max.Y)}
	}
	v.n = int(math.Sqrt(float64(len(pieces)))) + 1
	v.cells = make([][]prim, v.n*v.n)
	for _, p := range pieces {
		b := p.box()
		x0, y0 := v.cell(b.Min.Sub(Point{reach, reach}))
		x1, y1 := v.cell(b.Max.Add(Point{reach, reach}))
		for x := x0; x <= x1; x++ {
			for y := y0; y <= y1; y++ {
				v.cells[x*v.n+y] = append(v.cells[x*v.n+y], p)
			}
		}
	}
	return v
}

func (v *survey) cell(p Point) (x, y int) {
	at := func(p, lo, hi float64) int { return max(0, min(v.n-1, int((p-lo)/(hi-lo)*float64(v.n)))) }
	return at(p.X, v.box.Min.X, v.box.Max.X), at(p.Y, v.box.Min.Y, v.box.Max.Y)
}

// near reports whether a border lies within d, at most reach, of q.
func (v *survey) near(q Point, d float64) bool {
	if v.n == 0 {
		return false
	}
	x, y := v.cell(q)
	for _, p := range v.cells[x*v.n+y] {
		if p.r > 0 {
			if math.Abs(segDist(q, p.vs[0], p.vs[1])-p.r) < d {
				return true
			}
		} else if segDist(q, p.vs[0], p.vs[1]) < d {
			return true
		}
	}
	return false
}

// has tells which of the two solids hold q.
func (v *survey) has(q Point) (in [2]bool) {
	var hit [4]bool
	for i, p := range v.ps {
		if side := v.sides[i]; !hit[side] && holds(v.boxes[i], q, 0) && p.has(q) {
			hit[side] = true
		}
	}
	return [2]bool{hit[0] && !hit[1], hit[2] && !hit[3]}
}

// section returns the stretches of the level line at y inside p.
func (p prim) section(y float64) (xs []float64) {
	if p.r > 0 {
		// A stadium is convex: union of two discs and a rectangle.
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, c := range p.vs {
			if h := p.r*p.r - (y-c.Y)*(y-c.Y); h > 0 {
				lo, hi = math.Min(lo, c.X-math.Sqrt(h)), math.Max(hi, c.X+math.Sqrt(h))
			}
		}
		if d := p.vs[1].Sub(p.vs[0]); d.Len() > 0 {
			n := d.Perp().Mul(p.r / d.Len())
			q := prim{vs: []Point{p.vs[0].Add(n), p.vs[1].Add(n), p.vs[1].Sub(n), p.vs[0].Sub(n)}}
			for _, x := range q.section(y) {
				lo, hi = math.Min(lo, x), math.Max(hi, x)
			}
		}
		if lo < hi {
			return []float64{lo, hi}
		}
		return nil
	}
	for i, a := range p.vs {
		b := p.vs[(i+1)%len(p.vs)]
		if a.Y > y != (b.Y > y) {
			xs = append(xs, a.X+(y-a.Y)/(b.Y-a.Y)*(b.X-a.X))
		}
	}
	sort.Float64s(xs)
	return xs
}

// levels are heights at which the sections of p have kinks by themselves.
func (p prim) levels() (ys []float64) {
	if p.r == 0 {
		for _, v := range p.vs {
			ys = append(ys, v.Y)
		}
		return ys
	}
	d := p.vs[1].Sub(p.vs[0])
	n := Point{}
	if d.Len() > 0 {
		n = d.Perp().Mul(p.r / d.Len())
	}
	for _, v := range p.vs {
		ys = append(ys, v.Y-p.r, v.Y+p.r, v.Y-n.Y, v.Y+n.Y)
	}
	return ys
}

// edges are the straight and round parts of the border, for crossings.
func (p prim) lines() (ls [][2]Point) {
	if p.r == 0 {
		for i, a := range p.vs {
			ls = append(ls, [2]Point{a, p.vs[(i+1)%len(p.vs)]})
		}
		return ls
	}
	if d := p.vs[1].Sub(p.vs[0]); d.Len() > 0 {
		n := d.Perp().Mul(p.r / d.Len())
		ls = append(ls, [2]Point{p.vs[0].Add(n), p.vs[1].Add(n)}, [2]Point{p.vs[0].Sub(n), p.vs[1].Sub(n)})
	}
	return ls
}

func (p prim) centres() []Point {
	if p.r == 0 {
		return nil
	}
	return p.vs[:2]
}

// crossLevels returns the heights where borders of p and q cross.
func crossLevels(p, q prim) (ys []float64) {
	const slack = 1e-6
	pl, ql := p.lines(), q.lines()
	for _, a := range pl {
		da := a[1].Sub(a[0])
		for _, b := range ql {
			db := b[1].Sub(b[0])
			if den := da.Cross(db); den != 0 {
				v := b[0].Sub(a[0])
				t, u := v.Cross(db)/den, v.Cross(da)/den
				if t >= -slack && t <= 1+slack && u >= -slack && u <= 1+slack {
					ys = append(ys, a[0].Y+t*da.Y)
				}
			}
		}
	}
	lc := func(p, q prim) {
		for _, a := range p.lines() {
			u := a[1].Sub(a[0])
			l := u.Len()
			u = u.Mul(1 / l)
			for _, c := range q.centres() {
				t, off := u.Dot(c.Sub(a[0])), u.Cross(c.Sub(a[0]))
				if h := q.r*q.r - off*off; h > 0 {
					ys = append(ys, a[0].Y+(t+math.Sqrt(h))*u.Y, a[0].Y+(t-math.Sqrt(h))*u.Y)
				}
			}
		}
	}
	lc(p, q)
	lc(q, p)
	for _, c := range p.centres() {
		for _, e := range q.centres() {
			d := e.Sub(c)
			l := d.Len()
			if l == 0 {
				continue
			}
			x := (l*l + p.r*p.r - q.r*q.r) / (2 * l)
			if h := p.r*p.r - x*x; h > 0 {
				m, n := c.Y+d.Y/l*x, d.X/l*math.Sqrt(h)
				ys = append(ys, m+n, m-n)
			}
		}
	}
	return ys
}

// scanAreas integrates the lengths of level sections of the four booleans of a
// and b, and of both alone, between the heights where sections have kinks.
func scanAreas(a, b solid) (area [6]float64) { return newSurvey(a, b).areas() }

func (v *survey) areas() (area [6]float64) {
	var ys []float64
	for i, p := range v.ps {
		ys = append(ys, p.levels()...)
		for k, q := range v.ps[:i] {
			if holds(Box{v.boxes[i].Min.Sub(v.boxes[k].Max.Sub(v.boxes[k].Min)), v.boxes[i].Max}, v.boxes[k].Min, 1e-6) {
				ys = append(ys, crossLevels(p, q)...)
			}
		}
	}
	slices.Sort(ys)
	round := false
	for _, p := range v.ps {
		round = round || p.r > 0
	}
	// Sections are linear between kinks, and the middle is exact, unless a
	// circle's section starts like a square root: y = −cos θ takes the root out,
	// and Gauss-Legendre points along θ do the rest.
	nodes, weights := []float64{0}, []float64{2}
	if round {
		nodes = []float64{-0.9602898564975363, -0.7966664774136267, -0.5255324099163290, -0.1834346424956498,
			0.1834346424956498, 0.5255324099163290, 0.7966664774136267, 0.9602898564975363}
		weights = []float64{0.1012285362903763, 0.2223810344533745, 0.3137066458778873, 0.3626837833783620,
			0.3626837833783620, 0.3137066458778873, 0.2223810344533745, 0.1012285362903763}
	}
	type cut struct {
		x float64
		p int32
	}
	var cuts []cut
	in := make([]bool, len(v.ps))
	for i := 1; i < len(ys); i++ {
		lo, hi := ys[i-1], ys[i]
		if hi-lo < 1e-12 {
			continue
		}
		for k := range nodes {
			y, w := (lo+hi)/2, (hi-lo)/2*weights[k]
			if round {
				t := math.Pi / 2 * (1 + nodes[k])
				y -= (hi - lo) / 2 * math.Cos(t)
				w *= math.Pi / 2 * math.Sin(t)
			}
			cuts = cuts[:0]
			for p, b := range v.boxes {
				in[p] = false
				if b.Min.Y <= y && y <= b.Max.Y {
					for _, x := range v.ps[p].section(y) {
						cuts = append(cuts, cut{x, int32(p)})
					}
				}
			}
			slices.SortFunc(cuts, func(a, b cut) int { return cmp.Compare(a.x, b.x) })
			var count [4]int // how many of a+ a- b+ b- hold the place
			for j := 0; j+1 < len(cuts); j++ {
				p := cuts[j].p
				in[p] = !in[p]
				if in[p] {
					count[v.sides[p]]++
				} else {
					count[v.sides[p]]--
				}
				l := (cuts[j+1].x - cuts[j].x) * w
				if l <= 0 {
					continue
				}
				x, z := count[0] > 0 && count[1] == 0, count[2] > 0 && count[3] == 0
				for o, in := range [6]bool{x || z, x && z, x && !z, x != z, x, z} {
					if in {
						area[o] += l
					}
				}
			}
		}
	}
	return area
}

// Families of random cases.

type gen struct{ *rand.Rand }

func (g gen) in(lo, hi float64) float64 { return lo + (hi-lo)*g.Float64() }

func (g gen) grid(n int, step float64) float64 { return float64(g.IntN(2*n+1)-n) * step }

func (g gen) rect(x, y, w, h float64) prim {
	return prim{vs: []Point{{x, y}, {x + w, y}, {x + w, y + h}, {x, y + h}}}
}

func (g gen) star(c Point, n int, r0, r1 float64) prim {
	var p prim
	for i := range n {
		t := 2 * math.Pi * (float64(i) + 0.8*g.Float64()) / float64(n)
		r := g.in(r0, r1)
		p.vs = append(p.vs, Point{c.X + r*math.Cos(t), c.Y + r*math.Sin(t)})
	}
	return p
}

func (g gen) blob() prim {
	switch g.IntN(4) {
	case 0:
		return g.star(Point{g.in(-20, 20), g.in(-20, 20)}, 3+g.IntN(20), 3, 25)
	case 1:
		c := Point{g.in(-20, 20), g.in(-20, 20)}
		return prim{vs: []Point{c, c}, r: g.in(0.5, 20)}
	case 2:
		c := Point{g.in(-20, 20), g.in(-20, 20)}
		return prim{vs: []Point{c, c.Add(Point{g.in(1, 20), g.in(-20, 20)})}, r: g.in(0.5, 8)}
	}
	return g.rect(g.in(-25, 10), g.in(-25, 10), g.in(1, 30), g.in(1, 30))
}

// turned turns everything in s about the origin.
func (s solid) turned(a Degrees, by Point) solid {
	f := func(ps []prim) (out []prim) {
		for _, p := range ps {
			q := prim{r: p.r}
			for _, v := range p.vs {
				q.vs = append(q.vs, v.Turned(a).Add(by))
			}
			out = append(out, q)
		}
		return out
	}
	return solid{f(s.plus), f(s.minus)}
}

// exact rounds the coordinates of polygons to the grid, as making them does.
func (s solid) exact() solid {
	for _, p := range s.prims() {
		for i, v := range p.vs {
			if p.r == 0 {
				p.vs[i] = Point(snapped(v))
			}
		}
	}
	return s
}

func families() []string {
	return []string{"blobs", "rectilinear", "near", "stars", "holes", "turned", "circles", "coincident arcs", "slots", "tangent", "same"}
}

func pair(family string, g gen) (a, b solid) {
	switch family {
	case "blobs":
		for range 1 + g.IntN(3) {
			a.plus, b.plus = append(a.plus, g.blob()), append(b.plus, g.blob())
		}
		for range g.IntN(3) {
			a.minus, b.minus = append(a.minus, g.blob()), append(b.minus, g.blob())
		}
	case "rectilinear":
		for _, s := range []*solid{&a, &b} {
			for range 1 + g.IntN(6) {
				s.plus = append(s.plus, g.rect(g.grid(5, 5), g.grid(5, 5), float64(1+g.IntN(5))*5, float64(1+g.IntN(5))*5))
			}
			for range g.IntN(4) {
				s.minus = append(s.minus, g.rect(g.grid(5, 5), g.grid(5, 5), float64(1+g.IntN(3))*5, float64(1+g.IntN(3))*5))
			}
		}
	case "near":
		e := math.Pow(10, -9+6*g.Float64())
		for _, s := range []*solid{&a, &b} {
			for range 1 + g.IntN(4) {
				p := g.rect(g.grid(3, 5), g.grid(3, 5), float64(1+g.IntN(5))*5, float64(1+g.IntN(5))*5)
				for i := range p.vs {
					p.vs[i] = p.vs[i].Add(Point{g.in(-e, e), g.in(-e, e)})
				}
				s.plus = append(s.plus, p)
			}
			if g.IntN(2) == 0 {
				c := Point{g.grid(2, 5) + g.in(-e, e), g.grid(2, 5) + g.in(-e, e)}
				s.minus = append(s.minus, prim{vs: []Point{c, c}, r: 5 + g.in(-e, e)})
			}
		}
	case "stars":
		a.plus = []prim{g.star(Point{}, 5+g.IntN(60), 2, 30)}
		b.plus = []prim{g.star(Point{g.in(-9, 9), g.in(-9, 9)}, 5+g.IntN(60), 2, 30)}
	case "holes":
		n := 6 + g.IntN(17) // up to 22 × 22
		for _, s := range []*solid{&a, &b} {
			s.plus = []prim{g.rect(-60, -60, 120, 120)}
			pitch, off := g.in(3, 5), Point{g.in(-55, -50), g.in(-55, -50)}
			kind := g.IntN(3)
			for i := range n {
				for k := range n {
					c := off.Add(Point{float64(i) * pitch, float64(k) * pitch})
					switch kind {
					case 0:
						s.minus = append(s.minus, prim{vs: []Point{c, c}, r: 1.2})
					case 1:
						s.minus = append(s.minus, g.rect(c.X, c.Y, 2, 1.5))
					default:
						s.minus = append(s.minus, prim{vs: []Point{c, c.Add(Point{1.5, 0.5})}, r: 0.5})
					}
				}
			}
		}
	case "turned":
		a, b = pair("rectilinear", g)
		t := Degrees(g.in(0, 360))
		if g.IntN(2) == 0 {
			t = Degrees(g.IntN(24) * 15)
		}
		d := Point{g.in(-3, 3), g.in(-3, 3)}
		a, b = a.turned(t, d), b.turned(t, d)
	case "circles":
		for _, s := range []*solid{&a, &b} {
			for range 1 + g.IntN(5) {
				c := Point{g.in(-20, 20), g.in(-20, 20)}
				s.plus = append(s.plus, prim{vs: []Point{c, c}, r: g.in(1, 20)})
			}
			for range g.IntN(4) {
				c := Point{g.in(-20, 20), g.in(-20, 20)}
				s.minus = append(s.minus, prim{vs: []Point{c, c}, r: g.in(1, 10)})
			}
		}
	case "coincident arcs":
		cs := []Point{{0, 0}, {5, 0}, {0, 7.5}}
		rs := []float64{5, 10, 12.5}
		for _, s := range []*solid{&a, &b} {
			for range 1 + g.IntN(3) {
				c := cs[g.IntN(3)]
				s.plus = append(s.plus, prim{vs: []Point{c, c}, r: rs[g.IntN(3)]})
			}
			for range g.IntN(3) {
				switch g.IntN(2) {
				case 0:
					c := cs[g.IntN(3)]
					s.minus = append(s.minus, prim{vs: []Point{c, c}, r: rs[g.IntN(3)]})
				default:
					s.minus = append(s.minus, g.star(cs[g.IntN(3)], 4+g.IntN(4), 3, 20))
				}
			}
		}
	case "slots":
		for _, s := range []*solid{&a, &b} {
			s.plus = []prim{g.rect(-30, -20, 60, 40)}
			for range 1 + g.IntN(12) {
				c := Point{g.grid(6, 5), g.grid(4, 5)}
				d := []Point{{5, 0}, {0, 5}, {10, 0}, {3, 4}, {-3, 4}, {4, 3}}[g.IntN(6)]
				s.minus = append(s.minus, prim{vs: []Point{c, c.Add(d)}, r: []float64{1, 2.5, 1.5}[g.IntN(3)]})
			}
		}
		b = b.turned(Degrees(g.IntN(8)*45), Point{g.grid(2, 5), g.grid(2, 5)})
	case "tangent":
		// Circles that touch circles and lines, from inside and outside, exactly
		// or nearly.
		e := 0.0
		if g.IntN(2) == 0 {
			e = math.Pow(10, -9+7*g.Float64()) * float64(1-2*g.IntN(2))
		}
		r := 1 + g.IntN(9)
		q := 1 + g.IntN(9)
		a.plus = []prim{{vs: []Point{{}, {}}, r: float64(r)}}
		d := Point{float64(r + q), 0}
		if g.IntN(2) == 0 {
			d.X = float64(r - q)
		}
		d.X += e
		d = d.Turned(Degrees(g.IntN(12) * 30))
		b.plus = []prim{{vs: []Point{d, d}, r: float64(q)}}
		if g.IntN(2) == 0 {
			b.plus = append(b.plus, g.rect(-20, float64(r)+e, 40, 5))
		}
		if g.IntN(2) == 0 {
			a.plus = append(a.plus, g.rect(-20, -float64(r)+e, 40, float64(r)))
		}
	case "same":
		a, _ = pair(families()[g.IntN(len(families())-1)], g)
		b = a
		if g.IntN(2) == 0 {
			_, b = pair("blobs", g)
			b.plus = append(b.plus, a.plus...)
		}
	}
	return a.exact(), b.exact()
}

// judgement is what one case showed.
type judgement struct {
	wrong []string
	area  float64 // the largest error of an area per length of border, mm
	holes bool
}

// judge computes everything both ways.
func judge(a, b solid, seed uint64) (j judgement) {
	g := gen{rand.New(rand.NewPCG(seed, 7))}
	v := newSurvey(a, b)
	bad := func(format string, args ...any) { j.wrong = append(j.wrong, fmt.Sprintf(format, args...)) }
	ra, rb := a.region(), b.region()
	out := [6]Region{ra.Union(rb), ra.Intersect(rb), ra.Subtract(rb), ra.Xor(rb), ra, rb}
	name := [6]string{"union", "intersection", "difference", "xor", "a", "b"}
	for i, r := range out {
		if r.Err() != nil {
			bad("%s: %v", name[i], r.Err())
			return j
		}
		for _, w := range soundness(r, v) {
			bad("%s: %s", name[i], w)
		}
	}
	border := 1.0
	for _, p := range v.ps {
		for i, v := range p.vs {
			border += v.Sub(p.vs[(i+1)%len(p.vs)]).Len()
		}
		border += 2 * math.Pi * p.r
	}
	check := func(what string, got, want float64) {
		e := math.Abs(got-want) / border
		j.area = math.Max(j.area, e)
		if e > 1e-3 || math.IsNaN(e) {
			bad("%s: area %.9g, want %.9g", what, got, want)
		}
	}
	var ar [6]float64
	for i, r := range out {
		ar[i] = r.Area()
	}
	check("inclusion-exclusion", ar[0]+ar[1], ar[4]+ar[5])
	check("xor", ar[3], ar[0]-ar[1])
	check("difference", ar[2], ar[4]-ar[1])
	if len(v.ps) < 40 {
		for i, want := range v.areas() {
			check("scan of "+name[i], ar[i], want)
		}
	} else {
		j.holes = true
	}
	box := ra.Bounds()
	if bb := rb.Bounds(); !bb.Empty() {
		box.Min = Point{math.Min(box.Min.X, bb.Min.X), math.Min(box.Min.Y, bb.Min.Y)}
		box.Max = Point{math.Max(box.Max.X, bb.Max.X), math.Max(box.Max.Y, bb.Max.Y)}
	}
	test := func(p Point, clear float64) {
		if v.near(p, clear) {
			return
		}
		in := v.has(p)
		x, z := in[0], in[1]
		for i, want := range [6]bool{x || z, x && z, x && !z, x != z, x, z} {
			if out[i].Contains(p) != want {
				bad("%s: holds %.9g, %.9g: %v, want %v", name[i], p.X, p.Y, !want, want)
			}
		}
	}
	if !box.Empty() {
		for range 20 {
			test(Point{g.in(box.Min.X-1, box.Max.X+1), g.in(box.Min.Y-1, box.Max.Y+1)}, 0.004)
		}
	}
	// And close beside the results' own borders.
	for _, r := range out[:4] {
		n := 0
		for c := range r.Contours() {
			for _, s := range c.Segments {
				if n++; n > 12 {
					break
				}
				m := s.From.Add(s.To).Mul(0.5)
				d := s.To.Sub(s.From).Perp()
				if d.Len() > 0 {
					d = d.Mul(1 / d.Len())
				}
				if s.Radius > 0 {
					u := s.From.Sub(s.Centre).Turned(s.Sweep / 2)
					m = s.Centre.Add(u)
					d = u.Mul(1 / s.Radius)
				}
				test(m.Add(d.Mul(0.01)), 0.004)
				test(m.Sub(d.Mul(0.01)), 0.004)
			}
		}
	}
	return j
}

// soundness lists what is wrong with the boundary of r by itself: chains that
// do not close, segments that are next to nothing, arcs that miss their ends or
// have a circle that no operand has, corners that lie on no border of an
// operand.
func soundness(r Region, v *survey) (wrong []string) {
	bad := func(format string, args ...any) { wrong = append(wrong, fmt.Sprintf(format, args...)) }
	type disc struct {
		c Point
		r float64
	}
	var discs []disc
	for _, p := range v.ps {
		for _, c := range p.centres() {
			discs = append(discs, disc{c, p.r})
		}
	}
	slices.SortFunc(discs, func(a, b disc) int { return cmp.Compare(a.c.X, b.c.X) })
	const stray = 2e-7
	for c := range r.Contours() {
		n := len(c.Segments)
		for i, s := range c.Segments {
			if s.To != c.Segments[(i+1)%n].From {
				bad("chain broken at %v", s.To)
			}
			l := s.To.Sub(s.From).Len()
			if s.Radius > 0 {
				l = math.Max(l, s.Radius*math.Abs(float64(s.Sweep))*math.Pi/180)
				for _, p := range [2]Point{s.From, s.To} {
					if e := math.Abs(p.Sub(s.Centre).Len() - s.Radius); e > 5e-9 {
						bad("arc misses its end by %g", e)
					}
				}
				k := sort.Search(len(discs), func(k int) bool { return discs[k].c.X >= s.Centre.X-stray })
				found := false
				for ; k < len(discs) && discs[k].c.X <= s.Centre.X+stray && !found; k++ {
					found = discs[k].c.Sub(s.Centre).Len()+math.Abs(discs[k].r-s.Radius) <= stray
				}
				if !found {
					bad("arc about %v of radius %v is nobody's", s.Centre, s.Radius)
				}
			}
			if l < 1e-6 {
				bad("segment of %g mm at %v", l, s.From)
			}
			if !v.near(s.From, 0.003) {
				bad("corner %v is %g off every border", s.From, math.Min(v.s[0].dist(s.From), v.s[1].dist(s.From)))
			}
		}
	}
	return wrong
}

// describe writes a case as text (see testdata/polygons).
func describe(a, b solid) string {
	var w strings.Builder
	for _, s := range []struct {
		name string
		ps   []prim
	}{{"a +", a.plus}, {"a -", a.minus}, {"b +", b.plus}, {"b -", b.minus}} {
		for _, p := range s.ps {
			fmt.Fprintf(&w, "%s", s.name)
			if p.r > 0 {
				fmt.Fprintf(&w, " r%v", p.r)
			}
			for _, v := range p.vs {
				fmt.Fprintf(&w, " %v,%v", v.X, v.Y)
			}
			w.WriteByte('\n')
		}
	}
	return w.String()
}

// oneCase runs case number n and returns its family.
func oneCase(n uint64) (family string, a, b solid, j judgement) {
	fs := families()
	family = fs[n%uint64(len(fs))]
	if family == "holes" && n%5 != 0 { // these take a hundred times as long
		family = "blobs"
	}
	a, b = pair(family, gen{rand.New(rand.NewPCG(n, 1))})
	return family, a, b, judge(a, b, n)
}

// TestRegionMillion checks booleans of random pairs against the independent
// count. It runs a few hundred; for more:
//
//	go test ./layers -run TestRegionMillion -cases 1000000 -timeout 0
func TestRegionMillion(t *testing.T) {
	type sum struct {
		n, wrong int
		worst    float64
		at       uint64
	}
	var mu sync.Mutex
	sums := map[string]*sum{}
	for _, f := range families() {
		sums[f] = &sum{}
	}
	var next, done atomic.Uint64
	next.Store(*firstCase)
	start := time.Now()
	var wg sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for {
				n := next.Add(1) - 1
				if n >= *firstCase+*cases {
					return
				}
				func() {
					defer func() {
						if e := recover(); e != nil {
							t.Errorf("case %d: panic: %v", n, e)
						}
					}()
					family, a, b, j := oneCase(n)
					mu.Lock()
					defer mu.Unlock()
					s := sums[family]
					s.n++
					if j.area > s.worst {
						s.worst, s.at = j.area, n
					}
					if len(j.wrong) > 0 {
						s.wrong++
						if len(j.wrong) > 4 {
							j.wrong = j.wrong[:4]
						}
						text := describe(a, b)
						if len(text) > 1500 {
							text = ""
						}
						t.Errorf("case %d, %s:\n  %s\n%s", n, family, strings.Join(j.wrong, "\n  "), text)
					}
				}()
				if d := done.Add(1); d%10000 == 0 {
					t.Logf("%d cases, %.0f a second", d, float64(d)/time.Since(start).Seconds())
				}
			}
		}()
	}
	wg.Wait()
	t.Logf("%d cases in %v", done.Load(), time.Since(start).Round(time.Second))
	for _, f := range families() {
		s := sums[f]
		t.Logf("%-16s %7d cases, %d wrong, area within %.2g mm of border (%d)", f, s.n, s.wrong, s.worst, s.at)
	}
}
