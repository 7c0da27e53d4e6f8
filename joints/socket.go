package joints

import (
	"github.com/go-gl/mathgl/mgl64"

	"github.com/platewright/platewright/layers"
)

const (
	// lead is the 45° chamfer at the tip of whatever goes into a slot, mm:
	// 0.3 to 0.5 helps blind assembly (common practice, no standard).
	lead = 0.4
	// bite is how far an added tab reaches into the body it grows from, mm, so
	// that the two surely become one piece.
	bite = 1.0
	// meet is how far two faces that should touch may be apart, mm: half of
	// the ±0.1 mm that cutting services promise.
	meet = 0.05
)

// socket is the one description of an insert's rectangular section and the
// opening it goes into: width along the insert's sheet, thick across it. Play
// is added once, on the opening, so the two sides cannot disagree.
type socket struct {
	width, thick float64
	play         Play
	relief       float64 // radius of the round ears at the opening's corners, mm
}

// opening returns the opening centred on the origin, its width along x. A
// round ear through each corner leaves room for the insert's sharp corner and
// leaves no sharp inside corner in the sheet.
func (s socket) opening() layers.Region {
	w, t := s.width+s.play.Along, s.thick+s.play.Across
	return layers.RelievedRectangle(w, t, s.relief)
}

// gaps returns the two gaps of the mating with the opening at a place and a
// direction of its plate; along measures the insert's width in its own plane.
func (s socket) gaps(at layers.Point, turn layers.Degrees, along Probe) []Gap {
	return []Gap{
		{Name: "along", Play: s.play.Along, Opening: Probe{At: at, Turn: turn}, Insert: along},
		{Name: "across", Play: s.play.Across, Opening: Probe{At: at, Turn: turn + 90}, Insert: Probe{Sheet: true}},
	}
}

// ear returns a disc of radius r through an inside corner of an opening; in is
// the unit vector from the corner into the opening, along its bisector.
func ear(corner, in layers.Point, r float64) layers.Region {
	return layers.Circle(2 * r).Move(corner.Add(in.Mul(r)))
}

// notches returns the discs that relieve the two shoulders beside a shaft of
// the given width that grows along y from the origin's x axis: each runs out
// of the shaft's side and into the shoulder, so that the shaft keeps its full
// width and the corner at its root is round.
func notches(width, r float64) layers.Region {
	d := layers.Circle(2 * r)
	return d.Move(layers.Point{X: width/2 + r}).Union(d.Move(layers.Point{X: -width/2 - r}))
}

// shaft returns a bar of the given width about the y axis, from root below the
// x axis to length above it, with its tip chamfered.
func shaft(width, root, length, chamfer float64) layers.Region {
	w := width / 2
	return layers.Polygon(
		layers.Point{X: -w, Y: -root}, layers.Point{X: w, Y: -root},
		layers.Point{X: w, Y: length - chamfer}, layers.Point{X: w - chamfer, Y: length},
		layers.Point{X: chamfer - w, Y: length}, layers.Point{X: -w, Y: length - chamfer},
	)
}

// brittleRelief is the least radius of an inside corner in brittle sheet, mm,
// where a sharp one starts a crack (shops that turned acrylic designs into
// products report that sharp slot ends always broke and advise 0.5 mm or more).
const brittleRelief = 0.5

// beamRelief returns the least ear radius for inside corners in m: half the
// kerf and a little, since the beam is round, and brittleRelief at least in
// brittle sheet.
func beamRelief(m layers.Material) float64 {
	r := m.Kerf.Mean()/2 + 0.1
	if m.Kind.Brittle() {
		r = max(r, brittleRelief)
	}
	return r
}

// relief returns the ear radius for an opening in m whose narrow side is
// narrow: the one asked for, or the least that m wants for 0. It keeps ears to
// three tenths of the narrow side, so that a straight end is left between
// them, and reports a radius that does not suit.
func (d *draft) relief(asked float64, m layers.Material, narrow float64, at mgl64.Vec3) float64 {
	r := asked
	if r == 0 {
		r = beamRelief(m)
	}
	remedy := "leave the relief at 0 for the least that the sheet wants"
	if most := 0.3 * narrow; r > most {
		if asked > 0 {
			d.find(layers.Warning, "relief-large", at, atMost(r, most), "ask for smaller ears", "the ears would meet at the end of the opening and were made smaller")
		}
		r, remedy = most, "make wider or thicker what goes into the opening"
	}
	d.sharp(r, m, at, remedy)
	return r
}

// sharp reports inside corners in m that are too sharp with ears of radius r.
func (d *draft) sharp(r float64, m layers.Material, at mgl64.Vec3, remedy string) {
	least := m.Kerf.Mean() / 2
	switch {
	case r < least-slack:
		d.find(layers.Warning, "relief-small", at, atLeast(r, least), remedy, "the ears are narrower than the beam, so that the corners stay filled")
	case m.Kind.Brittle() && r < brittleRelief-slack:
		d.find(layers.Warning, "relief-small", at, atLeast(r, brittleRelief), remedy, "the ears are so small that a crack may start at the corners of brittle sheet")
	}
}

// room returns the least width of sheet that should stand between a joint's
// opening and the edge or another opening: the larger of 1 mm, below which a
// web is fragile and may burn away, and half the thickness in wood or the
// whole of it in brittle sheet. The 1 mm and the whole thickness are what
// cutting services advise; half for wood is common practice, no source.
func room(m layers.Material) float64 {
	t := m.Thickness.Mean
	if !m.Kind.Brittle() {
		t /= 2
	}
	return max(1, t)
}

// cut asks for an opening in a plate of the stack, with the room it needs. The
// region is moved from the origin to at and turned.
func (d *draft) cut(h Host, name string, r layers.Region, at layers.Point, turn layers.Degrees) {
	d.Features = append(d.Features, Feature{
		Plate: h.Plate.Name, Action: Remove, Name: name,
		Region: r.Rotate(turn).Move(at), Margin: room(h.Material),
	})
}

// blade is what of a standing insert passes the stack: the tab of an upright
// or the shaft of a peg.
type blade struct {
	plate    string
	sheet    layers.Material
	pose     layers.Pose
	x, width float64 // its middle and its width in its own plane
	from, to float64 // heights of the stack between which its sides run straight
}

// height returns the middle height at which the blade stands straight in the
// plate h; ok is false where it does not.
func (b blade) height(h Host) (z float64, ok bool) {
	lo, hi := max(b.from, h.Back()), min(b.to, h.Front())
	return (lo + hi) / 2, lo < hi
}

// pierce cuts a slot for the blade in each plate of the stack and records the
// mating. The blade must pass all of them.
func (d *draft) pierce(through stack, b blade, fit Fit, relief float64) {
	t := b.sheet.Thickness.Mean
	for _, h := range through {
		z, _ := b.height(h)
		y := z - b.pose.Origin[2]
		world := b.pose.World(layers.Point{X: b.x, Y: y}, b.pose.Back+t/2)
		s := socket{width: b.width, thick: t, play: fit.Play(b.sheet, h.Material)}
		if min(s.width+s.play.Along, t+s.play.Across) <= 0 {
			d.find(layers.Error, "joint-value", world, nil, "give a smaller interference", "its fit leaves no opening")
			return
		}
		s.relief = d.relief(relief, h.Material, min(b.width, t), world)
		at, _ := h.Pose.Local(world)
		turn := heading(layers.Point{X: b.pose.X.Dot(h.Pose.X), Y: b.pose.X.Dot(h.Pose.Y)})
		d.cut(h, "slot", s.opening(), at, turn)
		d.Matings = append(d.Matings, Mating{
			Insert: b.plate, Opening: h.Plate.Name,
			Gaps: s.gaps(at, turn, Probe{At: layers.Point{X: b.x, Y: y}}),
		})
	}
}
