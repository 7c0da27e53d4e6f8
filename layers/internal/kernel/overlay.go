package kernel

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/peterstace/simplefeatures/geom"
)

// Op is a boolean of two shapes.
type Op int

const (
	Union Op = iota
	Intersection
	Difference
	Xor
)

func (o Op) of(a, b bool) bool {
	switch o {
	case Union:
		return a || b
	case Intersection:
		return a && b
	case Difference:
		return a && !b
	}
	return a != b
}

// Combine returns a op b.
//
// Only rings that come near a ring of the other operand are overlaid, with all
// rings of their own operand that may surround them, so that inside and
// outside stay right. Any other ring is a border of the result, or not, over
// its whole length: it is one exactly where op changes across it.
func Combine(op Op, a, b Shape) (Shape, error) {
	if a.Empty() || b.Empty() || !a.box.grow(Near).meets(b.box) {
		switch op {
		case Intersection:
			return Shape{}, nil
		case Difference:
			return a, nil
		}
		if a.Empty() {
			return b, nil
		}
		if b.Empty() {
			return a, nil
		}
		return NewShape(slices.Concat(a.Rings, b.Rings))
	}
	if a.equal(b) {
		if op == Difference || op == Xor {
			return Shape{}, nil
		}
		return a, nil
	}
	inA, inB := interacting(a, b)
	var out []Ring
	if slices.Contains(inA, true) {
		enclosing(a, inA)
		enclosing(b, inB)
		rings, err := overlay(op, pick(a, inA), pick(b, inB))
		if err != nil {
			return Shape{}, err
		}
		out = rings
	}
	keep := func(s Shape, in []bool, other Shape, of func(self, other bool) bool) {
		for i, r := range s.Rings {
			if in[i] {
				continue
			}
			there := other.inside(r.Segs[0].At(0.5))
			left, right := of(true, there), of(false, there)
			switch {
			case left && !right:
				out = append(out, r)
			case right && !left:
				out = append(out, r.Reverse())
			}
		}
	}
	keep(a, inA, b, op.of)
	keep(b, inB, a, func(self, other bool) bool { return op.of(other, self) })
	return NewShape(out)
}

// interacting marks the rings of a and b that come within Near of each other.
func interacting(a, b Shape) (inA, inB []bool) {
	inA, inB = make([]bool, len(a.Rings)), make([]bool, len(b.Rings))
	x, y, mx, my := a, b, inA, inB
	if len(x.Rings) < len(y.Rings) {
		x, y, mx, my = b, a, inB, inA
	}
	// Index y, walk x.
	segs, ring, t := y.indexed()
	for i, r := range x.Rings {
		if !r.box.grow(Near).meets(y.box) {
			continue
		}
		for _, s := range r.Segs {
			t.each(s.Box().grow(Near), func(k int) bool {
				if !(mx[i] && my[ring[k]]) && !apart(s, segs[k], Near) {
					mx[i], my[ring[k]] = true, true
				}
				return true
			})
		}
	}
	return inA, inB
}

// enclosing adds to in the rings of s whose box holds that of a ring in it.
func enclosing(s Shape, in []bool) {
	var marked []Box
	for i, r := range s.Rings {
		if in[i] {
			marked = append(marked, r.box)
		}
	}
	for i, r := range s.Rings {
		if !in[i] && slices.ContainsFunc(marked, r.box.holds) {
			in[i] = true
		}
	}
}

// pick returns the pieces of s that the rings in in make up: a hole only ever
// comes with its outer ring, whose box holds its own.
func pick(s Shape, in []bool) [][]Ring {
	var ps [][]Ring
	for i, r := range s.Rings {
		switch {
		case !in[i]:
		case !r.Hole():
			ps = append(ps, []Ring{r})
		case len(ps) > 0:
			ps[len(ps)-1] = append(ps[len(ps)-1], r)
		}
	}
	return ps
}

// overlay runs the overlay engine on flattened pieces and brings arcs back.
//
// The engine errs, seldom, where corners of its operands nearly coincide: it
// fails on a conflict of sides, or takes an edge for one inside and returns
// another shape without a word. So corners are welded first, and every result
// is held against its operands (see depth); one that contradicts them is tried
// again from operands cleaned, and from operands on a coarser grid.
func overlay(op Op, a, b [][]Ring) ([]Ring, error) {
	run := geom.Union
	switch op {
	case Intersection:
		run = geom.Intersection
	case Difference:
		run = geom.Difference
	case Xor:
		run = geom.SymmetricDifference
	}
	var best []Ring
	least, first := math.Inf(1), error(nil)
	for _, try := range [...]struct {
		weld, grid float64
		clean      bool
	}{{weld: same}, {weld: same, clean: true}, {weld: touching}, {weld: mote, grid: mote}, {weld: mote, grid: mote, clean: true}} {
		m := newMatcher()
		m.spots.tol, m.grid = try.weld, try.grid
		ga, gb := m.polygons(a), m.polygons(b)
		var err error
		if try.clean {
			if ga, err = geom.Buffer(ga, 0); err == nil {
				gb, err = geom.Buffer(gb, 0)
			}
		}
		var g geom.Geometry
		if err == nil {
			g, err = run(ga, gb)
		}
		if err == nil {
			out, doubtful := m.rings(g)
			d := depth(op, a, b, out)
			if d > 0 && len(doubtful) > 0 {
				all := slices.Concat(out, doubtful)
				if e := depth(op, a, b, all); e < d {
					out, d = all, e
				}
			}
			if d == 0 {
				return out, nil
			}
			if d < least {
				best, least = out, d
			}
			err = errImplausible
		}
		first = cmp.Or(first, err)
	}
	if least <= tolerable {
		return best, nil
	}
	return nil, fmt.Errorf("overlay: %w", first)
}

var errImplausible = errors.New("the result contradicts its operands")

// some picks a dozen of rings, evenly, that are more than slivers.
func some(rings []Ring) []Ring {
	var out []Ring
	for i := 0; i < len(rings); i += len(rings)/12 + 1 {
		if !rings[i].sliver() {
			out = append(out, rings[i])
		}
	}
	return out
}

// flanks returns places at distance d to the left and right of the middles of
// the two longest segments of r.
func flanks(r Ring, d float64) []Vec {
	long := [2]Seg{r.Segs[0], r.Segs[0]}
	for _, g := range r.Segs[1:] {
		switch {
		case g.Len() > long[0].Len():
			long = [2]Seg{g, long[0]}
		case g.Len() > long[1].Len() || long[1] == long[0]:
			long[1] = g
		}
	}
	var out []Vec
	for _, g := range long {
		mid := g.At(0.5)
		n := g.tangent(mid).perp().Mul(d)
		out = append(out, mid.Add(n), mid.Sub(n))
	}
	return out
}

// toGeom returns the overlay engine's ring through closed vertices.
func toGeom(vs []Vec) geom.LineString {
	xy := make([]float64, 0, 2*len(vs)+2)
	for _, v := range vs {
		xy = append(xy, v.X, v.Y)
	}
	xy = append(xy, vs[0].X, vs[0].Y)
	return geom.NewLineString(geom.NewSequence(xy, geom.DimXY))
}

// polygonsOf calls f with the vertices of every ring in g, outer first, each
// without its repeated end; lines and points that an overlay leaves are not
// area and are passed over.
func polygonsOf(g geom.Geometry, f func(vs []Vec, outer bool)) {
	switch g.Type() {
	case geom.TypePolygon:
		p := g.MustAsPolygon()
		if p.IsEmpty() {
			return
		}
		for i := range p.NumRings() {
			l := p.ExteriorRing()
			if i > 0 {
				l = p.InteriorRingN(i - 1)
			}
			seq := l.Coordinates()
			vs := make([]Vec, 0, seq.Length())
			for k := range seq.Length() {
				c := seq.GetXY(k)
				v := Vec{c.X, c.Y}
				if len(vs) == 0 || vs[len(vs)-1] != v {
					vs = append(vs, v)
				}
			}
			for len(vs) > 1 && vs[0] == vs[len(vs)-1] {
				vs = vs[:len(vs)-1]
			}
			if len(vs) >= 3 {
				if outer := i == 0; (polyArea(vs) > 0) != outer {
					slices.Reverse(vs)
				}
				f(vs, i == 0)
			}
		}
	case geom.TypeMultiPolygon:
		mp := g.MustAsMultiPolygon()
		for i := range mp.NumPolygons() {
			polygonsOf(mp.PolygonN(i).AsGeometry(), f)
		}
	case geom.TypeGeometryCollection:
		c := g.MustAsGeometryCollection()
		for i := range c.NumGeometries() {
			polygonsOf(c.GeometryN(i), f)
		}
	}
}

func polyArea(vs []Vec) float64 {
	o, sum := vs[0], 0.0
	for i, v := range vs {
		sum += v.Sub(o).Cross(vs[(i+1)%len(vs)].Sub(o))
	}
	return sum / 2
}

// CombineAll returns the union of many shapes: by colours, which are few even
// for many shapes.
func CombineAll(shapes []Shape) (Shape, error) {
	parts, err := coloured(shapes)
	if err != nil || len(parts) == 0 {
		return Shape{}, err
	}
	for len(parts) > 1 {
		var next []Shape
		for i := 0; i < len(parts); i += 2 {
			if i+1 == len(parts) {
				next = append(next, parts[i])
				break
			}
			s, err := Combine(Union, parts[i], parts[i+1])
			if err != nil {
				return Shape{}, err
			}
			next = append(next, s)
		}
		parts = next
	}
	return parts[0], nil
}

// coloured joins shapes that keep clear of each other, which needs no overlay:
// each shape gets the first colour that none of those near it has, and the
// result is a shape a colour.
func coloured(shapes []Shape) ([]Shape, error) {
	var live []Shape
	for _, s := range shapes {
		if !s.Empty() {
			live = append(live, s)
		}
	}
	if len(live) <= 2 {
		return live, nil
	}
	boxes := make([]Box, len(live))
	for i, s := range live {
		boxes[i] = s.box.grow(Near)
	}
	t := newIndex(boxes)
	colour := make([]int, len(live))
	var byColour [][]Ring
	var used []bool
	for i := range live {
		clear(used)
		t.each(boxes[i], func(k int) bool {
			if k < i {
				used[colour[k]] = true
			}
			return true
		})
		c := slices.Index(used, false)
		if c < 0 {
			c = len(used)
			used = append(used, false)
			byColour = append(byColour, nil)
		}
		colour[i] = c
		byColour[c] = append(byColour[c], live[i].Rings...)
	}
	parts := make([]Shape, len(byColour))
	for i, rings := range byColour {
		var err error
		if parts[i], err = NewShape(rings); err != nil {
			return nil, err
		}
	}
	return parts, nil
}

// matcher remembers which segment every flattened edge came from.
type matcher struct {
	segs []Seg          // sources
	edge map[uint64]int // flattened edge, by the numbers of its ends → source
	sag  float64

	spots spots   // the corners flattened
	grid  float64 // where not 0, what corners are rounded to for the engine

	// Edges that were cut are searched for within reach of the sources: of
	// their chords, or where loose of the curves themselves.
	reach float64
	loose bool
	t     *index // over segs, built when a lookup first fails
}

func newMatcher() *matcher {
	return &matcher{edge: map[uint64]int{}, sag: Sagitta, reach: 1e-5, spots: spots{tol: same}}
}

// key returns what edge calls the edge between p and q; false where either is
// no flattened corner.
func (m *matcher) key(p, q Vec) (uint64, bool) {
	i, j := m.spots.find(p), m.spots.find(q)
	if i > j {
		i, j = j, i
	}
	return uint64(i)<<32 | uint64(j), i >= 0
}

// flat flattens r and notes where its edges come from.
func (m *matcher) flat(r Ring) []Vec {
	var vs []Vec
	var from []int
	for _, s := range r.Segs {
		n := 0.0
		if s.IsArc() {
			n = chords(s.R, m.sag)
		}
		vs = flatten(vs, s, n)
		for len(from) < len(vs) {
			from = append(from, len(m.segs))
		}
		m.segs = append(m.segs, s)
	}
	for i, v := range vs {
		vs[i] = m.spots.add(v)
	}
	for i, v := range vs {
		if k, ok := m.key(v, vs[(i+1)%len(vs)]); ok {
			if _, taken := m.edge[k]; !taken {
				m.edge[k] = from[i]
			}
		}
	}
	if m.grid > 0 {
		for i, v := range vs {
			vs[i] = Vec{math.Round(v.X/m.grid) * m.grid, math.Round(v.Y/m.grid) * m.grid}
		}
	}
	return vs
}

func (m *matcher) polygons(pieces [][]Ring) geom.Geometry {
	ps := make([]geom.Polygon, len(pieces))
	for i, rings := range pieces {
		ls := make([]geom.LineString, len(rings))
		for k, r := range rings {
			ls[k] = toGeom(m.flat(r))
		}
		ps[i] = geom.NewPolygon(ls)
	}
	return geom.NewMultiPolygon(ps).AsGeometry()
}

// source returns the segment that the edge from p to q lies on, or -1.
func (m *matcher) source(p, q Vec) int {
	if k, ok := m.key(p, q); ok {
		if i, ok := m.edge[k]; ok {
			return i
		}
	}
	if m.t == nil {
		m.t = newIndex(boxesOf(m.segs))
	}
	best, at := m.reach, -1
	mid := p.Add(q).Mul(0.5)
	box := Box{p, p}.add(q).grow(m.reach)
	if !m.loose {
		box = box.grow(m.sag) // chords may leave the box of their arc's middle
	}
	dir := q.Sub(p).unit()
	m.t.each(box, func(i int) bool {
		s := m.segs[i]
		if s.IsArc() && !m.loose {
			s = chordAt(s, mid, chords(s.R, m.sag))
		}
		nm := s.Nearest(mid)
		np, nq := s.Nearest(p), s.Nearest(q)
		if m.loose { // an edge may reach across the joint of two arcs of one circle
			np, nq = s.on(p), s.on(q)
		}
		d := math.Max(np.Dist(p), math.Max(nq.Dist(q), nm.Dist(mid)))
		// Of two sources equally near, the one more nearly parallel wins.
		d += 1e-3 * m.reach * math.Abs(s.tangent(nm).Cross(dir))
		if d < best-1e-12 || d <= best && at >= 0 && i < at {
			best, at = d, i
		}
		return true
	})
	return at
}

// rings returns the rings of g with their arcs. Exact arcs may part a ring
// where their chords kept it together by a micrometre; a thin loop that is then
// inside out is doubtful: an artefact as a rule, but a piece of its own where
// borders touch.
func (m *matcher) rings(g geom.Geometry) (out, doubtful []Ring) {
	polygonsOf(g, func(vs []Vec, outer bool) {
		for i, v := range vs {
			if k := m.spots.find(v); k >= 0 {
				vs[i] = m.spots.at[k]
			}
		}
		for _, r := range pinched(m.rebuild(vs)) {
			if !r.sliver() && meetsItself(r) {
				for _, l := range loops(r, same) {
					switch {
					case l.sliver():
					case l.Hole() != r.Hole() && math.Abs(l.area) < 8*Sagitta*l.len:
						doubtful = append(doubtful, tidy(l))
					default:
						out = append(out, tidy(l))
					}
				}
				continue
			}
			out = append(out, tidy(r))
		}
	})
	return out, doubtful
}

// run is a stretch of a result's border that lies on one carrier: seg, turned
// to the run's direction. from is its first vertex; turn is the angle an arc
// turns through, as its chords tell.
type run struct {
	seg   Seg
	last  Seg // the source of the run's last edge, where several make it up
	src   int // -1: a line of its own
	from  Vec
	turn  float64
	stiff bool    // its ends stay where flattening saw them, near enough
	gap   bool    // what came between it and the next run went
	long  float64 // the length of the edge that seg and src are of, the run's longest
}

// rebuild turns the vertices of a flattened ring back into lines and arcs.
func (m *matcher) rebuild(vs []Vec) []Seg {
	vs = distinct(vs)
	n := len(vs)
	if n < 3 {
		return nil
	}
	edges := make([]run, 0, n)
	for i, p := range vs {
		q := vs[(i+1)%n]
		e := run{src: m.source(p, q), from: p, long: p.Dist(q)}
		if e.src < 0 {
			e.seg = Line(p, q)
		} else {
			s := m.segs[e.src]
			if s.IsArc() {
				a, b := p.Sub(s.C), q.Sub(s.C)
				e.turn = math.Atan2(a.Cross(b), a.Dot(b))
				if e.turn < 0 != (s.Sweep < 0) {
					s = s.Reverse()
				}
			} else if s.B.Sub(s.A).Dot(q.Sub(p)) < 0 {
				s = s.Reverse()
			}
			e.seg = s
		}
		e.last = e.seg
		edges = append(edges, e)
	}
	runs := mergeRuns(edges)
	for range 2 * n {
		segs, drop := joinRuns(runs)
		if drop < 0 {
			return segs
		}
		k := len(runs)
		if !runs[drop].stiff && k > 2 && (length(runs, drop) > 20*Sagitta ||
			!meets(runs[(drop+k-1)%k], runs[(drop+1)%k], runs[drop].from)) {
			runs[drop].stiff = true
			continue
		}
		runs[(drop+k-1)%k].gap = true
		runs = mergeRuns(slices.Delete(runs, drop, drop+1))
	}
	segs, _ := joinRuns(runs)
	return segs
}

// distinct drops vertices that rounding set apart from the one before.
func distinct(vs []Vec) []Vec {
	out := vs[:0:0]
	for _, v := range vs {
		if k := len(out); k == 0 || v.Dist(out[k-1]) > same {
			out = append(out, v)
		}
	}
	for len(out) > 1 && out[0].Dist(out[len(out)-1]) <= same {
		out = out[:len(out)-1]
	}
	return out
}

// oneCarrier reports whether b goes on along the carrier of a, or folds back
// along it; at is where they join, to the end of b.
func oneCarrier(a, b run, at, to Vec) bool {
	if a.seg.IsArc() != b.seg.IsArc() {
		return false
	}
	if a.seg.IsArc() {
		return a.src == b.src || a.seg.C.Dist(b.seg.C) <= same && math.Abs(a.seg.R-b.seg.R) <= same
	}
	if a.src == b.src && a.src >= 0 {
		return true
	}
	u, v := at.Sub(a.from), to.Sub(at)
	slack := 2 * same
	if u.Dot(v) < 0 {
		slack = Sagitta // a spike: a sliver that hangs on a corner
	}
	return math.Abs(u.Cross(v)) <= slack*math.Max(u.Len(), v.Len())
}

// merge is a and b as one run. The longer edge names the source: a short one
// may be named after any that passes.
func merge(a, b run, to Vec) run {
	if !a.seg.IsArc() && b.from.Sub(a.from).Dot(to.Sub(b.from)) < 0 {
		a.seg, a.src, a.long = Line(a.from, to), -1, a.from.Dist(to)
		a.last = a.seg
		return a
	}
	if b.long > a.long {
		a.seg, a.src, a.long = b.seg, b.src, b.long
	}
	a.turn += b.turn
	a.last, a.gap = b.last, b.gap
	// A spike without width, such as coincident arcs with other chords leave,
	// folds flat; what is left may run the other way.
	if a.seg.IsArc() && a.seg.ccw() != (a.turn > 0) {
		a.seg = a.seg.Reverse()
	}
	return a
}

// mergeRuns joins neighbours that share a carrier, around the ring.
func mergeRuns(in []run) []run {
	n := len(in)
	if n < 2 {
		return in
	}
	out := make([]run, 0, 16)
	// settle merges the last runs of out, the last of which ends at to.
	settle := func(to Vec) {
		for k := len(out); k > 1; k = len(out) {
			if !oneCarrier(out[k-2], out[k-1], out[k-1].from, to) {
				return
			}
			out[k-2] = merge(out[k-2], out[k-1], to)
			out = out[:k-1]
			if out[k-2].void(to) {
				out = out[:k-2]
			}
		}
	}
	for i, e := range in {
		out = append(out, e)
		settle(in[(i+1)%n].from)
	}
	// Across the start.
	for len(out) > 2 {
		last := len(out) - 1
		if !oneCarrier(out[last], out[0], out[0].from, out[1].from) {
			break
		}
		out[0] = merge(out[last], out[0], out[1].from)
		out = out[:last]
		if out[0].void(out[1].from) {
			out = out[1:]
			settle(out[0].from)
		}
	}
	if len(out) == 2 && out[0].seg.IsArc() && oneCarrier(out[0], out[1], out[1].from, out[0].from) {
		out = append(out[:0], merge(out[0], out[1], out[0].from))
	}
	return out
}

// void reports whether r, which ends at to, has folded flat to nothing.
func (r run) void(to Vec) bool {
	return r.from.Dist(to) <= same && math.Abs(r.turn) < 1
}

// length is how long run i is, as its chords tell.
func length(runs []run, i int) float64 {
	if r := runs[i]; r.seg.IsArc() {
		return math.Abs(r.turn) * r.seg.R
	}
	return runs[i].from.Dist(runs[(i+1)%len(runs)].from)
}

// joinRuns meets neighbouring runs on their exact carriers. It returns the
// segments, or the index of a run that proved to be an artefact of flattening
// and must go.
func joinRuns(runs []run) (segs []Seg, drop int) {
	n := len(runs)
	if n == 0 {
		return nil, -1
	}
	if n == 1 {
		s := runs[0].seg
		if !s.IsArc() || math.Abs(runs[0].turn) < 1.5*math.Pi {
			return nil, -1
		}
		return circle(s.C, s.R, s.ccw()), -1
	}
	// end[i] is where run i ends, next[i] where run i+1 starts: one point,
	// but for carriers that miss each other by less than flattening saw.
	end, next := make([]Vec, n), make([]Vec, n)
	for i := range runs {
		j := (i + 1) % n
		end[i], next[i] = joint(runs[i], runs[j], runs[j].from, runs[(j+1)%n].from)
	}
	for i := range runs {
		h := (i + n - 1) % n
		from, to, s := next[h], end[i], runs[i].seg
		if s.IsArc() {
			a := s
			a.A, a.B = from, to
			t := to.Sub(s.C).angle() - from.Sub(s.C).angle()
			a.Sweep = t + 2*math.Pi*math.Round((runs[i].turn-t)/(2*math.Pi))
			if a.Sweep < 0 != (runs[i].turn < 0) && a.Sweep != 0 && runs[i].stiff {
				a.Sweep = runs[i].turn
			}
			if (a.Sweep < 0 != (runs[i].turn < 0) || math.Abs(a.Sweep) > 2*math.Pi+1e-9 || math.Abs(a.Sweep)*s.R < 2*Sagitta) &&
				(n == 2 || !runs[i].stiff || meets(runs[h], runs[(i+1)%n], runs[i].from)) {
				if n == 2 && length(runs, h) < length(runs, i) {
					return nil, h // of two that touch, the shorter is the artefact
				}
				return nil, i
			}
			segs = append(segs, a)
		} else {
			d := to.Sub(from)
			l := d.Len()
			round := runs[h].seg.IsArc() || runs[(i+1)%n].seg.IsArc()
			if back := d.Dot(runs[(i+1)%n].from.Sub(runs[i].from)) < 0; back && l > same && !runs[i].stiff && length(runs, i) > 20*Sagitta {
				return nil, i
			}
			if n > 2 && (l <= same || round && l < 2*Sagitta) && meets(runs[h], runs[(i+1)%n], from.Add(to).Mul(0.5)) {
				return nil, i
			}
			if l > 0 {
				segs = append(segs, Line(from, to))
			}
		}
		if end[i] != next[i] {
			segs = append(segs, Line(end[i], next[i]))
		}
	}
	return segs, -1
}

// weld makes ends one that are nearly so: places where an outline touches
// itself, met from two sides.
func weld(segs []Seg, tol float64) []Seg {
	order := make([]int, len(segs))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(i, j int) int {
		return cmp.Or(cmp.Compare(segs[i].A.X, segs[j].A.X), cmp.Compare(i, j))
	})
	n := len(segs)
	for k, i := range order {
		for _, j := range order[k+1:] {
			if segs[j].A.X-segs[i].A.X > tol {
				break
			}
			if a, b := segs[i].A, segs[j].A; a != b && a.Dist(b) <= tol {
				segs[j].A, segs[(j+n-1)%n].B = a, a
			}
		}
	}
	return segs
}

// pinched returns the rings of a closed chain, parted where it comes back to a
// place it has been at: borders that touch, which flattening kept apart.
func pinched(segs []Seg) []Ring {
	var out []Ring
	seen := make(map[Vec]int, len(segs))
	var open []Seg
	for _, s := range weld(segs, same) {
		seen[s.A] = len(open)
		open = append(open, s)
		at, ok := seen[s.B]
		if !ok {
			continue
		}
		loop := slices.Clone(open[at:])
		for _, l := range loop {
			delete(seen, l.A)
		}
		open = open[:at]
		switch {
		case len(loop) == 1 && loop[0].IsArc() && math.Abs(loop[0].Sweep) > 6:
			out = append(out, NewRing(circle(loop[0].C, loop[0].R, loop[0].ccw())))
		case len(loop) > 1:
			out = append(out, NewRing(loop))
		}
	}
	return out
}

// tidy returns r without segments shorter than mote, such as tangent joints
// leave: its neighbours meet each other instead. Between arcs that miss each
// other one has to stay, and is made longer at the cost of either.
func tidy(r Ring) Ring {
	short := func(s Seg) bool { return s.Len() < mote }
	if len(r.Segs) == 2 {
		for i, s := range r.Segs { // a circle, open at a place where it touches
			if math.Abs(s.Sweep) > 6 && short(r.Segs[1-i]) {
				return NewRing(circle(s.C, s.R, s.ccw()))
			}
		}
	}
	if len(r.Segs) < 3 || !slices.ContainsFunc(r.Segs, short) {
		return r
	}
	segs := slices.Clone(r.Segs)
	for i := 0; i < len(segs) && len(segs) > 2; {
		if !short(segs[i]) {
			i++
			continue
		}
		a, b := &segs[(i+len(segs)-1)%len(segs)], &segs[(i+1)%len(segs)]
		if !bridge(a, segs[i], b) {
			segs[i] = stretched(a, segs[i], b)
			i++
			continue
		}
		segs = slices.Delete(segs, i, i+1)
		i = max(0, i-1)
	}
	return NewRing(segs)
}

// stretched is the line that takes the place of the short segment s between
// the arcs a and b, the longer of which gives way.
func stretched(a *Seg, s Seg, b *Seg) Seg {
	if b.Len() > a.Len() {
		if p := b.At(2 * mote / b.Len()); b.Len() > 4*mote && setStart(b, p, false) {
			return Line(s.A, p)
		}
	} else if p := a.At(1 - 2*mote/a.Len()); a.Len() > 4*mote && setEnd(a, p, false) {
		return Line(p, s.B)
	}
	return s
}

// bridge makes a and b meet where the short segment s was between them.
func bridge(a *Seg, s Seg, b *Seg) bool {
	to := func(p Vec) bool {
		x, y := *a, *b
		if !setEnd(&x, p, true) || !setStart(&y, p, true) {
			return false
		}
		*a, *b = x, y
		return true
	}
	holds := func(c *Seg, p Vec) bool { return !c.IsArc() || math.Abs(p.Dist(c.C)-c.R) <= same }
	if p, ok := closest(*a, *b, s.A); ok && p.Dist(s.A) <= 2*mote && to(p) {
		return true
	}
	return holds(a, s.B) && to(s.B) || holds(b, s.A) && to(s.A)
}

// joint returns where a ends and b starts, near v; b ends at to.
func joint(a, b run, v, to Vec) (end, start Vec) {
	if !a.seg.IsArc() && !b.seg.IsArc() {
		if a.gap {
			if p, ok := crossing(a, b, v, to); ok {
				return p, p
			}
		}
		return v, v
	}
	if p, q := a.last.B, b.seg.A; p.Dist(v) <= 2*same && p.Dist(q) <= same/100 { // a corner of a source
		if !a.seg.IsArc() {
			return q, q
		}
		return p, p
	}
	if p, ok := crossing(a, b, v, to); ok && !a.stiff && !b.stiff {
		return p, p
	}
	end, start = a.seg.on(v), b.seg.on(v)
	if !a.seg.IsArc() {
		end = v
	}
	if !b.seg.IsArc() {
		start = v
	}
	if end.Dist(start) <= same {
		if b.seg.IsArc() {
			return start, start
		}
		return end, end
	}
	return end, start
}

// bends reports whether r turns so far that its other end says nothing about
// directions at this one.
func (r run) bends() bool { return math.Abs(r.turn) > math.Pi/4 }

// crossing returns where the carriers of a and b cross, as close to v as
// flattening may have moved it; b ends at to.
func crossing(a, b run, v, to Vec) (Vec, bool) {
	var buf [2]Vec
	ps := meet(buf[:0], a.seg, b.seg, same)
	if len(ps) == 0 {
		return v, false
	}
	best := ps[0]
	if len(ps) == 2 && ps[1].Dist(v) < best.Dist(v) {
		best = ps[1]
	}
	// Two curves that touch, each moved by a sagitta, cross √(2R·2s) away.
	r := math.Inf(1)
	for _, s := range [2]Seg{a.seg, b.seg} {
		if s.IsArc() {
			r = math.Min(r, s.R)
		}
	}
	limit := 3*math.Sqrt(4*r*Sagitta) + 4*Sagitta
	if math.IsInf(r, 1) {
		limit = 30 * Sagitta // a run of 20 may have gone, whose ends were 10 off
	}
	if len(ps) == 2 && ps[0].Dist(v) <= limit && ps[1].Dist(v) <= limit {
		// Where b turns back beside a, what lies beyond the first crossing
		// along a would cross once more: the first one, that is, that a
		// reaches and b does not start beyond its end.
		ta, tb := a.seg.tangent(best), b.seg.tangent(best)
		if ta.Dot(tb) < -0.8 {
			ahead := func(p Vec) bool {
				return (a.bends() || p.Sub(a.from).Dot(ta) > 0) && (b.bends() || to.Sub(p).Dot(tb) > 0)
			}
			p, q := ps[0], ps[1]
			if q.Sub(p).Dot(ta) < 0 {
				p, q = q, p
			}
			switch {
			case ahead(p):
				best = p
			case ahead(q):
				best = q
			}
		}
	}
	return best, best.Dist(v) <= limit
}

// meets reports whether a and b cross near v, so that what lies between them
// there can go.
func meets(a, b run, v Vec) bool {
	p, ok := crossing(a, b, v, b.seg.B)
	return ok && p.Dist(v) <= 10*Sagitta ||
		a.last.B.Dist(b.seg.A) <= 2*same && b.seg.A.Dist(v) <= 4*Sagitta
}

// circle is a full circle as two half turns.
func circle(c Vec, r float64, ccw bool) []Seg {
	w, e := Vec{c.X - r, c.Y}, Vec{c.X + r, c.Y}
	sweep := math.Pi
	if !ccw {
		sweep = -sweep
	}
	return []Seg{{A: w, B: e, C: c, R: r, Sweep: sweep}, {A: e, B: w, C: c, R: r, Sweep: sweep}}
}

// Circle is the disc about c.
func Circle(c Vec, r float64) Ring { return NewRing(circle(c, r, true)) }
