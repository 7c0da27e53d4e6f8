package kernel

import "math"

// chords returns how many chords a full circle of radius r needs so that none
// is farther than sag from it, a multiple of 4.
func chords(r, sag float64) float64 {
	if r <= 2*sag {
		return 8
	}
	n := math.Ceil(math.Pi / math.Acos(1-sag/r) / 4)
	return math.Max(2, n) * 4
}

// latticePoint returns the k-th of n evenly spaced points of a circle, the
// same bits for the same centre, radius and place, whatever arc asks.
func latticePoint(c Vec, r, k, n float64) Vec {
	k = math.Mod(k, n)
	if k < 0 {
		k += n
	}
	switch k {
	case 0:
		return Vec{c.X + r, c.Y}
	case n / 4:
		return Vec{c.X, c.Y + r}
	case n / 2:
		return Vec{c.X - r, c.Y}
	case 3 * n / 4:
		return Vec{c.X, c.Y - r}
	}
	return polar(c, r, 2*math.Pi*k/n)
}

// flatten appends the vertices that stand for s, without its end: for an arc
// its start and the points between on a lattice of absolute angles that
// depends on the radius alone, so that coincident arcs share vertices. n is
// the number of chords to the full circle.
func flatten(dst []Vec, s Seg, n float64) []Vec {
	dst = append(dst, s.A)
	if !s.IsArc() {
		return dst
	}
	step := 2 * math.Pi / n
	t0 := s.A.Sub(s.C).angle()
	lo, hi := t0, t0+s.Sweep
	if s.Sweep < 0 {
		lo, hi = hi, lo
	}
	// No lattice point closer than this to an end: it would leave a chord
	// that is all rounding.
	gap := math.Min(step/8, 1e-6/s.R)
	first, last := math.Ceil((lo+gap)/step), math.Floor((hi-gap)/step)
	if s.Sweep > 0 {
		for k := first; k <= last; k++ {
			dst = append(dst, latticePoint(s.C, s.R, k, n))
		}
	} else {
		for k := last; k >= first; k-- {
			dst = append(dst, latticePoint(s.C, s.R, k, n))
		}
	}
	return dst
}

// chordAt returns the chord of s, flattened with n chords to the circle, that
// spans the direction of p from the centre.
func chordAt(s Seg, p Vec, n float64) Seg {
	step := 2 * math.Pi / n
	v := p.Sub(s.C)
	a := s.A.Sub(s.C)
	along := math.Atan2(a.Cross(v), a.Dot(v)) // from A, counter-clockwise
	if s.Sweep < 0 {
		along = -along
	}
	if along < 0 {
		// Just before A or past B, whichever is nearer.
		if over := along + 2*math.Pi; over-math.Abs(s.Sweep) < -along {
			along = over
		} else {
			along = 0
		}
	}
	along = math.Min(along, math.Abs(s.Sweep))
	t0 := a.angle()
	t := t0 + math.Copysign(along, s.Sweep)
	k := math.Floor(t / step)
	lo, hi := latticePoint(s.C, s.R, k, n), latticePoint(s.C, s.R, k+1, n)
	gap := math.Min(step/8, 1e-6/s.R)
	from, to := t0, t0+s.Sweep
	first, last := s.A, s.B
	if s.Sweep < 0 {
		from, to = to, from
		first, last = last, first
	}
	if k*step < from+gap {
		lo = first
	}
	if (k+1)*step > to-gap {
		hi = last
	}
	return Line(lo, hi)
}
