package joints

import (
	"math"

	"github.com/go-gl/mathgl/mgl64"

	"github.com/platewright/platewright/layers"
)

// flattest is the least angle at which two uprights can be lapped: at 30° the
// slot is already 3.7 thicknesses wide and the lips are thin (judgement).
const flattest layers.Degrees = 30

// CrossLap lets two uprights cross at one vertical line: A is slotted from
// above, B from below, so A goes in first and B comes down onto it. Where they
// cross follows from their poses, and how deep the slots are from the height
// that both have there. Where they cross at an angle φ that is not square, a
// slot is t/sin φ + T/tan φ wide, t being the thickness of what goes in and T
// that of the slotted sheet.
//
// It reports:
//
//   - lap-flat (error): the uprights cross at less than 30°.
//   - lap-miss (error): they do not cross: how far the one lacking material is
//     away.
//   - lap-edge (error): the slot would cut through an upright's end.
//   - lap-narrow (warning): little is left beside a slot or beyond its end.
type CrossLap struct {
	A, B   string
	Share  Fraction // of the common height that A's slot takes, 0 < Share < 1; 0: half
	Relief float64  // radius of the ears at the slots' ends, mm; 0: the least that each sheet wants, 0.5 in brittle sheet
	Fit    Fit
}

// Ties returns both uprights.
func (j CrossLap) Ties() []string { return []string{j.A, j.B} }

// Realize cuts both slots.
func (j CrossLap) Realize(s Site) Work {
	d := s.draft()
	a, b := d.upright(j.A), d.upright(j.B)
	if j.A == j.B && j.A != "" {
		d.find(layers.Error, "joint-names", mgl64.Vec3{}, nil, "name two uprights", "it names %q twice", j.A)
	}
	share := float64(j.Share)
	if share == 0 {
		share = 0.5
	}
	if share <= 0 || share >= 1 {
		d.find(layers.Error, "joint-value", mgl64.Vec3{}, nil, "give a share between 0 and 1", "its share of the height is no fraction")
	}
	d.notNegative("relief", j.Relief)
	if d.failed() {
		return d.done()
	}

	c := cross(a, b)
	if c.angle < flattest-1e-9 {
		d.find(layers.Error, "lap-flat", c.at, &layers.Measure{Value: float64(c.angle), Limit: float64(flattest), Sense: layers.AtLeast, Unit: "°"},
			"turn one of the uprights", "%q and %q cross too flat", j.A, j.B)
		return d.done()
	}
	z, miss, ok := common(a, b, c.xa, c.xb)
	at := mgl64.Vec3{c.at[0], c.at[1], (z.From + z.To) / 2}
	if !ok {
		d.find(layers.Error, "lap-miss", at, atMost(miss, 0), "move an upright, or make it longer or higher", "%q and %q do not cross", j.A, j.B)
		return d.done()
	}

	split := z.To - share*z.Len()
	d.lap(lap{open: a, enter: b, x: c.xa, end: split, far: z.To, angle: c.angle}, j, at)
	d.lap(lap{open: b, enter: a, x: c.xb, end: split, far: z.From, angle: c.angle}, j, at)
	return d.done()
}

// lap is one slot of a cross lap: it runs in open from the height end past the
// height far, at the own x, and takes the sheet of enter.
type lap struct {
	open, enter Host
	x, end, far float64
	angle       layers.Degrees
}

// lap cuts one slot and records its mating. The slot's end is let in by half of
// the play along, so that the two ends do not hold each other off.
func (d *draft) lap(l lap, j CrossLap, at mgl64.Vec3) {
	up := math.Copysign(1, l.far-l.end) // the side that the slot opens to
	play := j.Fit.Play(l.enter.Material, l.open.Material)
	t, depth := l.enter.Thickness(), l.open.Thickness()
	width := t + play.Across
	if width <= 0 {
		d.find(layers.Error, "joint-value", at, nil, "give a smaller interference", "its fit leaves no opening")
		return
	}
	if l.angle != 90 {
		sin, cos := math.Sincos(l.angle.Radians())
		width = (width + depth*cos) / sin
	}
	end := l.open.rise(l.end) - up*max(0, play.Along)/2
	bounds := l.open.Plate.Outline.Bounds()
	mouth := bounds.Max.Y + 1
	if up < 0 {
		mouth = bounds.Min.Y - 1
	}

	slot := layers.Rectangle(width, math.Abs(mouth-end)).Move(layers.Point{X: l.x, Y: (mouth + end) / 2})
	r := d.relief(j.Relief, l.open.Material, width, at)
	for _, side := range [...]float64{-1, 1} {
		corner := layers.Point{X: l.x + side*width/2, Y: end}
		slot = slot.Union(ear(corner, layers.Point{X: -side, Y: up}.Mul(1/math.Sqrt2), r))
	}
	d.Features = append(d.Features, Feature{
		Plate: l.open.Plate.Name, Action: Remove, Name: "slot", Region: slot,
		Margin: room(l.open.Material), Open: true,
	})

	probe := layers.Point{X: l.x, Y: l.open.rise((l.end + l.far) / 2)}
	d.Matings = append(d.Matings, Mating{
		Insert: l.enter.Plate.Name, Opening: l.open.Plate.Name,
		Gaps: []Gap{{
			Name: "across", Play: play.Across, Angle: l.angle, Depth: depth,
			Opening: Probe{At: probe}, Insert: Probe{Sheet: true},
		}},
	})
	d.land(l, probe, width, end, up, at)
}

// land reports where a slot leaves too little of its sheet, to its sides and
// beyond its end.
func (d *draft) land(l lap, probe layers.Point, width, end, up float64, at mgl64.Vec3) {
	outline, want := l.open.Plate.Outline, room(l.open.Material)
	least := math.Inf(1)
	for _, p := range [...]layers.Point{probe, {X: l.x, Y: end + up*1e-3}} {
		s, _ := solidAt(outline, Probe{At: p})
		least = min(least, -s.From-width/2, s.To-width/2)
	}
	if least <= 0 {
		d.find(layers.Error, "lap-edge", at, atLeast(least, want), "move the crossing in from the end", "the slot would cut through the end of %q", l.open.Plate.Name)
		return
	}
	s, _ := solidAt(outline, Probe{At: layers.Point{X: l.x, Y: end}, Turn: 90})
	beyond := -s.From
	if up < 0 {
		beyond = s.To
	}
	if least = min(least, beyond); least < want {
		d.find(layers.Warning, "lap-narrow", at, atLeast(least, want), "move the crossing or change the share of the height", "little of %q is left about its slot", l.open.Plate.Name)
	}
}

// crossing is where the middle planes of two uprights meet.
type crossing struct {
	at     mgl64.Vec3 // at the height of a's origin
	xa, xb float64    // in the uprights' own planes
	angle  layers.Degrees
}

// cross returns where a and b cross: at a's origin where they are parallel.
func cross(a, b Host) crossing {
	line := func(h Host) (p, u layers.Point) {
		o := h.Pose.World(layers.Point{}, h.middle())
		return layers.Point{X: o[0], Y: o[1]}, layers.Point{X: h.Pose.X[0], Y: h.Pose.X[1]}
	}
	pa, ua := line(a)
	pb, ub := line(b)
	sin, cos := ua.Cross(ub), ua.Dot(ub)
	c := crossing{at: a.Pose.Origin, angle: heading(layers.Point{X: math.Abs(cos), Y: math.Abs(sin)})}
	if math.Abs(cos) < 1e-12 {
		c.angle = 90 // quarter turns of uprights that are turned together
	}
	if sin == 0 {
		return c
	}
	c.xa = pb.Sub(pa).Cross(ub) / sin
	c.xb = pb.Sub(pa).Cross(ua) / sin
	p := pa.Add(ua.Mul(c.xa))
	c.at[0], c.at[1] = p.X, p.Y
	return c
}

// common returns the longest range of heights at which both uprights have
// material where they cross. Where there is none, miss tells how far the
// nearest material is away, and z where.
func common(a, b Host, xa, xb float64) (z layers.Span, miss float64, ok bool) {
	rise := func(h Host, x float64) []layers.Span {
		spans := h.Plate.Outline.Along(layers.Point{X: x}, 90)
		for i := range spans {
			spans[i].From += h.Pose.Origin[2]
			spans[i].To += h.Pose.Origin[2]
		}
		return spans
	}
	za, zb := rise(a, xa), rise(b, xb)
	miss = math.Inf(1)
	for _, p := range za {
		for _, q := range zb {
			s := layers.Span{From: max(p.From, q.From), To: min(p.To, q.To)}
			if s.Len() > 0 && s.Len() > z.Len() {
				z, ok = s, true
			}
			if !ok && -s.Len() < miss {
				miss, z = -s.Len(), s
			}
		}
	}
	if ok {
		return z, 0, true
	}
	if len(za) == 0 || len(zb) == 0 {
		miss = 0
		if len(za) == 0 {
			miss = beside(a, xa)
		}
		if len(zb) == 0 {
			miss = max(miss, beside(b, xb))
		}
		z = layers.Span{From: a.Pose.Origin[2], To: a.Pose.Origin[2]}
	}
	return z, miss, false
}
