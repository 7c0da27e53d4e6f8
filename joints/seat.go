package joints

import (
	"cmp"
	"math"
	"slices"

	"github.com/go-gl/mathgl/mgl64"

	"github.com/platewright/platewright/layers"
)

// Seat is a window that interchangeable pieces, the inserts, fit in turn. The
// window is cut into the plate In, and every insert is trimmed to the same
// shape, smaller by half the play all round, whatever its outline shows within:
// an insert made for one seat of this shape and play fits them all.
//
// Corners of the shape, inside and outside, are rounded on both sides of the
// joint to the least radius that the beam, and brittle sheet, want. A key is a
// round nose on the window's edge with a notch for it in each insert, so that
// an insert goes in one way round only; one that may be turned over stays
// possible where the key lies on a mirror line of the shape.
//
// It reports:
//
//   - seat-shape (error): the shape is not one piece without holes.
//   - seat-narrow (error): the window is so narrow somewhere that its corners
//     cannot be rounded, or key and thumb notch would part an insert.
//   - seat-place (error): the window does not lie on the plate it is cut into.
//   - seat-layer (error): an insert is not declared in the layer of the window.
//   - seat-short (error): an insert does not reach the window's edge all round.
//   - seat-key (error): the key is so small that an insert goes in the wrong
//     way round all the same, or there is no edge where it should sit.
//   - seat-thumb (error): there is no edge where the thumb notch should sit.
//   - seat-fit (error): the fit would not let an insert out again.
//   - seat-unmeasured (note): the window has no place to measure the play at.
//   - seat-thickness (warning): the inserts' sheets differ, so that the faces
//     step.
type Seat struct {
	In      string   // the plate with the window
	Inserts []string // plates of the same layer, declared at the same place
	At      layers.Point
	Turn    layers.Degrees
	Shape   layers.Region  // the window as finished, about the origin
	Key     float64        // radius of the key, mm; 0: none
	KeyAt   layers.Degrees // where the key sits on the edge, seen from the shape's origin before Turn
	Thumb   float64        // radius of a finger notch in the window's edge, opposite KeyAt, mm; 0: none
	// Fit is the fit of an insert in the window. An insert comes out again, so
	// snug, the zero value, means slide here, and press is refused; Exact
	// stands for any other play along.
	Fit Fit
}

// Ties returns the plate with the window and the inserts.
func (j Seat) Ties() []string { return append([]string{j.In}, j.Inserts...) }

// Realize cuts the window and trims the inserts.
func (j Seat) Realize(s Site) Work {
	d := s.draft()
	in := d.flat(j.In)
	if len(j.Inserts) == 0 {
		d.find(layers.Error, "joint-names", mgl64.Vec3{}, nil, "name the plates that sit in the window", "it names no insert")
	}
	var inserts []Host
	for i, name := range j.Inserts {
		if name == j.In || slices.Contains(j.Inserts[:i], name) {
			d.find(layers.Error, "joint-names", mgl64.Vec3{}, nil, "name each plate once", "it names %q twice", name)
		}
		inserts = append(inserts, d.flat(name))
	}
	d.notNegative("key", j.Key)
	d.notNegative("thumb notch", j.Thumb)
	if d.failed() {
		return d.done()
	}
	t := j.seated(d, in, inserts)
	if d.failed() {
		return d.done()
	}

	at, turn := in.place(j.At, j.Turn)
	d.cut(in, "window", t.opening, at, turn)
	window := d.Features[0].Region
	if !in.Plate.Outline.Covers(window, slack) {
		d.find(layers.Error, "seat-place", t.world, atMost(overhang(window, in.Plate.Outline), 0), "move the window onto its plate", "the window does not lie on %q", j.In)
	}
	gauges := t.gauges()
	if len(gauges) == 0 {
		d.find(layers.Note, "seat-unmeasured", t.world, nil, "measure the play with a coupon", "no line crosses the window square to an edge and clear of key and thumb notch, so that the play cannot be measured")
	}
	for _, h := range inserts {
		t.trim(d, h)
		ha, ht := h.place(j.At, j.Turn)
		var gaps []Gap
		for _, g := range gauges {
			gaps = append(gaps, Gap{
				Name: "along", Play: g.play,
				Opening: Probe{At: g.middle.Turned(turn).Add(at), Turn: g.turn + turn},
				Insert:  g.across(h.Plate.Outline, Probe{At: g.middle.Turned(ht).Add(ha), Turn: g.turn + ht}),
			})
		}
		if len(gaps) > 0 {
			d.Matings = append(d.Matings, Mating{Insert: h.Plate.Name, Opening: j.In, Gaps: gaps})
		}
	}
	if len(inserts) > 1 {
		d.Swaps = append(d.Swaps, slices.Clone(j.Inserts))
	}
	return d.done()
}

// seated is a Seat whose shapes are resolved, about the shape's own origin.
type seated struct {
	Seat
	world   mgl64.Vec3
	play    float64
	relief  float64       // least radius of any corner
	window  layers.Region // without the thumb notch
	opening layers.Region // what is cut
	insert  layers.Region // the finished interface of an insert
	away    []disc        // where the edge is not the plain shape's
}

// disc is a round place on the edge.
type disc struct {
	at     layers.Point
	radius float64
}

// seated resolves the shapes and reports what is wrong with the declaration.
func (j Seat) seated(d *draft, in Host, inserts []Host) seated {
	t := seated{Seat: j, relief: beamRelief(in.Material)}
	local, _ := in.place(j.At, j.Turn)
	t.world = in.Pose.World(local, in.middle())

	fit := j.Fit
	if fit.Class == Snug {
		fit.Class = Slide
	}
	thin, thick := math.Inf(1), 0.0
	for _, h := range inserts {
		t.relief = max(t.relief, beamRelief(h.Material))
		t.play = max(t.play, fit.Play(h.Material, in.Material).Along)
		thin, thick = min(thin, h.Thickness()), max(thick, h.Thickness())
		if h.Layer != in.Layer || math.Abs(h.Back()-in.Back()) > meet {
			d.find(layers.Error, "seat-layer", t.world, atMost(math.Abs(h.Back()-in.Back()), meet), "declare it beside the plate with the window", "the insert %q does not lie in the layer of %q", h.Plate.Name, j.In)
		}
	}
	if t.play <= 0 || fit.Exact == nil && fit.Class == Press {
		d.find(layers.Error, "seat-fit", t.world, atLeast(min(t.play, 0), 0.01), "choose a sliding fit", "an insert that is pressed in does not come out again")
	}
	// A step of 0.1 mm between two faces can be felt, a maker reports.
	if step := thick - thin; step > 0.1 {
		d.find(layers.Warning, "seat-thickness", t.world, atMost(step, 0.1), "cut the inserts from sheets of one thickness", "the inserts differ in thickness, so that their faces stand at different heights")
	}

	pieces := j.Shape.Pieces()
	if err := j.Shape.Err(); err != nil {
		d.find(layers.Error, "seat-shape", t.world, nil, "draw the window again", "its shape could not be made: %v", err)
	} else if len(pieces) != 1 || holes(j.Shape) > 0 {
		d.find(layers.Error, "seat-shape", t.world, nil, "draw the window as one piece without holes", "its shape has %d pieces and %d holes", len(pieces), holes(j.Shape))
	}
	if d.failed() {
		return t
	}

	shape := j.Shape
	if j.Key > 0 {
		at, ok := edgeAt(j.Shape, j.KeyAt)
		// A wrong way round, pushed as far aside as the play lets it, must
		// still be stopped by what anyone can feel: common practice, no source.
		if least := max(1, 3*t.play); !ok {
			d.find(layers.Error, "seat-key", t.world, nil, "give the key a direction in which the shape has an edge", "the shape has no edge where its key should sit")
		} else if j.Key < least {
			d.find(layers.Error, "seat-key", t.world, atLeast(j.Key, least), "make the key larger", "the key is too small to stop an insert that is put in the wrong way round")
		}
		shape = shape.Subtract(layers.Circle(2 * j.Key).Move(at))
		t.away = append(t.away, disc{at, j.Key + t.relief})
	}
	t.window = rounded(shape, t.relief)
	t.opening = t.window
	if j.Thumb > 0 {
		at, ok := edgeAt(j.Shape, j.KeyAt+180)
		if !ok {
			d.find(layers.Error, "seat-thumb", t.world, nil, "give the key a direction opposite which the shape has an edge", "the shape has no edge where its thumb notch should sit")
		}
		t.opening = t.window.Union(layers.Circle(2 * j.Thumb).Move(at))
		t.away = append(t.away, disc{at, j.Thumb})
	}
	if d.failed() {
		return t
	}
	t.insert = t.window.Offset(-t.play/2, layers.Round)
	if len(t.insert.Pieces()) != 1 || len(t.opening.Pieces()) != 1 {
		limit := 2*t.relief + t.play
		width := 0.0
		if mm, _, ok := shape.Web(limit); ok {
			width = mm
		}
		d.find(layers.Error, "seat-narrow", t.world, atLeast(width, limit), "widen the window, or make its key smaller", "the window is too narrow for an insert in one piece")
	}
	return t
}

// holes returns the number of holes in r.
func holes(r layers.Region) (n int) {
	for c := range r.Contours() {
		if c.Hole {
			n++
		}
	}
	return n
}

// edgeAt returns where the ray from the origin in direction a leaves r for
// good.
func edgeAt(r layers.Region, a layers.Degrees) (layers.Point, bool) {
	spans := r.Along(layers.Point{}, a)
	if len(spans) == 0 || spans[len(spans)-1].To <= 0 {
		return layers.Point{}, false
	}
	return a.Unit().Mul(spans[len(spans)-1].To), true
}

// rounded returns r with every corner, inside and outside, rounded by at least
// the given radius. Parts narrower than twice the radius are lost.
func rounded(r layers.Region, radius float64) layers.Region {
	return r.Offset(-radius, layers.Mitre).Offset(2*radius, layers.Round).Offset(-radius, layers.Round)
}

// trim cuts all of the insert away that is outside the interface, and reports
// where it does not reach there. What its outline shows within is its own.
func (t seated) trim(d *draft, h Host) {
	at, turn := h.place(t.At, t.Turn)
	want := t.insert.Rotate(turn).Move(at)
	// What is trimmed reaches far enough beyond the outline to take whatever
	// other joints add there.
	const beyond = 50
	sheet := layers.Circle(2 * (max(reach(h.Plate.Outline, at), reach(want, at)) + beyond)).Move(at)
	trim := sheet.Subtract(want)
	d.Features = append(d.Features, Feature{Plate: h.Plate.Name, Action: Remove, Name: "trim", Region: trim})
	for _, missing := range want.Subtract(h.Plate.Outline).Pieces() {
		if mm, ends := layers.Clearance(missing, trim); mm <= slack {
			d.find(layers.Error, "seat-short", h.Pose.World(ends[0], h.middle()), atMost(overhang(missing, h.Plate.Outline), 0),
				"make the insert's outline larger; what is too much is trimmed", "the insert %q does not reach the window's edge all round", h.Plate.Name)
		}
	}
}

// reach returns a distance from p that no point of r exceeds.
func reach(r layers.Region, p layers.Point) (mm float64) {
	for c := range r.Contours() {
		for _, s := range c.Segments {
			mm = max(mm, s.From.Sub(p).Len())
			if s.Radius > 0 {
				mm = max(mm, s.Centre.Sub(p).Len()+s.Radius)
			}
		}
	}
	return mm
}

// gauge is a line across the window on which the play is measured.
type gauge struct {
	middle layers.Point // halfway across the window
	turn   layers.Degrees
	width  float64 // of the window
	play   float64
	square bool // the line meets both edges square, so that it shows the plain play
}

// gauges returns two lines across the window, as square to each other as can
// be, that start square from an edge and avoid key and thumb notch. Where they
// meet the far edge square too they show the play itself, else a little more.
func (t seated) gauges() []gauge {
	const enough = 100
	var edges []layers.Segment
	for c := range t.window.Contours() {
		edges = append(edges, c.Segments...)
	}
	long := func(s layers.Segment) float64 { return math.Round(s.To.Sub(s.From).Len() / layers.Grid) }
	slices.SortStableFunc(edges, func(a, b layers.Segment) int { return cmp.Compare(long(b), long(a)) })
	var plain, oblique []gauge
	for _, s := range edges {
		for n := 2; n <= 16 && len(plain) < enough; n *= 2 {
			for k := 1; k < n; k += 2 {
				if g, ok := t.gauge(s, float64(k)/float64(n)); ok && g.square {
					plain = append(plain, g)
				} else if ok && len(oblique) < enough {
					oblique = append(oblique, g)
				}
			}
		}
	}
	if best, cross := squarest(plain); cross > 0.5 {
		return best
	}
	all := append(plain, oblique...)
	if best, _ := squarest(all); best != nil {
		return best
	}
	return all
}

// squarest returns the two lines that are squarest to each other and the sine
// of the angle between them, the first such pair.
func squarest(all []gauge) (best []gauge, sine float64) {
	for i, a := range all {
		for _, b := range all[i+1:] {
			if x := math.Abs(a.turn.Unit().Cross(b.turn.Unit())); best == nil || x > sine+1e-6 {
				best, sine = []gauge{a, b}, x
			}
		}
	}
	return best, sine
}

// gauge returns the line that starts square to a segment of the window's edge
// at a share f of its way; ok is false where it is of no use.
func (t seated) gauge(s layers.Segment, f float64) (gauge, bool) {
	from := s.From.Add(s.To.Sub(s.From).Mul(f))
	inward := s.To.Sub(s.From).Perp()
	if s.Radius > 0 {
		if s.Radius < 4*t.relief { // no rounded corner
			return gauge{}, false
		}
		out := s.From.Sub(s.Centre).Turned(layers.Degrees(f) * s.Sweep)
		from = s.Centre.Add(out)
		inward = out.Mul(-1)
		if s.Sweep < 0 {
			inward = out
		}
	} else if s.To.Sub(s.From).Len() < 4*t.relief {
		return gauge{}, false
	}
	g := gauge{turn: heading(inward)}
	u := g.turn.Unit()
	across := func(r layers.Region) (layers.Span, bool) {
		spans := r.Along(from, g.turn)
		i := slices.IndexFunc(spans, func(s layers.Span) bool { return s.To > t.play })
		if i < 0 || spans[i].From > t.play || i != len(spans)-1 {
			return layers.Span{}, false
		}
		return spans[i], true
	}
	free, ok := across(t.window)
	solid, ok2 := across(t.insert)
	if !ok || !ok2 || math.Abs(free.From) > slack {
		return gauge{}, false
	}
	for _, d := range t.away {
		for _, x := range [...]float64{free.From, free.To} {
			if from.Add(u.Mul(x)).Sub(d.at).Len() < d.radius+1 {
				return gauge{}, false
			}
		}
	}
	g.play = free.Len() - solid.Len()
	if g.square = math.Abs(g.play-t.play) < slack; g.square {
		g.play = t.play
	}
	g.width = free.Len()
	g.middle = from.Add(u.Mul(g.width / 2))
	return g, g.play < 2*t.play
}

// across returns the probe at p moved along its line so that it measures an
// insert of that outline from its first edge to its last: into a window of the
// insert's own, where there is one on the line.
func (g gauge) across(outline layers.Region, p Probe) Probe {
	near, found := g.width/2, false
	spans := outline.Along(p.At, p.Turn)
	for i := 1; i < len(spans); i++ {
		if gap := (spans[i-1].To + spans[i].From) / 2; math.Abs(gap) < math.Abs(near) {
			near, found = gap, true
		}
	}
	if found {
		p.At = p.At.Add(p.Turn.Unit().Mul(near))
	}
	return p
}
