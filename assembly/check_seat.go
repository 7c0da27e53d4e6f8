package assembly

import "github.com/platewright/platewright/layers"

// sameEdge is how far the edges of two inserts of one seat may be apart, mm.
const sameEdge = 0.01

// insertsDiffer compares the finished edges of the inserts that take turns:
// each must fill what the first fills, whatever windows it has within.
func insertsDiffer(k *Kit, report func(layers.Finding)) {
	for joint, w := range k.works.sorted() {
		for _, swap := range w.Swaps {
			for i, name := range swap {
				first, other := k.solids[k.index[swap[0]]], k.solids[k.index[name]]
				if i == 0 {
					continue
				}
				a, b := first.Outline.Filled(), other.Outline.Filled()
				if a.Covers(b, sameEdge) && b.Covers(a, sameEdge) {
					continue
				}
				off := a.Xor(b)
				report(layers.Finding{
					ID:       "inserts-differ",
					Severity: layers.Error,
					Subject:  layers.Subject{Kind: "joint", Name: joint},
					Related:  []layers.Subject{subject(first), subject(other)},
					At:       other.middle(off.Bounds().Centre()),
					Measure:  &layers.Measure{Value: off.Area(), Limit: 0, Unit: "mm²"},
					Cause:    "the edges of two inserts that take turns are not the same",
					Remedy:   layers.Fix{Text: "give both the same edge; another joint or a cut may have changed one of them"},
				})
			}
		}
	}
}
