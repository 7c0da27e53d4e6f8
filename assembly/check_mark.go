package assembly

import "github.com/platewright/platewright/layers"

// offMark is how much of a mark may lie off its plate without a word, mm of a
// line or mm² of a face: less is the end of a line that was drawn a little too
// far (judgement).
const offMark = 0.5

// markOff looks for marks that lay off their finished plates, or across a
// window, and were cut back.
func markOff(k *Kit, report func(layers.Finding)) {
	for _, s := range k.solids {
		for _, l := range s.lost {
			what, unit := "a scored line", "mm"
			if l.operation == layers.Engrave {
				what, unit = "an engraved face", "mm²"
			}
			f := layers.Finding{
				ID:       "mark-off",
				Severity: layers.Warning,
				Subject:  subject(s),
				At:       s.Pose.World(l.at, s.Pose.Back+s.Stock.Thickness.Mean),
				Measure:  &layers.Measure{Value: l.size, Limit: offMark, Unit: unit},
				Cause:    what + " reaches beyond the finished plate or across a window of it, and was cut back",
				Remedy:   layers.Fix{Text: "draw it on the plate, or make the plate larger"},
			}
			switch {
			case l.all:
				f.Measure.Limit = 0
				f.Cause = "nothing of " + what + " lies on the finished plate, and it was left out"
			case l.size <= offMark:
				continue
			}
			report(f)
		}
	}
}
