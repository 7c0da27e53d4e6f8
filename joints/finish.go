package joints

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"github.com/platewright/platewright/layers"
)

// Finish returns the plates with every feature of the works that names them:
// all additions united with the outline, then all removals cut from it, then
// the marks put after the plate's own. The result does not depend on the order
// of joints, and plates that no feature names come back as they are.
func Finish(plates []layers.Plate, works map[string]Work) []layers.Plate {
	asked := map[string][]Feature{}
	for _, name := range slices.Sorted(maps.Keys(works)) {
		for _, f := range works[name].Features {
			asked[f.Plate] = append(asked[f.Plate], f)
		}
	}
	out := slices.Clone(plates)
	for i, p := range out {
		var add, remove []layers.Region
		var marks []layers.Mark
		for _, f := range asked[p.Name] {
			switch f.Action {
			case Add:
				add = append(add, f.Region)
			case Remove:
				remove = append(remove, f.Region)
			case Mark:
				marks = append(marks, f.Mark)
			}
		}
		if len(add) > 0 {
			out[i].Outline = out[i].Outline.Union(add...)
		}
		if len(remove) > 0 {
			out[i].Outline = out[i].Outline.Subtract(remove...)
		}
		out[i].Marks = slices.Concat(p.Marks, marks)
	}
	return out
}

// Measure measures the play of a gap again, on the finished outlines of the
// insert and of the plate with the opening, and the insert's thickness. It
// knows nothing of the joint. It is an error where a probe finds nothing to
// measure from edge to edge.
func Measure(g Gap, insert, opening layers.Region, thickness float64) (play float64, err error) {
	solid := thickness
	if !g.Insert.Sheet {
		s, ok := solidAt(insert, g.Insert)
		if !ok {
			return 0, fmt.Errorf("%s: no material of the insert at %v", g.Name, g.Insert.At)
		}
		solid = s.Len()
	}
	if g.Opening.Sheet {
		return 0, fmt.Errorf("%s: an opening is not as wide as a sheet is thick", g.Name)
	}
	s, err := freeAt(opening, g.Opening)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", g.Name, err)
	}
	free := s.Len()
	if a := g.Angle; a != 0 && a != 90 {
		sin, cos := math.Sincos(a.Radians())
		free = free*sin - g.Depth*cos
	}
	return free - solid, nil
}

// solidAt returns the stretch of material that the probe stands in. Where it
// stands in a gap, as between the two legs of a clip, that is the stretch from
// the first material on its line to the last.
func solidAt(r layers.Region, p Probe) (layers.Span, bool) {
	spans := r.Along(p.At, p.Turn)
	for _, s := range spans {
		if s.From <= 0 && s.To >= 0 {
			return s, true
		}
	}
	if len(spans) == 0 || spans[0].From > 0 || spans[len(spans)-1].To < 0 {
		return layers.Span{}, false
	}
	return layers.Span{From: spans[0].From, To: spans[len(spans)-1].To}, true
}

// freeAt returns the stretch between material that the probe stands in.
func freeAt(r layers.Region, p Probe) (layers.Span, error) {
	free := layers.Span{From: math.Inf(-1), To: math.Inf(1)}
	for _, s := range r.Along(p.At, p.Turn) {
		switch {
		case s.To <= 0:
			free.From = max(free.From, s.To)
		case s.From >= 0:
			free.To = min(free.To, s.From)
		default:
			return free, fmt.Errorf("no opening at %v", p.At)
		}
	}
	if math.IsInf(free.Len(), 0) {
		return free, fmt.Errorf("the opening at %v has no edge on one side", p.At)
	}
	return free, nil
}
