package assembly

import (
	"math"

	"github.com/platewright/platewright/layers"
)

// loss is what of a mark does not lie on its finished plate.
type loss struct {
	operation layers.Operation
	size      float64 // mm of a scored line, mm² of an engraved face
	at        layers.Point
	all       bool // nothing of the mark is left
}

// marked returns the marks cut back to the finished outline, and what was lost.
// A mark of which nothing is left is left out.
func marked(marks []layers.Mark, outline layers.Region) (kept []layers.Mark, lost []loss) {
	if outline.Empty() {
		return marks, nil // plateEmpty says so
	}
	for _, m := range marks {
		l := loss{operation: m.Operation}
		switch m.Operation {
		case layers.Score:
			l.cutLines(&m, outline)
		case layers.Engrave:
			l.cutArea(&m, outline)
		}
		if l.size > 0 {
			lost = append(lost, l)
		}
		if !l.all {
			kept = append(kept, m)
		}
	}
	return kept, lost
}

// cutArea cuts an engraved face back to the outline.
func (l *loss) cutArea(m *layers.Mark, outline layers.Region) {
	on := m.Area.Intersect(outline)
	size := m.Area.Area() - on.Area()
	if on.Err() != nil || size <= nothing {
		return
	}
	l.size, l.all = size, on.Empty()
	if _, l.at = m.Area.Overlap(m.Area.Subtract(outline)); l.all {
		return
	}
	m.Area = on
}

// cutLines cuts scored lines at the outline.
func (l *loss) cutLines(m *layers.Mark, outline layers.Region) {
	var lines []layers.Line
	longest := 0.0
	for _, line := range m.Lines {
		runs := runsOf(line, outline, func(from, to layers.Point) {
			mm := to.Sub(from).Len()
			l.size += mm
			if mm > longest {
				longest, l.at = mm, from.Add(to).Mul(0.5)
			}
		})
		lines = append(lines, runs...)
	}
	l.all = l.size > 0 && len(lines) == 0
	m.Lines = lines
}

// runsOf returns the stretches of a polyline that lie in the outline, each as
// long as it can be, and calls off with every piece that does not. Where
// nothing is off the only run is the line itself.
func runsOf(line layers.Line, outline layers.Region, off func(from, to layers.Point)) []layers.Line {
	const rounding = 10 * layers.Grid
	var runs []layers.Line
	open, whole := false, true // whether the last run ends where the next piece begins
	for i := range max(0, len(line)-1) {
		p, q := line[i], line[i+1]
		way := q.Sub(p)
		length := way.Len()
		if length == 0 {
			continue
		}
		to := func(mm float64) layers.Point {
			switch {
			case mm <= rounding:
				return p
			case mm >= length-rounding:
				return q
			}
			return p.Add(way.Mul(mm / length))
		}
		done := 0.0
		for _, s := range outline.Along(p, layers.Degrees(math.Atan2(way.Y, way.X)*180/math.Pi)) {
			from, end := max(s.From, 0), min(s.To, length)
			if end-from <= rounding {
				continue
			}
			if from > done+rounding {
				off(to(done), to(from))
				open, whole = false, false
			}
			if !open {
				runs = append(runs, layers.Line{to(from)})
			}
			last := len(runs) - 1
			runs[last] = append(runs[last], to(end))
			open, done = true, end
		}
		if done < length-rounding {
			off(to(done), q)
			open, whole = false, false
		}
	}
	switch last := len(runs) - 1; {
	case whole:
		return []layers.Line{line}
	case last > 0 && open && line[0] == line[len(line)-1] && runs[0][0] == line[0]:
		// The line is closed, and its first run goes on where its last one ends.
		runs[0] = append(runs[last], runs[0][1:]...)
		runs = runs[:last]
	}
	return runs
}
