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
				if k.solids[j].Layer == l && over(s.Outline, k.solids[j].Outline) && !yield(j) {
					return
				}
			}
		}
	}
}

// over reports whether two outlines of the stack share an area.
func over(a, b layers.Region) bool {
	p, q := a.Bounds(), b.Bounds()
	lo := layers.Point{X: max(p.Min.X, q.Min.X), Y: max(p.Min.Y, q.Min.Y)}
	hi := layers.Point{X: min(p.Max.X, q.Max.X), Y: min(p.Max.Y, q.Max.Y)}
	if hi.X-lo.X < nothing || hi.Y-lo.Y < nothing {
		return false
	}
	// Most plates that share an area share one of a few places and what lies
	// about it; only the others need the outlines intersected.
	const n = 4
	for i := range n * n {
		u, v := (float64(i%n)+0.5)/n, (float64(i/n)+0.5)/n
		if inBoth(a, b, layers.Point{X: lo.X + u*(hi.X-lo.X), Y: lo.Y + v*(hi.Y-lo.Y)}) {
			return true
		}
	}
	area, _ := a.Overlap(b)
	return area > nothing
}

// nothing is a length or an area that is too small to rest on, mm or mm².
const nothing = 0.01

// inBoth reports whether a and b hold both the place and the corners of a small
// square about it, so that they do not only touch there.
func inBoth(a, b layers.Region, p layers.Point) bool {
	for _, d := range [...]layers.Point{{}, {X: nothing, Y: nothing}, {X: -nothing, Y: nothing}, {X: -nothing, Y: -nothing}, {X: nothing, Y: -nothing}} {
		if q := p.Add(d); !a.Contains(q) || !b.Contains(q) {
			return false
		}
	}
	return true
}
