package export

import (
	"fmt"
	"math"
	"unicode/utf8"

	"github.com/platewright/platewright/export/internal/svg"
	"github.com/platewright/platewright/layers"
)

const (
	labelSize  = 4.0 // of letters, mm
	labelLeast = 1.0 // below that nobody reads it, mm
	labelLines = 16  // how many lines across a part are tried in each direction
)

// label writes the plate's name where it lies on the plate, clear of what is
// cut and engraved. A letter is taken as 0.6 of its size wide.
func (p part) label(e *svg.Encoder) {
	text := p.plate.Name
	if p.plate.Spare {
		text += " (spare)"
	}
	letters := 0.6 * float64(max(1, utf8.RuneCountInString(text)))
	at, size, upright := p.spot(letters)
	x, y := p.at.Point(at)
	base := 0.35 * size // from the middle of the letters down to their line
	attrs := []svg.Attr{svg.A("x", x), svg.A("y", y+base), svg.A("font-size", size)}
	if upright {
		attrs = append(attrs, svg.A("transform", fmt.Sprintf("rotate(-90 %s %s)", svg.Num(x), svg.Num(y))))
	}
	e.Text("text", text, attrs...)
}

// spot returns the middle and the size of a label that is letters times its
// size long: the largest that there is room for on the part, of those the one
// along its longer side, of those the one nearest to the middle line. Where
// there is no room it lies over the middle, as large as the part's box allows.
func (p part) spot(letters float64) (at layers.Point, size float64, upright bool) {
	long, short := p.box.Width(), p.box.Height()
	tall := short > long
	if tall {
		long, short = short, long
	}
	most := min(labelSize, 0.7*short, 0.9*long/letters)
	for size := most; size >= labelLeast; size *= 0.75 {
		for _, upright := range []bool{tall, !tall} {
			if at, ok := p.room(letters*size, size, upright); ok {
				return at, size, upright
			}
		}
	}
	return p.box.Centre(), math.Max(0.5, most), tall
}

// room returns the middle of a place for a label of that length and size. Three
// lines along its letters must be clear.
func (p part) room(length, size float64, upright bool) (layers.Point, bool) {
	middle, u, v, across := p.box.Centre(), layers.Point{X: 1}, layers.Point{Y: 1}, p.box.Height()
	turn := layers.Degrees(0)
	if upright {
		u, v, across, turn = layers.Point{Y: 1}, layers.Point{X: -1}, p.box.Width(), 90
	}
	height, need := 1.2*size, length+0.6*size // with a little air
	for i := range labelLines + 1 {
		// 0, then by turns up and down, to the edges.
		d := float64((i+1)/2) / labelLines * (across - height)
		if i%2 == 0 {
			d = -d
		}
		free := []layers.Span{{From: math.Inf(-1), To: math.Inf(1)}}
		for _, h := range []float64{-0.5, 0, 0.5} {
			from := middle.Add(v.Mul(d + h*height))
			if free = common(free, p.path.Along(from, turn), need); len(free) == 0 {
				break
			}
			for _, m := range p.plate.Marks {
				if m.Operation == layers.Engrave {
					free = common(free, gaps(m.Area.Along(from, turn)), need)
				}
			}
		}
		best, found := 0.0, false
		for _, s := range free {
			t := min(max(0, s.From+need/2), s.To-need/2)
			if !found || math.Abs(t) < math.Abs(best) {
				best, found = t, true
			}
		}
		if found {
			return middle.Add(v.Mul(d)).Add(u.Mul(best)), true
		}
	}
	return layers.Point{}, false
}

// common returns the stretches that a and b have in common, without those
// shorter than least.
func common(a, b []layers.Span, least float64) []layers.Span {
	var out []layers.Span
	for _, s := range a {
		for _, t := range b {
			if c := (layers.Span{From: max(s.From, t.From), To: min(s.To, t.To)}); c.Len() >= least {
				out = append(out, c)
			}
		}
	}
	return out
}

// gaps returns what a line has beside the stretches, which are in order.
func gaps(spans []layers.Span) []layers.Span {
	out, from := []layers.Span{}, math.Inf(-1)
	for _, s := range spans {
		out = append(out, layers.Span{From: from, To: s.From})
		from = s.To
	}
	return append(out, layers.Span{From: from, To: math.Inf(1)})
}
