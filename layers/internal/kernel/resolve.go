package kernel

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
)

// ErrTooComplicated is returned for input whose boundaries meet too often to
// be taken apart in reasonable time.
var ErrTooComplicated = errors.New("boundaries cross each other too often")

const (
	maxMeetings  = 100_000 // of different rings
	maxCrossings = 5_000   // of rings with themselves
)

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
	self, other, err := meeting(rings, touching)
	if err != nil {
		return Shape{}, true, err
	}
	if !other && !slices.Contains(self, true) {
		s, err = NewShape(nonZero(rings))
		return s, false, err
	}
	s, err = nonZeroMet(rings, self)
	return s, true, err
}

// nonZeroMet is the non-zero filling of rings that may meet, or, where self
// says so, meet themselves. It counts how often each place is gone round, by
// sets that hold the places gone round at least k times, one way and the
// other.
func nonZeroMet(rings []Ring, self []bool) (Shape, error) {
	var round [2][]Shape // counter-clockwise, clockwise
	for i, r := range rings {
		parts := []Ring{r}
		if self[i] {
			parts = loops(r, touching)
		}
		for _, r := range parts {
			way := 0
			if r.area < 0 {
				way, r = 1, r.Reverse()
			}
			s, err := NewShape([]Ring{r})
			if err != nil {
				return Shape{}, err
			}
			round[way] = append(round[way], s)
		}
	}
	var levels [2][]Shape
	for way := range round {
		parts, err := coloured(round[way])
		if err != nil {
			return Shape{}, err
		}
		for _, x := range parts {
			for k := 0; !x.Empty(); k++ {
				if k == len(levels[way]) {
					levels[way] = append(levels[way], x)
					break
				}
				was := levels[way][k]
				if levels[way][k], err = Combine(Union, was, x); err != nil {
					return Shape{}, err
				}
				if x, err = Combine(Intersection, was, x); err != nil {
					return Shape{}, err
				}
			}
		}
	}
	// Filled is where the two counts differ.
	var filled []Shape
	for k := range max(len(levels[0]), len(levels[1])) {
		var a, b Shape
		if k < len(levels[0]) {
			a = levels[0][k]
		}
		if k < len(levels[1]) {
			b = levels[1][k]
		}
		x, err := Combine(Xor, a, b)
		if err != nil {
			return Shape{}, err
		}
		filled = append(filled, x)
	}
	return CombineAll(filled)
}

// meeting reports which rings meet themselves but at joints of neighbours, and
// whether any two meet each other: come within tol.
func meeting(rings []Ring, tol float64) (self []bool, other bool, err error) {
	segs, ring, t := Shape{Rings: rings}.indexed()
	self = make([]bool, len(rings))
	first := make([]int, len(rings)+1)
	for i, r := range rings {
		first[i+1] = first[i] + len(r.Segs)
	}
	count, crossings := 0, 0
	for i, g := range segs {
		t.each(g.Box().grow(tol), func(k int) bool {
			if k <= i {
				return true
			}
			if n := first[ring[i]+1] - first[ring[i]]; ring[k] == ring[i] {
				if gap := k - i; gap == 1 || gap == n-1 {
					fine := g.IsArc() || segs[k].IsArc()
					if n > 2 {
						fine = !crossAgain(g, segs[k], gap == 1) && !foldsBack(g, segs[k], gap == 1)
					}
					if !fine {
						self[ring[i]] = true
						crossings++
					}
					return true
				}
			}
			if !apart(g, segs[k], tol) {
				if ring[k] == ring[i] {
					self[ring[i]] = true
					crossings++
				} else {
					other = true
					count++
				}
			}
			return count <= maxMeetings && crossings <= maxCrossings
		})
		if count > maxMeetings || crossings > maxCrossings {
			return nil, true, ErrTooComplicated
		}
	}
	return self, other, nil
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

// touching is how close ends and borders of one input must come to be taken
// for one, mm: what coordinates lose when they snap to the grid of 1e-7.
const touching = 1e-7

// meetsItself reports whether r touches or crosses itself.
func meetsItself(r Ring) bool {
	self, _, err := meeting([]Ring{r}, same)
	return err == nil && self[0]
}

// loops parts a ring that meets itself into rings that do not: cut where it
// meets itself, and walked along, it is parted whenever it comes back to where
// it has been, within tol. The turns that all of them make about a point add up to those
// of r.
func loops(r Ring, tol float64) []Ring {
	cuts := make([][]Vec, len(r.Segs))
	t := newIndex(boxesOf(r.Segs))
	for i, g := range r.Segs {
		t.each(g.Box().grow(tol), func(k int) bool {
			if k <= i {
				return true
			}
			h := r.Segs[k]
			var buf [2]Vec
			for _, p := range meet(buf[:0], g, h, tol) {
				if g.within(p, tol) && h.within(p, tol) {
					cuts[i], cuts[k] = append(cuts[i], p), append(cuts[k], p)
				}
			}
			for _, p := range [2]Vec{g.A, g.B} {
				if h.Nearest(p).Dist(p) <= tol {
					cuts[k] = append(cuts[k], p)
				}
			}
			for _, p := range [2]Vec{h.A, h.B} {
				if g.Nearest(p).Dist(p) <= tol {
					cuts[i] = append(cuts[i], p)
				}
			}
			return true
		})
	}
	var walk []Seg
	for i, g := range r.Segs {
		walk = append(walk, g.cutAt(cuts[i], tol)...)
	}
	weld(walk, 2*tol)
	walk = slices.DeleteFunc(walk, func(s Seg) bool { return s.A == s.B && math.Abs(s.Sweep) < 6 })
	return pinched(walk)
}

// cutAt returns s in pieces that end near the given points of it.
func (s Seg) cutAt(ps []Vec, tol float64) []Seg {
	along := func(p Vec) float64 {
		if s.IsArc() {
			a, v := s.A.Sub(s.C), p.Sub(s.C)
			t := math.Atan2(a.Cross(v), a.Dot(v))
			if s.Sweep < 0 {
				t = -t
			}
			if t < -tol/s.R {
				t += 2 * math.Pi
			}
			return t * s.R
		}
		return p.Sub(s.A).Dot(s.B.Sub(s.A).unit())
	}
	type cut struct {
		at float64
		p  Vec
	}
	var cs []cut
	for _, p := range ps {
		if d := along(p); d > tol && d < s.Len()-tol {
			cs = append(cs, cut{d, s.on(p)})
		}
	}
	slices.SortFunc(cs, func(a, b cut) int { return cmp.Compare(a.at, b.at) })
	var out []Seg
	from, done := s.A, 0.0
	add := func(to Vec, at float64) {
		g := s
		g.A, g.B = from, to
		if s.IsArc() {
			g.Sweep = math.Copysign((at-done)/s.R, s.Sweep)
		}
		out = append(out, g)
		from, done = to, at
	}
	for _, c := range cs {
		if c.at-done > tol {
			add(c.p, c.at)
		}
	}
	add(s.B, s.Len())
	return out
}
