package export

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/go-gl/mathgl/mgl64"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/export/internal/svg"
	"github.com/platewright/platewright/layers"
)

// Picture writes a picture of the assembled product as an SVG page: the view
// from the front; under it and in line with it, to the same scale, a section
// with every sheet's true height and thickness; and, where at least half of the
// plates stand upright, a view from above and to the side. Spare inserts are
// left out.
type Picture struct {
	// Section is where the section is taken, y in mm; nil: where it meets the
	// most plates, as near the middle as that allows.
	Section *float64
}

// Files returns picture.svg.
func (p Picture) Files(k *assembly.Kit) []File {
	return []File{{"picture.svg", func(w io.Writer) error { return p.Encode(w, k) }}}
}

// The page, mm: A4, lying unless the piece is much larger on a standing one, on
// a grid of 6 mm.
const (
	long, across = 297.0, 210.0
	edge         = 18.0 // free on every side
	top          = 42.0 // where the views begin, under the heading
	foot         = 30.0 // under the views
	gutter       = 12.0 // between views
)

// The page's few tones. The pieces bring the colour.
const (
	ink  = "#2b2926"
	soft = "#8a857d"
	line = "#c9c4bb"
)

const face = "Helvetica Neue, Helvetica, Arial, Liberation Sans, sans-serif"

// Encode writes the picture.
func (p Picture) Encode(w io.Writer, k *assembly.Kit) error {
	var plates []assembly.Placed
	for pl := range k.Plates() {
		if err := pl.Outline.Err(); err != nil {
			return fmt.Errorf("plate %q: %w", pl.Name, err)
		}
		if !pl.Spare && !pl.Outline.Empty() {
			plates = append(plates, pl)
		}
	}
	if len(plates) == 0 {
		return fmt.Errorf("there is no plate to draw")
	}
	return p.encode(w, k.Name(), plates)
}

func (p Picture) encode(w io.Writer, name string, plates []assembly.Placed) error {
	at := sectionAt(plates)
	if p.Section != nil {
		at = *p.Section
	}
	d := drawing{plates: plates, box: extent(plates), at: at, solid: mostlyUpright(plates)}
	d.labels = d.layerLabels()
	d.size(across, long)
	standing := d.scale
	if d.size(long, across); !d.solid && standing > 1.1*d.scale {
		d.size(across, long)
	}
	d.Encoder = svg.NewEncoder(w, d.page[0], d.page[1])
	d.Text("title", name)
	d.Empty("rect", svg.A("width", d.page[0]), svg.A("height", d.page[1]), svg.A("fill", "#ffffff"))
	d.compose(name)
	return d.Close()
}

// drawing is a picture in the making.
type drawing struct {
	*svg.Encoder
	plates []assembly.Placed
	box    [2]mgl64.Vec3 // of all plates
	at     float64       // y of the section
	solid  bool          // with a view from above and to the side
	labels []label

	page   [2]float64
	column float64 // width of the labels
	two    bool    // a label's second part stands on a line of its own
	scale  float64 // page mm for a mm of the product
	height float64 // what heights in the section are multiplied with
}

// frame is where a view goes on the page: its lower left corner, and its size.
type frame struct{ x, y, w, h float64 }

// views returns the part of the page for the front view, the section and the
// labels.
func (d *drawing) views() frame {
	f := frame{edge, d.page[1] - foot, d.page[0] - 2*edge, d.page[1] - foot - top}
	if d.solid {
		f.x += 0.56*f.w + gutter
		f.w = d.page[0] - edge - f.x
	}
	return f
}

// size chooses the scale for a page.
func (d *drawing) size(width, height float64) {
	d.page = [2]float64{width, height}
	d.two = d.solid || width < height
	d.column = 0
	for _, l := range d.labels {
		d.column = max(d.column, l.width(d.two))
	}
	f, size := d.views(), d.box[1].Sub(d.box[0])
	d.column = min(d.column, 0.45*f.w)
	// Heights in the section grow until every sheet can be told apart.
	for d.height = 1; ; d.height++ {
		d.scale = min((f.w-gutter-d.column)/size[0], (f.h-gutter)/(size[1]+d.height*size[2]))
		if d.solid || d.height == 3 || d.scale*d.height*d.thinnest() >= 1.6 {
			break
		}
	}
}

// compose divides the page and draws the views.
func (d *drawing) compose(name string) {
	f, size := d.views(), d.box[1].Sub(d.box[0])
	w, h, z := d.scale*size[0], d.scale*size[1], d.scale*d.height*size[2]
	left, start := f.x, edge
	if !d.solid {
		left += (f.w - w - gutter - d.column) / 2
		start = left
	}
	upper := f.y - f.h + (f.h-h-gutter-z)/3
	d.heading(name, start)
	d.front(frame{left, upper + h, w, h})
	d.cross(frame{left, upper + h + gutter + z, w, z}, left+w+gutter)
	if d.solid {
		d.whole(frame{edge, f.y, f.x - gutter - edge, f.h})
	}
	d.caption(left, d.page[1]-edge)
}

// thinnest returns the thinnest sheet of the stack, mm.
func (d *drawing) thinnest() float64 {
	t := math.Inf(1)
	for _, p := range d.plates {
		if p.Layer >= 0 {
			t = min(t, thick(p))
		}
	}
	return t
}

func (d *drawing) heading(name string, x float64) {
	size := d.box[1].Sub(d.box[0])
	d.Text("text", name, svg.A("x", x), svg.A("y", edge+7),
		svg.A("font-family", face), svg.A("font-size", 8), svg.A("fill", ink))
	var names []string
	for _, p := range d.plates {
		if !slices.Contains(names, p.Stock.Name) {
			names = append(names, p.Stock.Name)
		}
	}
	slices.Sort(names)
	plates := fmt.Sprintf("%d plates", len(d.plates))
	if len(d.plates) == 1 {
		plates = "1 plate"
	}
	d.Text("text", fmt.Sprintf("%s × %s × %s mm   ·   %s   ·   %s", short(size[0]), short(size[1]), short(size[2]), plates, list(names, 4)),
		svg.A("x", x), svg.A("y", edge+14), svg.A("font-family", face), svg.A("font-size", 3.2), svg.A("fill", soft))
}

// front draws the view from the front and the ends of the line of section.
func (d *drawing) front(f frame) {
	d.Open("g", svg.A("id", "front"), svg.A("stroke-linejoin", "round"), svg.A("stroke-linecap", "round"))
	d.Text("title", "front view")
	s := d.scene(mgl64.LookAtV(mgl64.Vec3{0, 0, 1}, mgl64.Vec3{}, mgl64.Vec3{0, 1, 0}), func(v mgl64.Vec3) (float64, float64) {
		return f.x + d.scale*(v[0]-d.box[0][0]), f.y - d.scale*(v[1]-d.box[0][1])
	}, 0)
	s.draw = d.shaded(s.draw, s.place)
	s.paint(d.plates)
	d.End()
	y := f.y - d.scale*(d.at-d.box[0][1])
	for _, x := range []float64{f.x - 5, f.x + f.w + 2} {
		d.stroke(line, 0.3, x, y, x+3, y)
	}
}

// shaded draws a soft shadow to the lower right before each face, so that what
// lies in front is seen to.
func (d *drawing) shaded(draw func(shape), place func(mgl64.Vec3) (float64, float64)) func(shape) {
	return func(sh shape) {
		if sh.face {
			for _, by := range [...]float64{0.35, 0.7, 1.1} {
				d.Empty("path", svg.A("d", outline(sh.rings, func(v mgl64.Vec3) (float64, float64) {
					x, y := place(v)
					return x + 0.6*by, y + by
				}, true)), svg.A("fill", "#241a10"), svg.A("fill-opacity", 0.07), svg.A("fill-rule", "evenodd"))
			}
		}
		draw(sh)
	}
}

// whole draws the view from above and to the side, as large as f allows.
func (d *drawing) whole(f frame) {
	view := mgl64.LookAtV(mgl64.Vec3{0.62, -1.18, 0.86}, mgl64.Vec3{}, mgl64.Vec3{0, 0, 1})
	lo, hi := mgl64.Vec3{math.Inf(1), math.Inf(1)}, mgl64.Vec3{math.Inf(-1), math.Inf(-1)}
	for _, p := range d.plates {
		for _, c := range corners(p) {
			v := view.Mat3().Mul3x1(c)
			for i := range 2 {
				lo[i], hi[i] = min(lo[i], v[i]), max(hi[i], v[i])
			}
		}
	}
	k := min(f.w/(hi[0]-lo[0]), f.h/(hi[1]-lo[1]))
	x, y := f.x+(f.w-k*(hi[0]-lo[0]))/2, f.y-(f.h-k*(hi[1]-lo[1]))/2
	d.Open("g", svg.A("id", "solid"), svg.A("stroke-linejoin", "round"), svg.A("stroke-linecap", "round"))
	d.Text("title", "view from above and to the side")
	d.scene(view, func(v mgl64.Vec3) (float64, float64) {
		v = view.Mat3().Mul3x1(v)
		return x + k*(v[0]-lo[0]), y - k*(v[1]-lo[1])
	}, 0).paint(d.plates)
	d.End()
}

// scene returns a scene that paints on the page through place. Colours are
// drawn towards white by pale.
func (d *drawing) scene(view mgl64.Mat4, place func(mgl64.Vec3) (x, y float64), pale float64) scene {
	white := colour{1, 1, 1}
	s := scene{view: view, place: place}
	s.draw = func(sh shape) {
		c := parseColour(sh.plate.Stock.Colour).lit(sh.light).mix(white, pale)
		opacity := cmp.Or(sh.plate.Stock.Opacity, 1)
		if pale > 0 {
			opacity = 1
		}
		attrs := []svg.Attr{svg.A("d", outline(sh.rings, place, true)), svg.A("fill", c.String()), svg.A("fill-rule", "evenodd")}
		if opacity < 1 {
			attrs = append(attrs, svg.A("fill-opacity", opacity))
		}
		if !sh.face { // close the hair's breadth between neighbouring walls
			attrs = append(attrs, svg.A("stroke", c.String()), svg.A("stroke-width", 0.2), svg.A("stroke-opacity", opacity))
		}
		if len(sh.rings) > 0 {
			d.Empty("path", attrs...)
		}
		if len(sh.lines) > 0 {
			d.Empty("path", svg.A("d", outline(sh.lines, place, false)), svg.A("fill", "none"),
				svg.A("stroke", c.lit(0.62).mix(white, pale/2).String()), svg.A("stroke-width", 0.16), svg.A("stroke-opacity", 0.75))
		}
		if sh.face {
			d.marks(s, sh, c)
		}
	}
	return s
}

// marks draws what is engraved and scored on the face that is seen.
func (d *drawing) marks(s scene, sh shape, c colour) {
	if sh.plate.Pose.Normal().Dot(s.eye()) < 1e-9 {
		return
	}
	front := sh.plate.Pose.Back + thick(sh.plate)
	world := func(q layers.Point) mgl64.Vec3 { return sh.plate.Pose.World(q, front) }
	engraved := c.lit(0.72) // browned
	if sh.plate.Stock.Kind == layers.Acrylic {
		engraved = c.mix(colour{1, 1, 1}, 0.6) // frosted
	}
	tone := svg.A("fill", engraved.String())
	for _, m := range sh.plate.Marks {
		switch m.Operation {
		case layers.Engrave:
			var rings [][]mgl64.Vec3
			for contour := range m.Area.Contours() {
				rings = append(rings, ringOf(contour, world))
			}
			if len(rings) > 0 {
				d.Empty("path", svg.A("d", outline(rings, s.place, true)), tone, svg.A("fill-rule", "evenodd"))
			}
		case layers.Score:
			var lines [][]mgl64.Vec3
			for _, l := range m.Lines {
				var pts []mgl64.Vec3
				for _, q := range l {
					pts = append(pts, world(q))
				}
				lines = append(lines, pts)
			}
			if len(lines) > 0 {
				d.Empty("path", svg.A("d", outline(lines, s.place, false)), svg.A("fill", "none"),
					svg.A("stroke", c.lit(0.6).String()), svg.A("stroke-width", 0.2))
			}
		}
	}
}

func ringOf(c layers.Contour, world func(layers.Point) mgl64.Vec3) []mgl64.Vec3 {
	var ring []mgl64.Vec3
	for _, s := range c.Segments {
		for _, q := range flatten(s)[1:] {
			ring = append(ring, world(q))
		}
	}
	return ring
}

// cross draws the section: pale what lies beyond the cut, in full colour what
// is cut; the layers' names stand in a column at x.
func (d *drawing) cross(f frame, x float64) {
	k, kz := d.scale, d.scale*d.height
	place := func(v mgl64.Vec3) (float64, float64) {
		return f.x + k*(v[0]-d.box[0][0]), f.y - kz*(v[2]-d.box[0][2])
	}
	d.Open("g", svg.A("id", "section"), svg.A("stroke-linejoin", "round"))
	d.Text("title", "section at y = "+short(d.at)+" mm")
	d.Open("g", svg.A("class", "beyond"))
	s := d.scene(mgl64.LookAtV(mgl64.Vec3{0, -1, 0}, mgl64.Vec3{}, mgl64.Vec3{0, 0, 1}), place, 0.78)
	s.paint(d.plates, plane{mgl64.Vec3{0, d.at, 0}, mgl64.Vec3{0, 1, 0}})
	d.End()
	d.Open("g", svg.A("class", "cut"), svg.A("stroke-width", 0.2))
	for _, p := range d.plates {
		if rings := section(p, d.at); len(rings) > 0 {
			c := parseColour(p.Stock.Colour)
			d.Empty("path", svg.A("d", outline(rings, place, true)), svg.A("fill", c.String()), svg.A("fill-rule", "evenodd"), svg.A("stroke", c.lit(0.55).String()))
		}
	}
	d.End()
	d.End()
	d.leaders(f, place, x)
	d.dimension(f, place)
}

// label is a layer's line beside the section.
type label struct {
	text, more string
	x, z       float64 // where its leader starts, stack coordinates
}

// width is about how wide the label is on paper, mm, on one line or on two.
func (l label) width(two bool) float64 {
	a, b := 1.65*float64(utf8.RuneCountInString(l.text)), 1.4*float64(utf8.RuneCountInString(l.more))
	if two {
		return max(a, b)
	}
	return a + 1 + b
}

// layerLabels returns one label a layer, front first, and one for the
// uprights.
func (d *drawing) layerLabels() []label {
	byLayer := map[int][]assembly.Placed{}
	highest := -1
	for _, p := range d.plates {
		byLayer[p.Layer] = append(byLayer[p.Layer], p)
		highest = max(highest, p.Layer)
	}
	var out []label
	for l := highest; l >= -1; l-- {
		plates := byLayer[l]
		if len(plates) == 0 {
			continue
		}
		var names, stocks []string
		lb := label{x: math.Inf(-1)}
		for _, p := range plates {
			names = append(names, p.Name)
			stock := fmt.Sprintf("%s, %s mm", p.Stock.Name, short(thick(p)))
			if !slices.Contains(stocks, stock) {
				stocks = append(stocks, stock)
			}
			// The leader starts at what is cut, else at what is seen beyond.
			b := extent([]assembly.Placed{p})
			x, z := b[1][0], (b[0][2]+b[1][2])/2
			if rings := section(p, d.at); len(rings) > 0 {
				x, z = rightmost(rings)
				if l == -1 && !d.solid { // where it stands out behind the back
					z = b[0][2] + 0.06*(b[1][2]-b[0][2])
				}
			}
			if x > lb.x {
				lb.x, lb.z = x, z
			}
		}
		lb.text, lb.more = list(names, 2), strings.Join(stocks[:1], "")
		if len(stocks) > 1 {
			lb.more = list(stocks, 2)
		}
		if l == -1 {
			lb.text, lb.more = list(names, 1), ""
			if d.solid {
				lb.more = list(stocks, 1)
			}
		}
		out = append(out, lb)
	}
	slices.SortStableFunc(out, func(a, b label) int { return cmp.Compare(b.z, a.z) })
	return out
}

// rightmost returns the place of the rightmost edge of rings, at its middle
// height.
func rightmost(rings [][]mgl64.Vec3) (x, z float64) {
	x = math.Inf(-1)
	lo, hi := 0.0, 0.0
	for _, r := range rings {
		for _, v := range r {
			switch {
			case v[0] > x+1e-6:
				x, lo, hi = v[0], v[2], v[2]
			case v[0] > x-1e-6:
				lo, hi = min(lo, v[2]), max(hi, v[2])
			}
		}
	}
	return x, (lo + hi) / 2
}

// list joins the first names and counts the others.
func list(names []string, most int) string {
	if len(names) <= most {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
}

// leaders writes the labels in a column at x, evenly spread where the layers
// themselves are too close, and joins each to its layer.
func (d *drawing) leaders(f frame, place func(mgl64.Vec3) (float64, float64), x float64) {
	pitch := 5.4
	if d.two {
		pitch = 9
	}
	n := float64(len(d.labels))
	mid := f.y - f.h/2
	spread := max(pitch, f.h/max(1, n))
	first := mid - spread*(n-1)/2
	if low := d.page[1] - foot + 2; first+spread*(n-1) > low {
		first = low - spread*(n-1)
	}
	for i, l := range d.labels {
		y := first + spread*float64(i)
		px, py := place(mgl64.Vec3{l.x, 0, l.z})
		d.Empty("circle", svg.A("cx", px), svg.A("cy", py), svg.A("r", 0.45), svg.A("fill", soft))
		d.Empty("polyline", svg.A("points", points(px, py, f.x+f.w+2.5, py, x-3, y, x-1.2, y)),
			svg.A("fill", "none"), svg.A("stroke", line), svg.A("stroke-width", 0.2), svg.A("stroke-linejoin", "round"))
		d.Open("text", svg.A("x", x), svg.A("y", y+1.05), svg.A("font-family", face), svg.A("font-size", 3.1), svg.A("fill", ink))
		d.Text("tspan", l.text)
		if l.more != "" {
			style := []svg.Attr{svg.A("fill", soft), svg.A("font-size", 2.6)}
			if d.two {
				style = append(style, svg.A("x", x), svg.A("dy", 3.6))
			} else {
				style = append(style, svg.A("dx", 1))
			}
			d.Text("tspan", l.more, style...)
		}
		d.End()
	}
}

// dimension writes the height of the piece at the left of the section.
func (d *drawing) dimension(f frame, place func(mgl64.Vec3) (float64, float64)) {
	x := f.x - 4
	d.stroke(line, 0.2, x, f.y, x, f.y-f.h)
	d.stroke(line, 0.2, x-1, f.y, x+1, f.y)
	d.stroke(line, 0.2, x-1, f.y-f.h, x+1, f.y-f.h)
	d.Text("text", short(d.box[1][2]-d.box[0][2]), svg.A("x", x-1.6), svg.A("y", f.y-f.h/2+0.9), svg.A("text-anchor", "end"),
		svg.A("font-family", face), svg.A("font-size", 2.6), svg.A("fill", soft))
}

// caption draws a bar of a round length, at most 36 mm on paper, and says where
// the section is.
func (d *drawing) caption(x, y float64) {
	length := 1.0
	for _, l := range []float64{1, 2, 5, 10, 20, 50, 100, 200, 500, 1000} {
		if l*d.scale <= 36 {
			length = l
		}
	}
	w := length * d.scale
	d.Empty("rect", svg.A("x", x), svg.A("y", y-0.9), svg.A("width", w/2), svg.A("height", 0.9), svg.A("fill", soft))
	d.Empty("rect", svg.A("x", x), svg.A("y", y-0.9), svg.A("width", w), svg.A("height", 0.9), svg.A("fill", "none"), svg.A("stroke", soft), svg.A("stroke-width", 0.15))
	text := short(length) + " mm   ·   section at y = " + short(d.at) + " mm"
	if d.height > 1 {
		text += fmt.Sprintf(", heights drawn %g times", d.height)
	}
	d.Text("text", text, svg.A("x", x+w+2.4), svg.A("y", y), svg.A("font-family", face), svg.A("font-size", 2.6), svg.A("fill", soft))
}

func (d *drawing) stroke(pen string, width, x1, y1, x2, y2 float64) {
	d.Empty("path", svg.A("d", "M "+points(x1, y1)+" L "+points(x2, y2)), svg.A("stroke", pen), svg.A("stroke-width", width), svg.A("fill", "none"))
}

// points writes pairs of coordinates.
func points(xy ...float64) string {
	s := make([]string, len(xy))
	for i, v := range xy {
		s[i] = svg.Num(v)
	}
	return strings.Join(s, " ")
}

// outline writes lines or rings as path data to a hundredth of a mm, which no
// eye tells from the truth.
func outline(lines [][]mgl64.Vec3, place func(mgl64.Vec3) (float64, float64), closed bool) string {
	var b []byte
	num := func(v float64) {
		b = strconv.AppendFloat(b, math.Round(v*100)/100+0, 'f', -1, 64) // the sum turns -0 into 0
	}
	for _, l := range lines {
		for i, v := range l {
			switch {
			case i > 0: // points after a move are joined by lines
				b = append(b, ' ')
			case len(b) > 0:
				b = append(b, " M "...)
			default:
				b = append(b, "M "...)
			}
			x, y := place(v)
			num(x)
			b = append(b, ' ')
			num(y)
		}
		if closed && len(l) > 0 {
			b = append(b, " Z"...)
		}
	}
	return string(b)
}

// mostlyUpright reports whether at least half of the plates stand.
func mostlyUpright(plates []assembly.Placed) bool {
	n := 0
	for _, p := range plates {
		if p.Layer < 0 && p.Joint == "" {
			n += 2
		}
		if p.Joint == "" {
			n--
		}
	}
	return n >= 0
}

// corners returns the eight corners of the plate's own box, in the stack.
func corners(p assembly.Placed) []mgl64.Vec3 {
	b := p.Outline.Bounds()
	var out []mgl64.Vec3
	for _, q := range [...]layers.Point{b.Min, {X: b.Max.X, Y: b.Min.Y}, b.Max, {X: b.Min.X, Y: b.Max.Y}} {
		out = append(out, p.Pose.World(q, p.Pose.Back), p.Pose.World(q, p.Pose.Back+thick(p)))
	}
	return out
}

// extent returns the lower and the upper corner of the box around plates.
func extent(plates []assembly.Placed) [2]mgl64.Vec3 {
	inf := math.Inf(1)
	lo, hi := mgl64.Vec3{inf, inf, inf}, mgl64.Vec3{-inf, -inf, -inf}
	for _, p := range plates {
		for _, c := range corners(p) {
			for i := range 3 {
				lo[i], hi[i] = min(lo[i], c[i]), max(hi[i], c[i])
			}
		}
	}
	return [2]mgl64.Vec3{lo, hi}
}

// sectionAt returns the y at which a section meets the most plates, uprights
// counted twice; of equal ones the nearest to the middle.
func sectionAt(plates []assembly.Placed) float64 {
	b := extent(plates)
	mid := (b[0][1] + b[1][1]) / 2
	best, most := mid, -1
	const steps = 24
	for i := range 2*steps + 1 {
		// 0, +1, -1, +2, …: the middle first
		n := float64((i + 1) / 2)
		if i%2 == 0 {
			n = -n
		}
		y := math.Round(10*(mid+n/steps*0.49*(b[1][1]-b[0][1]))) / 10
		met := 0
		for _, p := range plates {
			if len(section(p, y)) > 0 {
				met++
				if p.Layer < 0 {
					met++
				}
			}
		}
		if met > most {
			best, most = y, met
		}
	}
	return best
}

// short writes a length with one decimal at most, two below 10 mm.
func short(v float64) string {
	k := 10.0
	if math.Abs(v) < 10 {
		k = 100
	}
	return svg.Num(math.Round(v*k) / k)
}
