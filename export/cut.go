package export

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/export/internal/svg"
	"github.com/platewright/platewright/layers"
)

// Cut writes cut files: one SVG a material, in mm, that holds the path of the
// tool (see [Compensate]) for every plate of the kit once, spare inserts
// included.
//
// The drawing's groups are the steps of the job, in the order in which a laser
// should take them: "engrave", "score", "inside-cuts", "outside-cuts". A step
// that has nothing to do is left out. Within a step every plate has a group of
// its own, named in its title. Stroke colours are the material's pens; cuts and
// scores are hairlines of 0.1 mm, engraving is filled.
//
// The plates' names come last, in the group "labels". They are text and not
// lines, so most machines pass them over, and they have a pen of their own to
// switch off on the others. Each stands on its plate, clear of cuts and
// engraving and near the middle, no larger than fits, so that a sheet of small
// parts stays readable without taking room.
//
// Plates lie side by side in rows as wide as the sheet, the tallest first, and
// no row cares how long the sheet is: package sheet lays out real sheets. They
// lie the right way up, except for plates with spring arms out of sheets with a
// grain: those are turned so that the arm, which runs along the plate's own y,
// lies along the longer side of the sheet, because an arm across the grain
// breaks sooner.
type Cut struct {
	Gap float64 // between compensated outlines and to the edge of the drawing, mm; 0: 5 mm
}

// The pens of a material that names none: Okabe and Ito's palette, which tells
// its colours apart under every common form of colour blindness (M. Okabe,
// K. Ito, "Color Universal Design", 2008).
var defaultPens = layers.Pens{
	Cut:       "#d55e00", // vermilion
	InsideCut: "#0072b2", // blue
	Score:     "#009e73", // bluish green
	Engrave:   "#000000",
	Label:     "#cc79a7", // reddish purple
}

const (
	hairline   = 0.1 // width of a line to cut or to score, mm
	defaultGap = 5   // mm
	// defaultRow is how wide rows are where the sheet is not known, mm: the
	// width of a common small bed.
	defaultRow = 600
)

// Files returns one cut file for each material of the kit, named after it and
// sorted by its name. Where two materials would be written to one file, none
// can be written.
func (c Cut) Files(k *assembly.Kit) []File {
	var out []File
	err := distinct(k)
	names := ids{}
	for m := range k.Materials() {
		out = append(out, File{
			Name: names.next("", m.Name) + ".svg",
			Encode: func(w io.Writer) error {
				if err != nil {
					return err
				}
				return c.Encode(w, k, m.Name)
			},
		})
	}
	return out
}

// Encode writes the cut file of one material.
func (c Cut) Encode(w io.Writer, k *assembly.Kit, material string) error {
	sprung := map[string]bool{}
	for _, w := range k.Works() {
		for _, s := range w.Springs {
			sprung[s.Plate] = true
		}
	}
	var parts []part
	for p := range k.Plates() {
		if p.Material != material {
			continue
		}
		part, err := newPart(p, sprung[p.Name])
		if err != nil {
			return err
		}
		parts = append(parts, part)
	}
	if len(parts) == 0 {
		return fmt.Errorf("no plate of the kit is cut from %q", material)
	}
	return c.encode(w, k.Name(), parts)
}

// distinct returns an error where two materials of the kit would share a file.
func distinct(k *assembly.Kit) error {
	names := map[string]string{}
	for m := range k.Materials() {
		slug := Slug(m.Name)
		if slug == "" {
			return fmt.Errorf("material %q has neither letter nor digit to name a file by: rename it", m.Name)
		}
		if other, ok := names[slug]; ok {
			return fmt.Errorf("materials %q and %q would both be written to %s.svg: rename one", other, m.Name, slug)
		}
		names[slug] = m.Name
	}
	return nil
}

// part is a plate as the laser meets it.
type part struct {
	plate  assembly.Placed // turned as it is to be cut
	path   layers.Region   // of the tool
	box    layers.Box      // of path
	at     svg.Place       // on the drawing
	turned bool            // because of the grain
}

// newPart turns the plate where it has a spring arm that must lie along the
// grain, and only then finds the path: the kerf belongs to the machine's x and
// y, not to the plate's.
func newPart(p assembly.Placed, sprung bool) (part, error) {
	turn := sprung && p.Stock.Grain && p.Stock.Sheet.Width >= p.Stock.Sheet.Height
	if turn {
		p.Plate = turned(p.Plate)
	}
	path := Compensate(p.Outline, p.Stock.Kerf)
	if err := path.Err(); err != nil {
		return part{}, fmt.Errorf("plate %q: %w", p.Name, err)
	}
	if path.Empty() {
		return part{}, fmt.Errorf("plate %q: nothing is left of its outline", p.Name)
	}
	return part{plate: p, path: path, box: path.Bounds(), turned: turn}, nil
}

// turned returns p a quarter turn counter-clockwise.
func turned(p layers.Plate) layers.Plate {
	p.Outline = p.Outline.Rotate(90)
	marks := make([]layers.Mark, len(p.Marks))
	for i, m := range p.Marks {
		m.Area = m.Area.Rotate(90)
		lines := make([]layers.Line, len(m.Lines))
		for j, l := range m.Lines {
			for _, q := range l {
				lines[j] = append(lines[j], q.Turned(90))
			}
		}
		m.Lines, marks[i] = lines, m
	}
	p.Marks = marks
	return p
}

func (c Cut) encode(w io.Writer, product string, parts []part) error {
	stock := parts[0].plate.Stock
	width, height := c.arrange(parts, stock.Sheet)
	pens := pensOf(stock)

	e := svg.NewEncoder(w, width, height)
	e.Text("title", product+", "+stock.Name)
	e.Text("desc", describe(stock, parts))
	ids := ids{"engrave": true, "score": true, "inside-cuts": true, "outside-cuts": true, "labels": true}

	line := func(pen string) []svg.Attr {
		return []svg.Attr{svg.A("fill", "none"), svg.A("stroke", pen), svg.A("stroke-width", hairline)}
	}
	step := func(id, prefix string, style []svg.Attr, data func(part) string) {
		open := false
		for _, p := range parts {
			d := data(p)
			if d == "" {
				continue
			}
			if !open {
				e.Open("g", append([]svg.Attr{svg.A("id", id), svg.A("class", strings.ReplaceAll(id, "-", " "))}, style...)...)
				open = true
			}
			e.Open("g", svg.A("id", ids.next(prefix, p.plate.Name)))
			e.Text("title", p.plate.Name)
			e.Empty("path", svg.A("d", d))
			e.End()
		}
		if open {
			e.End()
		}
	}
	step("engrave", "engrave", []svg.Attr{svg.A("fill", pens.Engrave), svg.A("fill-rule", "nonzero"), svg.A("stroke", "none")}, part.engraving)
	step("score", "score", line(pens.Score), part.scoring)
	step("inside-cuts", "inside", line(pens.InsideCut), func(p part) string { return p.cuts(true) })
	step("outside-cuts", "outside", line(pens.Cut), func(p part) string { return p.cuts(false) })
	e.Open("g", svg.A("id", "labels"), svg.A("class", "not cut"), svg.A("fill", pens.Label), svg.A("stroke", "none"),
		svg.A("font-family", "sans-serif"), svg.A("text-anchor", "middle"))
	for _, p := range parts {
		p.label(e)
	}
	return e.Close()
}

// describe says what a person has to know before the job runs.
func describe(m layers.Material, parts []part) string {
	n, noun := len(parts), "parts"
	if n == 1 {
		noun = "part"
	}
	kerf := mm(m.Kerf.X.Mean)
	if m.Kerf.X.Mean != m.Kerf.Y.Mean {
		kerf += " × " + mm(m.Kerf.Y.Mean)
	}
	when := "not measured on your machine yet"
	if m.Kerf.Date != "" {
		when = "measured " + m.Kerf.Date
	}
	grain := ""
	if slices.ContainsFunc(parts, func(p part) bool { return p.turned }) {
		grain = " Parts with spring arms are turned along the grain: lay the sheet with the grain along its longer side, as the drawing supposes."
	}
	return fmt.Sprintf("%d %s of %s, measured thickness %s mm. Lengths are mm. The lines are the path of the tool: the full kerf of %s mm (%s) is already allowed for, so set no kerf in the laser's software. The names in the last group are for reading, not for the laser.%s",
		n, noun, m.Name, mm(m.Thickness.Mean), kerf, when, grain)
}

// arrange places parts in rows, the tallest first, then by name, and returns
// the size of the drawing.
func (c Cut) arrange(parts []part, sheet layers.Sheet) (width, height float64) {
	gap := cmp.Or(c.Gap, defaultGap)
	slices.SortStableFunc(parts, func(a, b part) int {
		return cmp.Or(
			cmp.Compare(svg.Round(b.box.Height()), svg.Round(a.box.Height())),
			cmp.Compare(a.plate.Name, b.plate.Name))
	})
	row := float64(defaultRow)
	if free := sheet.Width - 2*sheet.Margin; free > 0 {
		row = free
	}
	x, y, tallest := gap, gap, 0.0
	for i := range parts {
		b := parts[i].box
		if x > gap && x+b.Width() > gap+row {
			x, y, tallest = gap, y+tallest+gap, 0
		}
		parts[i].at = svg.Place{X: x - b.Min.X, Y: y + b.Max.Y}
		x += b.Width() + gap
		width, tallest = max(width, x), max(tallest, b.Height())
	}
	return width, y + tallest + gap
}

func (p part) engraving() string {
	var contours []layers.Contour
	for _, m := range p.plate.Marks {
		if m.Operation == layers.Engrave {
			contours = slices.AppendSeq(contours, m.Area.Contours())
		}
	}
	return p.at.Path(contours...)
}

func (p part) scoring() string {
	var lines []layers.Line
	for _, m := range p.plate.Marks {
		if m.Operation == layers.Score {
			lines = append(lines, m.Lines...)
		}
	}
	return p.at.Lines(lines...)
}

// cuts returns the holes, or the outer contours.
func (p part) cuts(inside bool) string {
	var contours []layers.Contour
	k := p.plate.Stock.Kerf
	uneven := math.Abs(k.X.Mean-k.Y.Mean) > alike
	for c := range p.path.Contours() {
		if c.Hole != inside {
			continue
		}
		if uneven {
			c = refit(c)
		}
		contours = append(contours, c)
	}
	return p.at.Path(contours...)
}

// pensOf returns the material's pens, defaults where it names none.
func pensOf(m layers.Material) layers.Pens {
	p, d := m.Pens, defaultPens
	return layers.Pens{
		Cut:       cmp.Or(p.Cut, d.Cut),
		InsideCut: cmp.Or(p.InsideCut, p.Cut, d.InsideCut),
		Score:     cmp.Or(p.Score, d.Score),
		Engrave:   cmp.Or(p.Engrave, d.Engrave),
		Label:     cmp.Or(p.Label, d.Label),
	}
}

// mm writes a length for a person to read.
func mm(v float64) string { return svg.Num(math.Round(v*1e3) / 1e3) }
