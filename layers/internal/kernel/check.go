package kernel

import (
	"cmp"
	"math"
	"slices"
)

const (
	// thin is how far from every border of the operands a place must lie for
	// its membership to be beyond doubt: chords and arcs differ by less.
	thin = 2 * Sagitta
	// tolerable is the depth of an error that is kept where no way of
	// overlaying gives less: what squeezing out chords may leave or take.
	tolerable = 10 * Sagitta
)

// slope is a stretch of a segment that runs up or down all the way, from
// height lo to hi.
type slope struct {
	lo, hi float64
	x, k   float64 // of a line: x at lo, and dx/dy; of an arc: centre and ±1, the half it is on
	cy, r2 float64 // of an arc: height of the centre, square of the radius
	dir    int8    // 1 up, -1 down
	who    int8    // 0, 1: operands; 2: result
	at     float64 // x where the current level crosses it
}

func (s *slope) cross(y float64) float64 {
	if s.r2 > 0 {
		d := y - s.cy
		return s.x + s.k*math.Sqrt(math.Max(0, s.r2-d*d))
	}
	return s.x + s.k*(y-s.lo)
}

// slopes appends the slopes of s.
func slopes(dst []slope, s *Seg, who int8) []slope {
	put := func(y0, y1 float64, l slope) {
		l.who, l.dir, l.lo, l.hi = who, 1, y0, y1
		if y1 < y0 {
			l.dir, l.lo, l.hi = -1, y1, y0
		}
		if l.lo < l.hi {
			dst = append(dst, l)
		}
	}
	if !s.IsArc() {
		a, b := s.A, s.B
		if b.Y < a.Y {
			a, b = b, a
		}
		if a.Y < b.Y {
			put(s.A.Y, s.B.Y, slope{x: a.X, k: (b.X - a.X) / (b.Y - a.Y)})
		}
		return dst
	}
	dir := math.Copysign(1, s.Sweep)
	t0 := s.A.Sub(s.C).angle()
	end := t0 + s.Sweep
	const quarter = math.Pi / 2
	k := math.Floor(t0/quarter*dir) + 1
	if math.Mod(math.Abs(k), 2) == 0 {
		k++
	}
	for t, y := t0, s.A.Y; t*dir < end*dir; {
		next, ny := k*quarter*dir, s.C.Y-s.R
		k += 2
		if (next-end)*dir >= 0 {
			next, ny = end, s.B.Y
		} else if math.Sin(next) > 0 {
			ny = s.C.Y + s.R
		}
		half := 1.0 // rising counter-clockwise, or falling clockwise, is the right half
		if (ny > y) != (dir > 0) {
			half = -1
		}
		put(y, ny, slope{x: s.C.X, k: half, cy: s.C.Y, r2: s.R * s.R})
		t, y = next, ny
	}
	return dst
}

// depth is how deep out is wrong where it should be a op b: the greatest
// distance found from every border of a and b to a place that is in out and
// should not be, or the reverse; 0 where none is deeper than thin.
//
// Where the plane is parted by all the borders, a level line between each two
// neighbouring heights of ends, extremes and crossings passes through every
// part; along each such line what the three hold is compared. Where that is
// very many lines, evenly spread ones of them are taken.
func depth(op Op, a, b [][]Ring, out []Ring) float64 {
	var ls []slope
	var segs [2][]Seg
	for who, ps := range [2][][]Ring{a, b} {
		for _, rings := range ps {
			for _, r := range rings {
				for i := range r.Segs {
					ls = slopes(ls, &r.Segs[i], int8(who))
				}
				segs[who] = append(segs[who], r.Segs...)
			}
		}
	}
	for _, r := range out {
		for i := range r.Segs {
			ls = slopes(ls, &r.Segs[i], 2)
		}
	}
	ys := make([]float64, 0, 3*len(ls))
	for i := range ls {
		ys = append(ys, ls[i].lo, ls[i].hi)
	}
	ys = crossingHeights(ys, segs[0], segs[1])
	lines := between(ys)
	slices.SortFunc(ls, func(s, t slope) int { return cmp.Compare(s.lo, t.lo) })
	lines = thinned(lines, ls)

	worst := 0.0
	var live []slope
	next := 0
	for _, y := range lines {
		for ; next < len(ls) && ls[next].lo <= y; next++ {
			live = append(live, ls[next])
		}
		// Those that went on keep nearly their order: insertion is quick.
		n := 0
		for _, s := range live {
			if s.hi <= y {
				continue
			}
			s.at = s.cross(y)
			i := n
			for ; i > 0 && live[i-1].at > s.at; i-- {
				live[i] = live[i-1]
			}
			live[i] = s
			n++
		}
		live = live[:n]
		var w [3]int
		for i := 0; i+1 < n; i++ {
			// Going right, a border that rises has what it bounds behind.
			w[live[i].who] -= int(live[i].dir)
			if live[i+1].at-live[i].at <= 2*thin || op.of(w[0] > 0, w[1] > 0) == (w[2] > 0) {
				continue
			}
			m := Vec{(live[i].at + live[i+1].at) / 2, y}
			d := math.Min(live[i+1].at-live[i].at, tolerable*2)
			for _, ss := range segs {
				for k := range ss {
					if d <= math.Max(thin, worst) {
						break
					}
					d = math.Min(d, ss[k].Nearest(m).Dist(m))
				}
			}
			if d > thin {
				worst = math.Max(worst, d)
			}
			if worst > tolerable {
				return worst
			}
		}
	}
	return worst
}

// crossingHeights appends to ys the heights at which segments of a and b cross.
func crossingHeights(ys []float64, a, b []Seg) []float64 {
	if len(a) > len(b) {
		a, b = b, a
	}
	t := newIndex(boxesOf(b))
	var buf [2]Vec
	for i := range a {
		s := &a[i]
		t.each(s.Box(), func(k int) bool {
			for _, p := range meet(buf[:0], *s, b[k], 0) {
				if s.within(p, 0) && b[k].within(p, 0) {
					ys = append(ys, p.Y)
				}
			}
			return true
		})
	}
	return ys
}

// between returns levels in the middles between neighbouring heights; stacks
// of heights less than thin apart are passed with few.
func between(ys []float64) []float64 {
	slices.Sort(ys)
	var lines []float64
	for i := 1; i < len(ys); i++ {
		y := (ys[i-1] + ys[i]) / 2
		if ys[i]-ys[i-1] > 2*thin || ys[i]-ys[i-1] > same && (len(lines) == 0 || y-lines[len(lines)-1] > thin) {
			lines = append(lines, y)
		}
	}
	return lines
}

// thinned leaves out so many of the lines that crossing those left with ls
// stays in proportion to the number of slopes.
func thinned(lines []float64, ls []slope) []float64 {
	work := 0
	for i := range ls {
		lo, _ := slices.BinarySearch(lines, ls[i].lo)
		hi, _ := slices.BinarySearch(lines[lo:], ls[i].hi)
		work += hi
	}
	step := work/(30*len(ls)+10_000) + 1
	if step == 1 {
		return lines
	}
	out := lines[:0]
	for i := step / 2; i < len(lines); i += step {
		out = append(out, lines[i])
	}
	return out
}
