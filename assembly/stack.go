package assembly

import (
	"iter"

	"github.com/platewright/platewright/layers"
)

// stratify fills k.strata from the solids.
func (k *Kit) stratify() {
	for i, s := range k.solids {
		for s.Layer >= len(k.strata) {
			k.strata = append(k.strata, nil)
		}
		if s.Layer >= 0 {
			k.strata[s.Layer] = append(k.strata[s.Layer], i)
		}
	}
}

// behind yields the solids that solid i of the stack lies over, layer by layer
// from the one right behind it, for as long as further says so of the next
// layer.
func (k *Kit) behind(i int, further func(layer int) bool) iter.Seq[int] {
	return func(yield func(int) bool) {
		s := k.solids[i]
		for l := s.Layer - 1; l >= 0 && further(l); l-- {
			slice := s.box
			other := k.solids[k.strata[l][0]]
			slice.min[2], slice.max[2] = other.box.min[2], other.box.min[2]
			for j := range k.tree.meeting(slice, 0) {
				if k.solids[j].Layer == l && k.over(i, j) && !yield(j) {
					return
				}
			}
		}
	}
}

// over reports whether solids i and j of the stack share an area. Build asks
// many times and keeps the answers meanwhile.
func (k *Kit) over(i, j int) bool {
	if k.lies == nil {
		return over(k.solids[i].Outline, k.solids[j].Outline)
	}
	known, ok := k.lies[[2]int{i, j}]
	if !ok {
		known = over(k.solids[i].Outline, k.solids[j].Outline)
		k.lies[[2]int{i, j}] = known
	}
	return known
}

// nothing is a length or an area that is too small to rest on, mm or mm².
const nothing = 0.01

// over reports whether two outlines share an area.
func over(a, b layers.Region) bool {
	p, q := a.Bounds(), b.Bounds()
	lo := layers.Point{X: max(p.Min.X, q.Min.X), Y: max(p.Min.Y, q.Min.Y)}
	hi := layers.Point{X: min(p.Max.X, q.Max.X), Y: min(p.Max.Y, q.Max.Y)}
	if hi.X-lo.X < nothing || hi.Y-lo.Y < nothing {
		return false
	}
	// Most outlines that share an area share some of one of a few lines; only
	// for the others need they be intersected.
	for _, share := range [...]float64{0.5, 0.23, 0.81, 0.07, 0.93} {
		at := layers.Point{X: lo.X + share*(hi.X-lo.X), Y: lo.Y + share*(hi.Y-lo.Y)}
		if bothAlong(a, b, at, 0) || bothAlong(a, b, at, 90) {
			return true
		}
	}
	area, _ := a.Overlap(b)
	return area > nothing
}

// bothAlong reports whether a and b both hold a stretch of the line through p
// in direction turn and of one right beside it, so that they do not only touch
// there.
func bothAlong(a, b layers.Region, p layers.Point, turn layers.Degrees) bool {
	beside := p.Add(turn.Unit().Perp().Mul(nothing))
	ra, rb := a.Along(p, turn), b.Along(p, turn)
	if !common(ra, rb) {
		return false
	}
	sa, sb := a.Along(beside, turn), b.Along(beside, turn)
	return common(sa, sb)
}

// common reports whether a stretch of a and one of b share more than nothing.
func common(a, b []layers.Span) bool {
	for _, s := range a {
		for _, t := range b {
			if min(s.To, t.To)-max(s.From, t.From) > nothing {
				return true
			}
		}
	}
	return false
}
