package assembly

import (
	"github.com/platewright/platewright/layers"
)

const (
	// fragile is the width of a web below which it warps or breaks while it is
	// cut and handled, mm, as two cutting services publish it.
	fragile = 1.0
	// burnt is the distance of two cuts below which the strip between them may
	// burn away, mm, as the same services publish it.
	burnt = 0.5
)

// plateEmpty looks for plates of which nothing is left.
func plateEmpty(k *Kit, report func(layers.Finding)) {
	for _, s := range k.solids {
		cause := "the joints leave nothing of the plate"
		if err := s.Outline.Err(); err != nil {
			cause = "the plate's finished outline could not be computed: " + err.Error()
		} else if !s.Outline.Empty() {
			continue
		}
		report(layers.Finding{
			ID:       "plate-empty",
			Severity: layers.Error,
			Subject:  subject(s),
			At:       s.Pose.Origin,
			Cause:    cause,
			Remedy:   layers.Fix{Text: "make the plate larger or its joints smaller"},
		})
	}
}

// plateParts looks for plates that fall apart.
func plateParts(k *Kit, report func(layers.Finding)) {
	for _, s := range k.solids {
		pieces := s.Outline.Pieces()
		if len(pieces) < 2 {
			continue
		}
		least := pieces[0]
		for _, p := range pieces[1:] {
			if p.Area() < least.Area() {
				least = p
			}
		}
		report(layers.Finding{
			ID:       "plate-parts",
			Severity: layers.Error,
			Subject:  subject(s),
			At:       s.middle(least.Bounds().Centre()),
			Measure:  &layers.Measure{Value: float64(len(pieces)), Limit: 1},
			Cause:    "the plate falls into more than one piece",
			Remedy:   layers.Fix{Text: "join the pieces, or declare each as a plate of its own"},
		})
	}
}

// webNarrow looks for the narrowest web of each plate.
func webNarrow(k *Kit, report func(layers.Finding)) {
	for _, s := range k.solids {
		mm, at, ok := s.Outline.Web(fragile)
		if !ok {
			continue
		}
		f := layers.Finding{
			ID:       "web-narrow",
			Severity: layers.Warning,
			Subject:  subject(s),
			At:       s.middle(at[0].Add(at[1]).Mul(0.5)),
			Measure:  &layers.Measure{Value: mm, Limit: fragile, Sense: layers.AtLeast, Unit: "mm"},
			Cause:    "a web is so narrow that it may break while it is cut or handled",
			Remedy:   layers.Fix{Text: "leave more material between the two cuts"},
		}
		if mm < burnt {
			f.Severity = layers.Error
			f.Measure.Limit = burnt
			f.Cause = "a web is so narrow that it may burn away"
		}
		report(f)
	}
}

// windowNarrow looks for the narrowest window of each plate.
func windowNarrow(k *Kit, report func(layers.Finding)) {
	for _, s := range k.solids {
		kerf := s.Stock.Kerf.Mean()
		if kerf <= 0 {
			continue
		}
		mm, at, ok := s.Outline.Window(kerf)
		if !ok {
			continue
		}
		report(layers.Finding{
			ID:       "window-narrow",
			Severity: layers.Error,
			Subject:  subject(s),
			At:       s.middle(at[0].Add(at[1]).Mul(0.5)),
			Measure:  &layers.Measure{Value: mm, Limit: kerf, Sense: layers.AtLeast, Unit: "mm"},
			Cause:    "a window or notch is narrower than the kerf, so that the cut file would lose it",
			Remedy:   layers.Fix{Text: "make it at least as wide as the kerf, or score a line instead"},
		})
	}
}
