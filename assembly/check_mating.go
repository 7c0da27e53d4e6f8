package assembly

import (
	"math"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
)

// playTolerance is how far a play measured on the finished outlines may be from
// the one its joint states, mm.
const playTolerance = 0.002

// matingPlay measures every mating again on the finished outlines, knowing
// nothing of the joint that stated it. Where the joint itself, or its room, has
// an error, that says more than what follows from it.
func matingPlay(k *Kit, report func(layers.Finding)) {
	for joint, w := range k.works.sorted() {
		if k.faulty[joint] {
			continue
		}
		for _, m := range w.Matings {
			insert, opening := k.solids[k.index[m.Insert]], k.solids[k.index[m.Opening]]
			for _, g := range m.Gaps {
				f := layers.Finding{
					ID:       "mating-play",
					Severity: layers.Error,
					Subject:  layers.Subject{Kind: "joint", Name: joint},
					Related:  []layers.Subject{subject(opening), subject(insert)},
					At:       opening.middle(g.Opening.At),
					Remedy:   layers.Fix{Text: "look for another joint or a cut of the outline in the same place"},
				}
				play, err := joints.Measure(g, insert.Outline, opening.Outline, insert.Stock.Thickness.Mean)
				switch off := math.Abs(play - g.Play); {
				case err != nil:
					f.Cause = "the play " + g.Name + " cannot be measured on the finished plates, since an opening or its insert is not where the joint states it"
				case off > playTolerance:
					f.Measure = &layers.Measure{Value: play, Limit: g.Play, Sense: layers.AtMost, Unit: "mm"}
					if play < g.Play {
						f.Measure.Sense = layers.AtLeast
					}
					f.Cause = "the play " + g.Name + " of the finished plates is not the one that the joint states"
				default:
					continue
				}
				report(f)
			}
		}
	}
}
