package kernel

import (
	"fmt"
	"math"
	"slices"

	"github.com/peterstace/simplefeatures/geom"
)

// MitreLimit is how far a mitred corner may reach from the corner it offsets,
// in multiples of the offset; beyond it is cut off square.
const MitreLimit = 5

// Offset returns s with its boundary moved outward by d, inward where d is
// negative. Corners that open are rounded where round, else mitred.
//
// Each segment is moved on its own and met with its moved neighbours. That is
// the exact answer for every ring whose moved segments all keep their
// direction, stay at distance |d| of the whole old boundary, and keep clear of
// each other. The other rings go through the overlay engine's buffer, and
// their lines and arcs are recognised in its result.
func Offset(s Shape, d float64, round bool) (Shape, error) {
	if s.Empty() || d == 0 {
		return s, nil
	}
	raws := make([]rawRing, len(s.Rings))
	bad := make([]bool, len(s.Rings))
	for i, r := range s.Rings {
		raws[i] = rawOffset(r, d, round)
		bad[i] = !raws[i].ok
	}
	judge(s, raws, bad, d)
	var out []Ring
	enclosing(s, bad)
	for i := range raws {
		if !bad[i] {
			out = append(out, raws[i].ring)
		}
	}
	pieces := pick(s, bad)
	if len(pieces) == 0 {
		return NewShape(out)
	}
	// Borders that meet exactly where they are moved to can lead the engine
	// astray. A result that contradicts the definition is tried again, moved by
	// less than anything sees more or less, and with its operand cleaned.
	var first error
	for _, try := range [...]struct {
		more  float64
		clean bool
	}{{0, false}, {3e-7, false}, {-3e-7, false}, {0, true}, {5e-7, true}} {
		rings, err := buffer(pieces, d, try.more, try.clean, round)
		if err == nil {
			var res Shape
			if res, err = NewShape(slices.Concat(out, rings)); err == nil {
				if offsetPlausible(s, pieces, rings, res, d) {
					return res, nil
				}
				err = errImplausible
			}
		}
		if first == nil {
			first = err
		}
	}
	return Shape{}, fmt.Errorf("offset by %g mm: %w", d, first)
}

// offsetPlausible checks places just beside some of the rings that offsetting
// s by d gave against the distance from the border of s that decides what
// belongs to the offset.
func offsetPlausible(s Shape, pieces [][]Ring, rings []Ring, res Shape, d float64) bool {
	all := res.Rings
	segs, _, t := s.indexed()
	abs := math.Abs(d)
	const beside = 5 * Sagitta
	var places []Vec
	for _, r := range some(rings) {
		places = append(places, flanks(r, beside)...)
	}
	for _, r := range some(slices.Concat(pieces...)) {
		places = append(places, flanks(r, abs-beside)...)
		places = append(places, flanks(r, abs+beside)...)
		places = append(places, flanks(r, beside)...)
	}
	for _, p := range places {
		gap := math.Inf(1)
		t.near(Box{p, p}, gap, func(k int) float64 {
			gap = math.Min(gap, segs[k].Nearest(p).Dist(p))
			return gap
		})
		if math.Abs(gap-abs) < 2*Sagitta {
			continue
		}
		in := s.inside(p)
		want := in || gap < d
		if d < 0 {
			want = in && gap > abs
		}
		w := 0
		for _, r := range all {
			w += r.winding(p)
		}
		got := w > 0
		if got != want && !(got == (d > 0) && gap > abs && gap < 1.1*MitreLimit*abs) {
			return false
		}
	}
	return true
}

const (
	// mote is a length below which a segment that a corner would add is left
	// out, mm.
	mote = 1e-6
	// detour is how far apart along a ring two of its segments may lie and
	// still be taken for neighbours, which are near each other by nature, mm.
	detour = 0.02
)

// rawRing is a ring whose segments were moved one by one.
type rawRing struct {
	ring  Ring
	extra []bool // segments that mitres add: farther out than the offset
	ok    bool
}

// between returns the length of the segments of r between its i-th and its
// k-th, i < k, the shorter way round; a long way is cut short.
func (r rawRing) between(i, k int) float64 {
	along := func(from, to int) (mm float64) {
		n := len(r.ring.Segs)
		for j := (from + 1) % n; j != to && mm < detour; j = (j + 1) % n {
			mm += r.ring.Segs[j].Len()
		}
		return mm
	}
	return min(along(i, k), along(k, i))
}

// moved returns s moved to its right by d; ok is false for an arc whose radius
// vanishes.
func moved(s Seg, d float64) (_ Seg, ok bool) {
	if !s.IsArc() {
		n := s.B.Sub(s.A).unit().perp().Mul(-d)
		return Line(s.A.Add(n), s.B.Add(n)), true
	}
	r := s.R + d
	if !s.ccw() {
		r = s.R - d
	}
	if r < Sagitta {
		return s, false
	}
	k := r / s.R
	s.A = s.C.Add(s.A.Sub(s.C).Mul(k))
	s.B = s.C.Add(s.B.Sub(s.C).Mul(k))
	s.R = r
	return s, true
}

// corner tells what becomes of the corner at v between a and b when they are
// moved to the right by d.
type corner struct {
	opens bool
	add   []Seg // what fills an opening, from the end of a moved to the start of b moved
	cut   int   // how many of add, counted from each end, prolong a line: 0 or 1
}

func cornerOf(a, b Seg, d float64, round bool) corner {
	v := a.B
	ta, tb := a.tangent(v), b.tangent(b.A)
	turn := math.Atan2(ta.Cross(tb), ta.Dot(tb))
	if math.Abs(turn)*math.Abs(d) < 1e-8 || turn > 0 != (d > 0) && math.Abs(turn) < math.Pi-1e-9 {
		return corner{}
	}
	turn = math.Copysign(turn, d)
	from, to := v.Add(ta.perp().Mul(-d)), v.Add(tb.perp().Mul(-d))
	if round {
		return corner{opens: true, add: []Seg{{A: from, B: to, C: v, R: math.Abs(d), Sweep: turn}}}
	}
	if c := math.Cos(turn / 2); c*MitreLimit >= 1 {
		n := ta.Add(tb).unit().perp().Mul(-d / c)
		m := v.Add(n)
		return corner{opens: true, add: []Seg{Line(from, m), Line(m, to)}, cut: 1}
	}
	// Cut square across the bisector at the limit: go along the tangent
	// until MitreLimit·|d| out from v.
	half := math.Abs(turn) / 2
	l := (MitreLimit - math.Cos(half)) * math.Abs(d) / math.Sin(half)
	p, q := from.Add(ta.Mul(l)), to.Sub(tb.Mul(l))
	return corner{opens: true, add: []Seg{Line(from, p), Line(p, q), Line(q, to)}, cut: 1}
}

// rawOffset moves every segment of r and meets it with its neighbours. A
// segment of which nothing is left between them (a short one, or an arc whose
// radius is used up) goes, the shortest first, and its neighbours meet each
// other. Whether the result is the true offset is for judge to say.
func rawOffset(r Ring, d float64, round bool) rawRing {
	kept := make([]int, 0, len(r.Segs))
	for i, s := range r.Segs {
		if _, ok := moved(s, d); ok {
			kept = append(kept, i)
		}
	}
	for len(kept) > 1 {
		raw, gone := rawFrom(r, kept, d, round)
		if gone < 0 {
			return raw
		}
		kept = slices.Delete(kept, gone, gone+1)
	}
	return rawRing{}
}

// rawFrom is the raw offset of r by those of its segments that are kept; or
// gone is the place in kept of the shortest segment of which nothing is left.
func rawFrom(r Ring, kept []int, d float64, round bool) (_ rawRing, gone int) {
	n := len(kept)
	mv := make([]Seg, n)
	for i, k := range kept {
		mv[i], _ = moved(r.Segs[k], d)
	}
	gone = -1
	vanishes := func(i int) {
		if gone < 0 || r.Segs[kept[i]].Len() < r.Segs[kept[gone]].Len() {
			gone = i
		}
	}
	corners := make([]corner, n) // corners[i] between i and i+1
	for i, k := range kept {
		j := (i + 1) % n
		next := kept[j] == (k+1)%len(r.Segs)
		if next {
			corners[i] = cornerOf(r.Segs[k], r.Segs[kept[j]], d, round)
			if corners[i].opens {
				continue
			}
		}
		p, q := mv[i].B, mv[j].A
		if p.Dist(q) > 2*same {
			x, ok := closest(mv[i], mv[j], p.Add(q).Mul(0.5))
			if !ok {
				return rawRing{}, -1
			}
			p = x
		} else if !mv[i].IsArc() {
			p = q
		}
		if !setEnd(&mv[i], p, !next) {
			vanishes(i)
		}
		if !setStart(&mv[j], p, !next) {
			vanishes(j)
		}
	}
	if gone >= 0 {
		return rawRing{}, gone
	}
	var segs []Seg
	var extra []bool
	put := func(s Seg, x bool) {
		if k := len(segs) - 1; k >= 0 {
			if x && s.B.Dist(segs[k].B) < mote {
				return
			}
			s.A = segs[k].B
		}
		segs, extra = append(segs, s), append(extra, x)
	}
	// A mitre prolongs a line next to it rather than adding one.
	for i := range mv {
		h := (i + n - 1) % n
		s := mv[i]
		if c := corners[h]; c.opens && c.cut == 1 && !s.IsArc() {
			s.A = c.add[len(c.add)-1].A
		}
		c := corners[i]
		add := c.add
		if c.opens && c.cut == 1 {
			if !s.IsArc() {
				s.B = add[0].B
				add = add[1:]
			}
			if !mv[(i+1)%n].IsArc() {
				add = add[:len(add)-1]
			}
		}
		put(s, false)
		for _, g := range add {
			put(g, c.cut == 1)
		}
	}
	segs[len(segs)-1].B = segs[0].A
	return rawRing{ring: NewRing(segs), extra: extra, ok: true}, -1
}

// closest returns the crossing of the carriers of a and b nearest to v.
func closest(a, b Seg, v Vec) (Vec, bool) {
	var buf [2]Vec
	best, ok := Vec{}, false
	for _, p := range meet(buf[:0], a, b, same) {
		if !ok || p.Dist(v) < best.Dist(v) {
			best, ok = p, true
		}
	}
	return best, ok
}

// setEnd makes s end at p of its carrier; false where nothing is left of it.
// Only where it may grow is an arc made longer.
func setEnd(s *Seg, p Vec, grow bool) bool {
	if !s.IsArc() {
		if p.Sub(s.A).Dot(s.B.Sub(s.A)) <= 0 {
			return false
		}
		s.B = p
		return true
	}
	a, b := s.B.Sub(s.C), p.Sub(s.C)
	sweep := s.Sweep + math.Atan2(a.Cross(b), a.Dot(b))
	if sweep*s.Sweep <= 0 || math.Abs(sweep) > math.Abs(s.Sweep)+1e-6 && (!grow || math.Abs(sweep) >= 2*math.Pi) {
		return false
	}
	s.B, s.Sweep = p, sweep
	return true
}

func setStart(s *Seg, p Vec, grow bool) bool {
	t := s.Reverse()
	if !setEnd(&t, p, grow) {
		return false
	}
	*s = t.Reverse()
	return true
}

// judge marks in bad the rings whose raw offset is not the true one.
func judge(s Shape, raws []rawRing, bad []bool, d float64) {
	old, _, ot := s.indexed()
	var segs []Seg
	var ring, place []int
	for i, r := range raws {
		if bad[i] {
			continue
		}
		if r.ring.area > 0 != (s.Rings[i].area > 0) || r.ring.sliver() {
			bad[i] = true
			continue
		}
		for k, g := range r.ring.Segs {
			segs, ring, place = append(segs, g), append(ring, i), append(place, k)
		}
	}
	t := newIndex(boxesOf(segs))
	abs := math.Abs(d)
	for i, g := range segs {
		r := ring[i]
		n := len(raws[r].ring.Segs)
		if !bad[r] && !raws[r].extra[place[i]] {
			ot.each(g.Box().grow(abs), func(k int) bool {
				if e, _, _ := Dist(g, old[k]); e < abs-1e-7 {
					bad[r] = true
				}
				return !bad[r]
			})
		}
		t.each(g.Box().grow(Near), func(k int) bool {
			if k <= i || bad[r] && bad[ring[k]] {
				return true
			}
			if ring[k] == r {
				if gap := place[k] - place[i]; gap == 1 || gap == n-1 {
					if n > 2 && !crossAgain(g, segs[k], gap == 1) {
						return true
					}
					if n == 2 {
						return true
					}
					bad[r] = true
					return true
				}
				if raws[r].between(place[i], place[k]) < detour {
					bad[r] = bad[r] || cross(g, segs[k])
					return true
				}
			}
			if !apart(g, segs[k], Near) {
				bad[r], bad[ring[k]] = true, true
			}
			return true
		})
	}
	// What a spoilt ring may run into has to be reckoned with it: where it is
	// not known, everything within reach of it.
	reach := MitreLimit * abs
	boxes := make([]Box, len(s.Rings))
	for i, r := range s.Rings {
		boxes[i] = r.box.grow(reach)
	}
	rt := newIndex(boxes)
	var queue []int
	for i, b := range bad {
		if b {
			queue = append(queue, i)
		}
	}
	for len(queue) > 0 {
		i := queue[0]
		queue = queue[1:]
		rt.each(boxes[i], func(k int) bool {
			if !bad[k] && ringsWithin(s.Rings[i], s.Rings[k], 2*reach) {
				bad[k] = true
				queue = append(queue, k)
			}
			return true
		})
	}
}

func ringsWithin(a, b Ring, d float64) bool {
	for _, x := range a.Segs {
		if x.Box().dist(b.box) > d {
			continue
		}
		for _, y := range b.Segs {
			if !apart(x, y, d) {
				return true
			}
		}
	}
	return false
}

// cross reports whether a and b meet.
func cross(a, b Seg) bool {
	var buf [2]Vec
	return slices.ContainsFunc(meet(buf[:0], a, b, 0), func(p Vec) bool { return a.within(p, 0) && b.within(p, 0) })
}

// crossAgain reports whether neighbours meet anywhere but where they join.
func crossAgain(a, b Seg, forward bool) bool {
	v := a.B
	if !forward {
		v = a.A
	}
	var buf [2]Vec
	for _, p := range meet(buf[:0], a, b, 0) {
		if p.Dist(v) > 1e-6 && a.within(p, 0) && b.within(p, 0) {
			return true
		}
	}
	return false
}

// buffer offsets pieces with the overlay engine and recognises the moved lines
// and arcs in its result. The engine moves by d + more, the arcs get d.
func buffer(pieces [][]Ring, d, more float64, clean, round bool) ([]Ring, error) {
	abs := math.Abs(d)
	const sag = Sagitta / 4
	in := newMatcher()
	in.sag = sag
	out := newMatcher()
	out.loose, out.reach = true, 2*Sagitta
	var polys []geom.Polygon
	for _, rings := range pieces {
		var ls []geom.LineString
		for _, r := range rings {
			var vs []Vec
			n := len(r.Segs)
			for i, s := range r.Segs {
				c := 0.0
				if s.IsArc() {
					c = math.Max(chords(s.R, sag), chords(s.R+abs, sag))
				}
				vs = flatten(vs, s, c)
				if m, ok := moved(s, d); ok {
					if !m.IsArc() {
						for _, k := range [2]int{(i + n - 1) % n, i} {
							if c := cornerOf(r.Segs[k], r.Segs[(k+1)%n], d, round); c.opens && c.cut == 1 {
								if k == i {
									m.B = c.add[0].B
								} else {
									m.A = c.add[len(c.add)-1].A
								}
							}
						}
					}
					out.segs = append(out.segs, m)
				}
				if c := cornerOf(s, r.Segs[(i+1)%n], d, round); c.opens {
					out.segs = append(out.segs, c.add...)
				}
			}
			ls = append(ls, toGeom(vs))
		}
		polys = append(polys, geom.NewPolygon(ls))
	}
	opts := []geom.BufferOption{geom.BufferSimplifyFactor(1e-4 / math.Max(abs, 1e-4))}
	quad := int(math.Max(2, chords(abs, sag)/4))
	if round {
		opts = append(opts, geom.BufferJoinStyleRound(), geom.BufferQuadSegments(quad))
	} else {
		opts = append(opts, geom.BufferJoinStyleMitre(MitreLimit), geom.BufferQuadSegments(quad))
	}
	g := geom.NewMultiPolygon(polys).AsGeometry()
	var err error
	if clean {
		if g, err = geom.Buffer(g, 0); err != nil {
			return nil, err
		}
	}
	if g, err = geom.Buffer(g, d+more, opts...); err != nil {
		return nil, err
	}
	rings, _ := out.rings(g)
	return rings, nil
}
