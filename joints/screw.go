package joints

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/go-gl/mathgl/mgl64"

	"github.com/platewright/platewright/layers"
)

// metric is what a metric machine screw with a pan head and a hexagon nut need
// room for, mm.
type metric struct {
	size                 string
	fine, medium, coarse float64 // clearance hole: ISO 273
	head, headHigh       float64 // diameter and height of the pan head, greatest: ISO 7045
	flats, nutHigh       float64 // width across flats and height of the nut, greatest: ISO 4032
	pitch                float64 // coarse thread: ISO 261, as both of the above list it
}

// metrics holds the preferred sizes. The figures were compared with tables that
// quote the standards:
//
//   - ISO 273: engineeringhardware.com/?p=50, and without M1.6 and M2.5
//     nbk1560.com "Diameter of Clearance Holes and Counterbores for Bolts and
//     Screws".
//   - ISO 7045: fullerfasteners.com "ISO 7045 specifications". Screws to the
//     older DIN 7985 are still sold: at most 0.5 mm wider and 0.2 mm higher.
//   - ISO 4032: engineersedge.com "BS EN ISO 4032 hexagon nuts", table 1.
var metrics = [...]metric{
	{"M1.6", 1.7, 1.8, 2.0, 3.2, 1.3, 3.2, 1.3, 0.35},
	{"M2", 2.2, 2.4, 2.6, 4.0, 1.6, 4.0, 1.6, 0.4},
	{"M2.5", 2.7, 2.9, 3.1, 5.0, 2.1, 5.0, 2.0, 0.45},
	{"M3", 3.2, 3.4, 3.6, 5.6, 2.4, 5.5, 2.4, 0.5},
	{"M4", 4.3, 4.5, 4.8, 8.0, 3.1, 7.0, 3.2, 0.7},
	{"M5", 5.3, 5.5, 5.8, 9.5, 3.7, 8.0, 4.7, 0.8},
	{"M6", 6.4, 6.6, 7.0, 12.0, 4.6, 10.0, 5.2, 1.0},
	{"M8", 8.4, 9.0, 10.0, 16.0, 6.0, 13.0, 6.8, 1.25},
	{"M10", 10.5, 11.0, 12.0, 20.0, 7.5, 16.0, 8.4, 1.5},
}

// screwLengths are the nominal lengths of ISO 888 up to 60 mm (from memory),
// measured from under a pan head. Not every size is sold in every length.
var screwLengths = [...]float64{3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 30, 35, 40, 45, 50, 55, 60}

const (
	// headRoom is what a pocket for a screw's head is wider than the head, mm
	// (common practice, no source; it also admits DIN 7985 heads).
	headRoom = 1.0
	// nutPlay is what a nut's pocket is wider than the nut across its flats,
	// mm: enough to push it in, too little for it to turn (common practice, no
	// source).
	nutPlay = 0.1
)

// Screw is a metric machine screw with a pan head (ISO 7045), M1.6 to M10, in
// clearance holes (ISO 273), and its hexagon nut (ISO 4032). The head lies on
// the front of the plates and the nut on their back, unless Head or Nut say
// otherwise: a plate named there lies outermost and gets, in place of the
// hole, a pocket right through that hides the head, or that keeps the nut from
// turning. Both are bought parts. The holes in the plates that head and nut
// bear on ask for room for them, and nothing else may stand where they are.
//
// It reports:
//
//   - screw-size (error): the size or the series of holes is not known.
//   - screw-order (error): a plate with a pocket is not outermost, or none is
//     left to be held between head and nut.
//   - screw-long (error): no standard screw is long enough.
//   - screw-head-high, screw-nut-high (warning): the plate with the pocket is
//     thinner than the head or the nut is high, so that it stands out.
//   - screw-proud (note): the screw stands out of the nut's plate.
type Screw struct {
	Size    string // "M3"; "": M3
	Through []string
	At      layers.Point
	Turn    layers.Degrees // of the nut's pocket: where one of its corners points
	Series  string         // of the holes: "fine", "medium" or "coarse"; "": medium
	Head    string         // plate that hides the head; "": none
	Nut     string         // plate that holds the nut; "": none
}

// Ties returns the plates it goes through.
func (j Screw) Ties() []string {
	names := slices.Clone(j.Through)
	for _, name := range [...]string{j.Head, j.Nut} {
		if name != "" && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names
}

// find returns the row of the table and the diameter of the hole.
func (j Screw) find() (m metric, hole float64, err error) {
	size := j.Size
	if size == "" {
		size = "M3"
	}
	i := slices.IndexFunc(metrics[:], func(m metric) bool { return m.size == size })
	if i < 0 {
		var known []string
		for _, m := range metrics {
			known = append(known, m.size)
		}
		return m, 0, fmt.Errorf("the size %q is none of %s", j.Size, strings.Join(known, ", "))
	}
	m = metrics[i]
	switch j.Series {
	case "fine":
		return m, m.fine, nil
	case "", "medium":
		return m, m.medium, nil
	case "coarse":
		return m, m.coarse, nil
	}
	return m, 0, fmt.Errorf("the series %q is none of fine, medium, coarse", j.Series)
}

// Realize cuts holes and pockets and lists screw and nut.
func (j Screw) Realize(s Site) Work {
	d := s.draft()
	m, hole, err := j.find()
	if err != nil {
		d.find(layers.Error, "screw-size", mgl64.Vec3{}, nil, "choose one of these", "%s", err)
	}
	all := d.stack(j.Ties())
	if d.failed() {
		return d.done()
	}
	top := mgl64.Vec3{j.At.X, j.At.Y, all.front()}
	held, headFront := j.between(all)
	if len(held) == 0 {
		d.find(layers.Error, "screw-order", top, nil, "name the rearmost and the foremost plate for head and nut, with a plate between them", "the plates for head and nut do not lie outermost with a plate between them")
		return d.done()
	}

	for _, h := range all {
		at, turn := h.place(j.At, j.Turn)
		switch h.Plate.Name {
		case j.Head:
			d.cut(h, "head pocket", layers.Circle(m.head+headRoom), at, 0)
			d.high("head", h, m.headHigh, top)
		case j.Nut:
			d.cut(h, "nut pocket", hexagon(m.flats+nutPlay, beamRelief(h.Material)), at, turn)
			d.high("nut", h, m.nutHigh, top)
		default:
			d.cut(h, "screw hole", layers.Circle(hole), at, 0)
			d.bear(m, hole, h, held, headFront)
		}
	}

	grip := held.front() - held.back()
	need := grip + m.nutHigh + m.pitch // a whole thread beyond the nut
	i, _ := slices.BinarySearch(screwLengths[:], need)
	if i == len(screwLengths) {
		d.find(layers.Error, "screw-long", top, atMost(need, screwLengths[i-1]), "let the screw go through fewer plates", "no standard screw is long enough")
		return d.done()
	}
	length := screwLengths[i]
	if j.Nut != "" {
		deep, face := held.back()-all.back(), all.back()
		if !headFront {
			deep, face = all.front()-held.front(), all.front()
		}
		if out := length - grip - deep; out > 0 {
			d.find(layers.Note, "screw-proud", mgl64.Vec3{j.At.X, j.At.Y, face}, atMost(out, 0), "shorten the screw, or let the nut's side stand free", "the screw stands out of the plate that holds the nut")
		}
	}
	d.Bodies = j.bodies(m, length, held, headFront)
	d.Needs = append(d.Needs,
		Item{Name: fmt.Sprintf("%s × %g pan head screw, ISO 7045", m.size, length), Count: 1},
		Item{Name: m.size + " hexagon nut, ISO 4032", Count: 1},
	)
	return d.done()
}

// between returns the plates held between head and nut, and whether the head
// lies in front. It returns none where the plates for head and nut are not
// outermost.
func (j Screw) between(all stack) (held stack, headFront bool) {
	last := len(all) - 1
	headFront = j.Nut != all[last].Plate.Name && (j.Head == "" || j.Head == all[last].Plate.Name)
	front, back := j.Head, j.Nut
	if !headFront {
		front, back = j.Nut, j.Head
	}
	held = all
	if front != "" {
		if front != held[last].Plate.Name {
			return nil, headFront
		}
		held = held[:last]
	}
	if back != "" && len(held) > 0 {
		if back != held[0].Plate.Name {
			return nil, headFront
		}
		held = held[1:]
	}
	return held, headFront
}

// bodies returns the room that head, nut and the screw's end take up outside of
// the plates they hold. A nut in its pocket cannot turn, any other may lie
// either way.
func (j Screw) bodies(m metric, length float64, held stack, headFront bool) []Body {
	nut := m.flats / 2
	if j.Nut == "" {
		nut /= math.Cos(math.Pi / 6)
	}
	out := []Body{{Name: "head", Radius: m.head / 2, To: m.headHigh}}
	below := held.front() - held.back()
	out = append(out, Body{Name: "nut", Radius: nut, From: -below - m.nutHigh, To: -below})
	if length > below+m.nutHigh {
		out = append(out, Body{Name: "end", Radius: m.fine / 2, From: -length, To: -below - m.nutHigh})
	}
	for i, b := range out {
		b.At = j.At
		if headFront {
			b.From, b.To = held.front()+b.From, held.front()+b.To
		} else {
			b.From, b.To = held.back()-b.To, held.back()-b.From
		}
		out[i] = b
	}
	return out
}

// bear asks for room about the hole cut last where head or nut bear on its
// plate, so that they lie on it all round and clear of other joints.
func (d *draft) bear(m metric, hole float64, h Host, held stack, headFront bool) {
	front, back := m.head, m.flats/math.Cos(math.Pi/6)
	if !headFront {
		front, back = back, front
	}
	var wide float64
	if h.Plate.Name == held[len(held)-1].Plate.Name {
		wide = front
	}
	if h.Plate.Name == held[0].Plate.Name {
		wide = max(wide, back)
	}
	f := &d.Features[len(d.Features)-1]
	f.Margin = max(f.Margin, (wide-hole)/2)
}

// high reports a plate that is thinner than what its pocket should hide.
func (d *draft) high(what string, h Host, want float64, at mgl64.Vec3) {
	if t := h.Thickness(); t < want {
		d.find(layers.Warning, "screw-"+what+"-high", at, atLeast(t, want), "choose a smaller screw or a thicker sheet", "%q is thinner than the %s in its pocket is high", h.Plate.Name, what)
	}
}

// hexagon returns a pocket of the given width across its flats about the
// origin, a corner along x, with an ear in each corner.
func hexagon(flats, relief float64) layers.Region {
	round := flats / math.Cos(math.Pi/6)
	relief = min(relief, round/6) // a third of each flat is left to hold the nut
	hex := layers.RegularPolygon(6, round).Rotate(-90)
	for i := range 6 {
		u := layers.Degrees(60 * i).Unit()
		hex = hex.Union(ear(u.Mul(round/2), u.Mul(-1), relief))
	}
	return hex
}
