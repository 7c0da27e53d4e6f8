package kernel

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/peterstace/simplefeatures/geom"
)

// ErrTooComplicated is returned for input whose boundaries meet too often to
// be taken apart in reasonable time.
var ErrTooComplicated = errors.New("boundaries cross each other too often")

const maxMeetings = 100_000

// Resolve returns the region that closed chains of segments fill by the
// non-zero rule. met tells whether any of them touches or crosses itself or
// another.
func Resolve(chains [][]Seg) (s Shape, met bool, err error) {
	var rings []Ring
	n := 0
	for _, c := range chains {
		if len(c) > 1 {
			rings = append(rings, NewRing(c))
			n += len(c)
		}
	}
	if n > MaxSegs {
		return Shape{}, false, fmt.Errorf("%d segments, at most %d are accepted", n, MaxSegs)
	}
	met, err = meeting(rings)
	if err != nil {
		return Shape{}, met, err
	}
	if met {
		rings, err = dissolve(rings)
	} else {
		rings = nonZero(rings)
	}
	if err != nil {
		return Shape{}, met, err
	}
	s, err = NewShape(rings)
	return s, met, err
}

// meeting reports whether any two segments meet but for neighbours at their
// joint.
func meeting(rings []Ring) (bool, error) {
	segs, ring, t := Shape{Rings: rings}.indexed()
	first := make([]int, len(rings)+1)
	for i, r := range rings {
		first[i+1] = first[i] + len(r.Segs)
	}
	count := 0
	for i, g := range segs {
		t.each(g.Box().grow(1e-7), func(k int) bool {
			if k <= i {
				return true
			}
			if n := first[ring[i]+1] - first[ring[i]]; ring[k] == ring[i] {
				if gap := k - i; gap == 1 || gap == n-1 {
					if n == 2 {
						if g.IsArc() || segs[k].IsArc() {
							return true
						}
					} else if !crossAgain(g, segs[k], gap == 1) && !foldsBack(g, segs[k], gap == 1) {
						return true
					}
					count++
					return true
				}
			}
			if !apart(g, segs[k], 1e-7) {
				count++
			}
			return count <= maxMeetings
		})
		if count > maxMeetings {
			return true, ErrTooComplicated
		}
	}
	return count > 0, nil
}

// foldsBack reports whether neighbours leave their joint in one direction.
func foldsBack(a, b Seg, forward bool) bool {
	if !forward {
		a, b = b, a
	}
	ta, tb := a.tangent(a.B), b.tangent(b.A)
	return ta.Dot(tb) < -1+1e-14
}

// nonZero keeps, of rings that keep clear of each other, those that part
// filled from not filled, turned so that the filling lies to the left.
func nonZero(rings []Ring) []Ring {
	boxes := make([]Box, len(rings))
	for i, r := range rings {
		boxes[i] = r.box
	}
	t := newIndex(boxes)
	var out []Ring
	for i, r := range rings {
		p := r.Segs[0].At(0.5)
		outside := 0
		t.each(Box{p, p}, func(k int) bool {
			if k != i {
				outside += rings[k].winding(p)
			}
			return true
		})
		within := outside + 1
		if r.area < 0 {
			within = outside - 1
		}
		if within != 0 == (outside != 0) {
			continue
		}
		if within != 0 == (r.area < 0) {
			r = r.Reverse()
		}
		out = append(out, r)
	}
	return out
}

// dissolve finds the non-zero filling of rings that cross: the overlay engine
// cuts the flattened rings where they meet, every stretch is kept that has
// filling on one side only, and the stretches are strung together.
func dissolve(rings []Ring) ([]Ring, error) {
	m := newMatcher()
	type edge struct{ a, b Vec }
	var edges []edge
	var lines []geom.LineString
	for _, r := range rings {
		vs := m.flat(r)
		k := 0
		for i, v := range vs {
			if i == 0 || v != vs[k-1] {
				vs[k] = v
				k++
			}
		}
		vs = vs[:k]
		if len(vs) < 2 {
			continue
		}
		for i, v := range vs {
			edges = append(edges, edge{v, vs[(i+1)%len(vs)]})
		}
		lines = append(lines, toGeom(vs))
	}
	noded, err := geom.UnaryUnion(geom.NewMultiLineString(lines).AsGeometry())
	if err != nil {
		return nil, fmt.Errorf("self-crossing outline: %w", err)
	}
	boxes := make([]Box, len(edges))
	for i, e := range edges {
		boxes[i] = Box{e.a, e.a}.add(e.b)
	}
	t := newIndex(boxes)
	winding := func(p Vec) int {
		w := 0
		t.each(Box{p, Vec{math.Inf(1), p.Y}}, func(i int) bool {
			s := Line(edges[i].a, edges[i].b)
			w += crossings(&s, p)
			return true
		})
		return w
	}
	// Stretches with filling to their left only.
	var paths [][]Vec
	linesOf(noded, func(vs []Vec) {
		k, l := 0, 0.0
		for i := range len(vs) - 1 {
			if d := vs[i].Dist(vs[i+1]); d > l {
				k, l = i, d
			}
		}
		if l == 0 {
			return
		}
		mid := vs[k].Add(vs[k+1]).Mul(0.5)
		n := vs[k+1].Sub(vs[k]).unit().perp().Mul(math.Min(1e-7, l/8))
		left, right := winding(mid.Add(n)) != 0, winding(mid.Sub(n)) != 0
		if left == right {
			return
		}
		if right {
			slices.Reverse(vs)
		}
		paths = append(paths, vs)
	})
	var out []Ring
	for _, vs := range stringTogether(paths) {
		if math.Abs(polyArea(vs)) < Sagitta*polyLen(vs) {
			continue
		}
		out = append(out, pinched(m.rebuild(vs))...)
	}
	return out, nil
}

func linesOf(g geom.Geometry, f func(vs []Vec)) {
	switch g.Type() {
	case geom.TypeLineString:
		seq := g.MustAsLineString().Coordinates()
		vs := make([]Vec, seq.Length())
		for k := range vs {
			c := seq.GetXY(k)
			vs[k] = Vec{c.X, c.Y}
		}
		if len(vs) > 1 {
			f(vs)
		}
	case geom.TypeMultiLineString:
		ml := g.MustAsMultiLineString()
		for i := range ml.NumLineStrings() {
			linesOf(ml.LineStringN(i).AsGeometry(), f)
		}
	case geom.TypeGeometryCollection:
		c := g.MustAsGeometryCollection()
		for i := range c.NumGeometries() {
			linesOf(c.GeometryN(i), f)
		}
	}
}

// stringTogether makes rings of directed paths, keeping the same face to the
// left, and splits rings where they touch themselves. Paths that lead nowhere
// are left out.
func stringTogether(paths [][]Vec) [][]Vec {
	from := map[Vec][]int{}
	for i, p := range paths {
		from[p[0]] = append(from[p[0]], i)
	}
	used := make([]bool, len(paths))
	var out [][]Vec
	for i := range paths {
		if used[i] {
			continue
		}
		var vs []Vec
		seen := map[Vec]int{}
		for k := i; k >= 0; {
			used[k] = true
			p := paths[k]
			for _, v := range p[:len(p)-1] {
				if at, ok := seen[v]; ok { // a loop closes here
					loop := slices.Clone(vs[at:])
					for _, w := range loop {
						delete(seen, w)
					}
					vs = vs[:at]
					if len(loop) > 2 {
						out = append(out, loop)
					}
				}
				seen[v] = len(vs)
				vs = append(vs, v)
			}
			end := p[len(p)-1]
			back := p[len(p)-2].Sub(end)
			// The first way out, clockwise from where we came.
			next, best := -1, math.Inf(1)
			for _, c := range from[end] {
				if used[c] {
					continue
				}
				v := paths[c][1].Sub(end)
				a := -math.Atan2(back.Cross(v), back.Dot(v))
				if a <= 0 {
					a += 2 * math.Pi
				}
				if cmp.Compare(a, best) < 0 {
					next, best = c, a
				}
			}
			if next < 0 {
				if at, ok := seen[end]; ok && len(vs)-at > 2 {
					out = append(out, slices.Clone(vs[at:]))
				}
				break
			}
			k = next
		}
	}
	return out
}
