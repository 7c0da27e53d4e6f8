package assembly

import (
	"math"

	"github.com/platewright/platewright/layers"
)

// sheetSmall looks for plates that do not fit on their sheet, lying straight,
// either way round. A plate with a spring arm lies one way only on a sheet with
// a grain, its own y along it.
func sheetSmall(k *Kit, report func(layers.Finding)) {
	sprung := k.sprung()
	for _, s := range k.solids {
		wide, high := free(s.Stock.Sheet)
		if math.IsInf(wide, 1) && math.IsInf(high, 1) {
			continue // nobody said how large the sheet is
		}
		b := s.Outline.Bounds()
		if b.Empty() {
			continue
		}
		turned := short(b.Width(), high, b.Height(), wide)
		worst := short(b.Width(), wide, b.Height(), high)
		cause := "the plate is larger than its sheet less the margins"
		if s.Stock.Grain && sprung[s.Name] {
			if alongX(s.Stock) {
				worst = turned
			}
			cause = "the plate, with its spring arm along the grain, is larger than its sheet less the margins"
		} else if turned.Margin() > worst.Margin() {
			worst = turned
		}
		if worst.Margin() >= -layers.Grid {
			continue
		}
		report(layers.Finding{
			ID:       "sheet-small",
			Severity: layers.Warning,
			Subject:  subject(s),
			Related:  []layers.Subject{{Kind: "material", Name: s.Material}},
			At:       s.middle(b.Centre()),
			Measure:  &worst,
			Cause:    cause,
			Remedy:   layers.Fix{Text: "make the plate smaller, part it in two, or give the size of a larger sheet"},
		})
	}
}

// sheetGrain says what of the grain is left for whoever loads the sheet: cut
// files turn plates with spring arms so that the arm lies along it.
func sheetGrain(k *Kit, report func(layers.Finding)) {
	sprung := k.sprung()
	for m := range k.Materials() {
		if !m.Grain {
			continue
		}
		var plates []layers.Subject
		for _, s := range k.solids {
			if s.Material == m.Name && sprung[s.Name] {
				plates = append(plates, subject(s))
			}
		}
		if len(plates) == 0 {
			continue
		}
		axis := "x"
		if !alongX(m) {
			axis = "y"
		}
		report(layers.Finding{
			ID:       "sheet-grain",
			Severity: layers.Note,
			Subject:  layers.Subject{Kind: "material", Name: m.Name},
			Related:  plates,
			Cause:    "the cut file lays spring arms along the grain, supposing that this runs along its " + axis,
			Remedy:   layers.Fix{Text: "load the sheet with its grain along the file's " + axis},
		})
	}
}

// free returns how wide and how high the part of a sheet is that may be cut;
// infinite where that is not known.
func free(s layers.Sheet) (wide, high float64) {
	wide, high = math.Inf(1), math.Inf(1)
	if s.Width > 0 {
		wide = max(0, s.Width-2*s.Margin)
	}
	if s.Height > 0 {
		high = max(0, s.Height-2*s.Margin)
	}
	return wide, high
}

// short returns the side that has less room of two.
func short(a, roomA, b, roomB float64) layers.Measure {
	m := layers.Measure{Value: a, Limit: roomA, Unit: "mm"}
	if n := (layers.Measure{Value: b, Limit: roomB, Unit: "mm"}); n.Margin() < m.Margin() {
		return n
	}
	return m
}

// alongX reports whether the grain, which runs along the longer side of the
// sheet, runs along the x of cut files.
func alongX(m layers.Material) bool { return m.Sheet.Width >= m.Sheet.Height }

// sprung returns the plates with spring arms.
func (k *Kit) sprung() map[string]bool {
	out := map[string]bool{}
	for _, w := range k.works {
		for _, s := range w.Springs {
			out[s.Plate] = true
		}
	}
	return out
}
