package joints

import (
	"fmt"
	"math"
	"slices"

	"github.com/go-gl/mathgl/mgl64"

	"github.com/platewright/platewright/joints/flex"
	"github.com/platewright/platewright/layers"
)

// SpringClip is a cut clip that holds a stack together without glue or tools.
// It is pushed from the back through aligned slots: its shoulder stays behind
// the rearmost plate, and at the front the hook of its spring arm snaps over
// the edge of the slot. The joint makes the clip, a standing plate named after
// it: its own x runs along the slot from the shoulder's side to the hook's, its
// own y up the stack from the back face. The zero value of every field but
// Through asks for a size that follows from the sheets.
//
// The default sizes make room for the spring behind the back, enough that
// snapping it home strains it no more than it could stand many times over. The
// stated strain takes the body for rigid, the edges for smooth and the arm for
// as wide as drawn; a test cut decides. An arch is soft along its length too: a
// pull on the front plate opens a stack that an arched clip holds by some
// hundredths of a millimetre a newton, where a straight arm does not yield.
//
// It reports:
//
//   - clip-place (error): a slot lies outside a plate that it should go
//     through, so that the plates do not overlap where the clip stands.
//   - clip-fit (error): the fit leaves no play, and a clip must slide home.
//   - clip-grip (error, or warning): the grip asked for is less than the plates
//     stand high (error), less than their spread wants (warning), or leaves
//     them loose (warning).
//   - clip-hook (error, or warning): the hook is smaller than the kerf may take
//     (error), or than leaves half of it if the kerf is set wrong (warning).
//   - clip-gap (error): the gap between the legs has no room for the arm to
//     give way, or for a round end that the sheet does not crack from.
//   - clip-arch (error): the arch is too small to span the legs.
//   - clip-reach (error): the spring has no room between the back face and its
//     root.
//   - clip-thin (error, or warning): the arm is narrower than its relief
//     (error), or thin enough to char through (warning).
//   - clip-lead (error): the lead-in is so steep that it locks by friction, or
//     is no slope.
//   - clip-strain (error): snapping the clip home strains its arm more than the
//     sheet stands once. The remedy is computed.
//   - clip-strain-unknown (warning): nobody knows what the sheet stands.
//   - clip-grain (warning): the sheet has a grain, and the arch, which bends
//     across it, is strained more than sheet stands in that direction. The arm
//     lies along the grain: cut files turn the clip's own y along it.
//   - clip-slip (warning): a pull on the front plate would work the hook off,
//     since the sheet is too slippery for the arm to hold by friction.
type SpringClip struct {
	Through []string
	At      layers.Point   // middle of the slots
	Turn    layers.Degrees // direction of the slots, from the shoulder to the hook
	Cut     string         // material of the clip; "": that of the rearmost plate
	Arm     flex.Form      // arched, straight or tapered

	Width  float64        // of the spring arm, at its root, mm; 0: the widest that the smallest spring lets, from 1.5 (1.6 in brittle sheet) to 2.5 and to 0.8 of the thickness; half as much again if tapered
	Taper  Fraction       // tapered: width at the hook over width at the root; 0: one half, where that leaves 1 mm beside the relief
	Radius float64        // arched: of the arch's centreline, mm; 0: what the strain asks for
	Reach  float64        // how far behind the back face the arm's root or the arch's centre lies, mm; 0: straight and tapered, what the strain asks for; arched, what the arch needs
	Gap    float64        // between the legs, mm; 0: what the arm needs to give way, at least 1
	Hook   float64        // by how much the hook surely overhangs the front slot's edge, mm; 0: 2.5 kerfs, at least 0.6
	Lead   layers.Degrees // of the lead-in from the way in; 0: 30°
	Grip   float64        // between shoulder and hook, mm; 0: what the plates stand high, and Allowance
	// Allowance is what the grip exceeds the height of the plates by, mm; 0:
	// 0.1 and three standard deviations of that difference, where sheets of one
	// material are thick or thin together and all else differs independently.
	Allowance float64
	Fit       Fit
}

// Ties returns the plates the clip goes through.
func (j SpringClip) Ties() []string { return j.Through }

// Realize makes the clip and cuts its slots.
func (j SpringClip) Realize(s Site) Work {
	d := s.draft()
	held := d.stack(j.Through)
	for _, f := range []struct {
		name  string
		value float64
	}{
		{"width", j.Width}, {"taper", float64(j.Taper)}, {"radius", j.Radius}, {"reach", j.Reach}, {"gap", j.Gap},
		{"hook", j.Hook}, {"grip", j.Grip}, {"allowance", j.Allowance},
	} {
		d.notNegative(f.name, f.value)
	}
	if j.Taper > 1 {
		d.find(layers.Error, "joint-value", mgl64.Vec3{}, &layers.Measure{Value: float64(j.Taper), Limit: 1}, "give a taper from 0 to 1", "its taper widens the arm")
	}
	if d.failed() {
		return d.done()
	}
	sheet := d.stock(j.Cut, held[0])
	if d.failed() {
		return d.done()
	}
	c := j.sized(sheet, held)
	c.check(d)
	c.judge(d)
	for i, h := range held {
		c.slot(d, i, h)
	}
	if d.failed() {
		return d.done()
	}
	d.Makes = append(d.Makes, Made{
		Plate: layers.Plate{Name: s.Name, Material: sheet.Name, Outline: c.outline()},
		Pose:  c.pose,
	})
	arm := c.arm()
	d.Springs = append(d.Springs, Spring{
		Plate: s.Name, Form: c.Arm.String(), Length: arm.Developed(),
		Deflection: c.deflection, Strain: c.strain(), Limit: sheet.Strain.Once,
		Force: c.force(),
		Grip:  c.Grip, Held: c.held,
	})
	return d.done()
}

// clip is a SpringClip whose every size is resolved, in its own plane: x from
// the middle of the slots, y from the back face.
type clip struct {
	SpringClip
	asked SpringClip // as declared
	sheet layers.Material
	stack stack
	pose  layers.Pose

	thick      float64 // of the sheet
	plays      []Play  // in the slot of each plate, back to front
	held       float64 // height of the plates, with any air between them
	spread     float64 // deviation of grip less held
	relief     float64 // radius of the half-round notches beside shoulder and hook
	tip        float64 // width of the arm at the hook
	rigid      float64 // width of the rigid leg
	shoulder   float64 // how far the shoulder stands out beside the rigid leg, at least
	body       float64 // thickness of what stands behind the plates
	overhang   float64 // of the hook beyond the arm's outer face
	deflection float64 // of the hook on its way in, the clip in the middle of its slots
}

// sized resolves every size. Where a default and a size asked for do not go
// together, check says so.
func (j SpringClip) sized(sheet layers.Material, held stack) clip {
	c := clip{SpringClip: j, asked: j, sheet: sheet, stack: held, thick: sheet.Thickness.Mean}
	first, last := held[0], held[len(held)-1]
	c.pose = layers.Standing(j.At, j.Turn, held.back(), c.thick)
	c.held = held.front() - held.back()
	c.spread = spreadOf(held, sheet)
	along := math.Inf(1)
	for _, h := range held {
		p := j.Fit.Play(sheet, h.Material)
		c.plays = append(c.plays, p)
		along = min(along, p.Along)
	}
	front := c.plays[len(held)-1].Along
	kerf := sheet.Kerf.Mean()

	// Notches stay clear of the middle of the outermost plates, where the legs
	// are measured.
	c.relief = min(beamRelief(sheet), 0.24*min(first.Thickness(), last.Thickness()))

	if c.Hook == 0 {
		c.Hook = max(0.6, 2.5*kerf)
	}
	// The hook overhangs the front slot by Hook even where the clip lies
	// against the shoulder's end of the tightest slot. On its way in the arm
	// gives way by what passes beyond the edge of the tightest slot.
	c.overhang = c.Hook + (front+along)/2
	c.deflection = c.overhang - along/2
	if c.Lead == 0 {
		c.Lead = 30
	}
	if c.Allowance == 0 {
		c.Allowance = 0.1 + 3*c.spread
	}
	if c.Grip == 0 {
		c.Grip = c.held + c.Allowance
	}
	if c.Gap == 0 {
		c.Gap = max(1, 2*kerf, c.deflection+kerf+0.1)
	}

	// As wide as the smallest spring lets it be, for a firm click; and then a
	// spring as large as the strain asks for.
	lo := max(lean+c.relief, 1.5)
	hi := max(lo, min(0.8*c.thick, 2.5))
	if c.Arm == flex.Tapered {
		lo, hi = 1.5*lo, 1.5*hi
	}
	if j.Width > 0 {
		lo, hi = j.Width, j.Width
	}
	aim := aimed(sheet)
	if most := c.acrossGrain(); most > 0 {
		aim = min(aim, most)
	}
	const narrower, larger = 0.25, 0.5
	c.section(hi)
	for c.Width > lo && c.strain() > aim {
		c.section(max(lo, c.Width-narrower))
	}
	for c.strain() > aim && c.grow(larger) {
	}
	return c
}

// lean is how much sheet stands beside a notch by default, mm: less than 1 is
// fragile.
const lean = 1.1

// section gives the arm its width at the root, what follows from it, and the
// smallest spring.
func (c *clip) section(width float64) {
	c.Width, c.tip = width, width
	if c.Arm == flex.Tapered {
		if c.asked.Taper == 0 {
			c.Taper = Fraction(min(1, max(0.5, (lean+c.relief)/width)))
		}
		c.tip = float64(c.Taper) * width
	}
	c.rigid = max(1.6*c.tip, width, lean+c.relief)
	c.shoulder = max(width, 1.5)
	c.body = max(1.5*width, 2)

	if c.Arm != flex.Arched {
		if c.asked.Reach == 0 {
			c.Reach = halves(c.body)
		}
		return
	}
	if c.asked.Radius == 0 {
		// In a tighter arch the inside would bear a third more than a straight
		// leg does.
		c.Radius = halves(max(1.5*width, c.least()))
	}
	c.root()
}

// halves returns mm rounded up to half millimetres.
func halves(mm float64) float64 { return math.Ceil(2*mm-slack) / 2 }

// root puts an arch whose place is not asked for as near to the back face as
// it may lie.
func (c *clip) root() {
	if c.asked.Reach == 0 {
		c.Reach = c.bulb() + c.body
	}
}

// grow makes the spring larger by step; it reports false where the sizes asked
// for, or good sense, do not allow that.
func (c *clip) grow(step float64) bool {
	const most = 40
	switch {
	case c.Arm != flex.Arched:
		if c.asked.Reach > 0 || c.Reach+step > most {
			return false
		}
		c.Reach += step
	case c.asked.Radius > 0 || c.Radius+step > most || c.asked.Reach > 0 && c.Radius+step > c.Reach-c.Width/2:
		return false
	default:
		c.Radius += step
		c.root()
	}
	return true
}

// strain returns the peak strain of the arm on the way in.
func (c clip) strain() float64 { return c.arm().Strain(c.deflection) }

// aimed returns the strain that default sizes stay below: what the sheet
// stands repeatedly, six tenths of what it stands once where that alone is
// known (a resin maker's snap-fit guide allows that share for frequent
// use), or 0.2 %, which plywood stands even across its grain (judgement).
func aimed(m layers.Material) float64 {
	switch {
	case m.Strain.Repeated > 0:
		return m.Strain.Repeated
	case m.Strain.Once > 0:
		return 0.6 * m.Strain.Once
	}
	return 0.002
}

// acrossGrain returns the strain that an arch stands where it bends across the
// grain of its sheet; 0 where it does not, or where that is not known.
// Judgement: plywood that stands 0.35 % along its grain stands 0.2 % across.
func (c clip) acrossGrain() float64 {
	if !c.sheet.Grain || c.Arm != flex.Arched {
		return 0
	}
	return 0.2 / 0.35 * c.sheet.Strain.Once
}

// spreadOf returns the standard deviation of the grip less the plates' height:
// sheets of one material come from one batch and are thick or thin together,
// so theirs add up; materials, and the kerf between the clip's catch faces,
// differ independently, so theirs add as squares.
func spreadOf(held stack, sheet layers.Material) float64 {
	by := map[string]float64{}
	var names []string
	for _, h := range held {
		if !slices.Contains(names, h.Material.Name) {
			names = append(names, h.Material.Name)
		}
		by[h.Material.Name] += h.Material.Thickness.SD
	}
	sum := sheet.Kerf.Spread().SD
	for _, n := range names {
		sum = math.Hypot(sum, by[n])
	}
	return sum
}

// least returns the least radius of an arch that spans the gap and the rigid
// leg and ends below the shoulder.
func (c clip) least() float64 { return (c.Gap + c.rigid + c.shoulder) / 2 }

// bulb returns the radius of the round end of the slit between the legs: the
// inside of the arch, or the slit's own half circle.
func (c clip) bulb() float64 {
	if c.Arm == flex.Arched {
		return c.Radius - c.Width/2
	}
	return c.Gap / 2
}

// arm returns the spring arm, pushed at the hook's catch face.
func (c clip) arm() flex.Arm {
	return flex.Arm{Form: c.Arm, Length: c.Grip + c.Reach, Width: c.Width, Taper: float64(c.Taper), Radius: c.Radius}
}

// force returns the push at the hook that takes it inside, N, or 0 where the
// modulus along the grain is not known.
func (c clip) force() float64 { return c.arm().Force(c.deflection, c.sheet.Along, c.thick) }

// half returns half of the width of the two legs and the gap between them.
func (c clip) half() float64 { return (c.rigid + c.Gap + c.Width) / 2 }

// slip returns the least friction that holds the hook under a pull, which acts
// in the middle of what overhangs.
func (c clip) slip() float64 { return c.arm().Slip((c.Width + c.overhang) / 2) }

// place returns where a point of the clip's plane stands in the stack.
func (c clip) place(x, y float64) mgl64.Vec3 { return c.pose.World(layers.Point{X: x, Y: y}, 0) }

// check reports what is wrong with the sizes, but for the strain.
func (c clip) check(d *draft) {
	kerf := c.sheet.Kerf.Mean()
	hook := c.place(c.half(), c.Grip)
	root := c.place(c.half(), -c.Reach)

	for i, h := range c.stack {
		if p := c.plays[i]; min(p.Along, p.Across) <= 0 {
			d.find(layers.Error, "clip-fit", c.place(0, h.Back()-c.stack.back()), atLeast(min(p.Along, p.Across), 0.01),
				"choose a snug or a sliding fit", "the fit leaves the clip no play in %q", h.Plate.Name)
		}
	}

	loose := c.held + c.Allowance + 0.5
	switch {
	case c.Grip < c.held:
		d.find(layers.Error, "clip-grip", hook, atLeast(c.Grip, c.held), "leave the grip at 0 to follow the sheets as measured", "the plates stand higher than the clip grips")
	case c.Grip < c.held+c.Allowance-slack:
		d.find(layers.Warning, "clip-grip", hook, atLeast(c.Grip, c.held+c.Allowance), "leave the grip at 0 to follow the sheets as measured", "sheets at the thick end of their spread would not fit between shoulder and hook")
	case c.Grip > loose+slack:
		d.find(layers.Warning, "clip-grip", hook, atMost(c.Grip, loose), "leave the grip at 0 to follow the sheets as measured", "the plates rattle between shoulder and hook")
	}

	switch {
	case c.Hook < kerf:
		d.find(layers.Error, "clip-hook", hook, atLeast(c.Hook, kerf), "leave the hook at 0 for the default", "a kerf that is set wrong may leave nothing of the hook")
	case c.Hook < 2*kerf:
		d.find(layers.Warning, "clip-hook", hook, atLeast(c.Hook, 2*kerf), "leave the hook at 0 for the default", "a kerf that is set wrong may leave less than half of the hook")
	}

	if need, round := c.deflection+kerf, 2*beamRelief(c.sheet); c.Gap < need {
		d.find(layers.Error, "clip-gap", hook, atLeast(c.Gap, need), "leave the gap at 0 for what the arm needs", "the hook has to give way further than the gap between the legs lets it")
	} else if c.Gap < round {
		d.find(layers.Error, "clip-gap", root, atLeast(c.Gap, round), "leave the gap at 0 for what the arm needs", "the gap between the legs ends in too small a round for its sheet")
	}
	if c.Arm == flex.Arched && c.Radius < c.least() {
		d.find(layers.Error, "clip-arch", root, atLeast(c.Radius, c.least()), "leave the radius at 0 for what the strain asks for", "the arch is too small to span the legs and end below the shoulder")
	}
	least := c.Width
	if c.Arm == flex.Arched {
		least += c.bulb()
	}
	if c.Reach < least {
		d.find(layers.Error, "clip-reach", root, atLeast(c.Reach, least), "leave the reach at 0 for what the spring needs", "the spring has no room behind the back face")
	}

	d.sharp(c.relief, c.sheet, hook, "let the clip go through thicker plates outermost, or cut it from wood")
	switch {
	case c.tip < 2*c.relief:
		d.find(layers.Error, "clip-thin", hook, atLeast(c.tip, 2*c.relief), "make the arm wider", "the arm is narrower at the hook than the relief beside it needs")
	case c.tip < 1+c.relief:
		d.find(layers.Warning, "clip-thin", hook, atLeast(c.tip, 1+c.relief), "make the arm wider", "less than a millimetre of the arm stands beside the relief at the hook, and may char through")
	}

	if lead := float64(c.Lead); lead < 5 || lead > 60 {
		limit, sense := 60.0, layers.AtMost
		if lead < 5 {
			limit, sense = 5, layers.AtLeast
		}
		d.find(layers.Error, "clip-lead", hook, &layers.Measure{Value: lead, Limit: limit, Sense: sense, Unit: "°"}, "leave the lead at 0 for 30°", "the lead-in is no slope that the hook can slide on")
	} else if least, most := c.friction(); math.IsInf(flex.Mating(1, c.Lead.Radians(), most), 1) {
		steepest := math.Atan(1/most) * 180 / math.Pi
		d.find(layers.Error, "clip-lead", hook, &layers.Measure{Value: lead, Limit: steepest, Unit: "°"}, "leave the lead at 0 for 30°", "friction locks the lead-in, and no push takes the hook inside")
	} else if need := c.slip(); least > 0 && least < need {
		d.find(layers.Warning, "clip-slip", hook, &layers.Measure{Value: least, Limit: need, Sense: layers.AtLeast}, "make the arm straight or its radius smaller", "a pull on the front plate can work the hook off")
	}
}

// friction returns the least and the greatest known coefficient of friction of
// the sheets that rub on the hook; 0 and 0 where none is known.
func (c clip) friction() (least, most float64) {
	for _, m := range [...]layers.Material{c.sheet, c.stack[len(c.stack)-1].Material} {
		if m.Friction <= 0 {
			continue
		}
		most = max(most, m.Friction)
		if least == 0 || m.Friction < least {
			least = m.Friction
		}
	}
	return least, most
}

// percent is a measure of strain.
func percent(strain, limit float64) *layers.Measure {
	return &layers.Measure{Value: 100 * strain, Limit: 100 * limit, Unit: "%"}
}

// judge reports what snapping the clip home does to its arm.
func (c clip) judge(d *draft) {
	arm := c.arm()
	strain, limit := c.strain(), c.sheet.Strain.Once
	peak := c.place(c.half()-c.Width/2, c.Grip-arm.Peak())
	if c.Arm == flex.Arched {
		peak = c.place(c.half()-c.Width/2-c.Radius, -c.Reach-c.Radius)
	}
	switch {
	case limit <= 0:
		d.find(layers.Warning, "clip-strain-unknown", peak, nil, "cut one clip, snap it home ten times, and write the strain it stood beside the material",
			"nobody has said what strain %q stands, so nobody can say whether the clip survives", c.sheet.Name)
	case strain > limit:
		d.find(layers.Error, "clip-strain", peak, percent(strain, limit), c.remedy(d.site), "snapping the clip home strains its %s arm more than the sheet stands once", c.Arm)
	}
	if most := c.acrossGrain(); most > 0 && strain > most && strain <= limit {
		d.find(layers.Warning, "clip-grain", peak, percent(strain, most), "make the radius larger", "the arch bends across the grain of its sheet, where it stands less")
	}
}

// remedy returns the change that makes the clip survive and stand out least
// behind the back, as one would write it: a larger radius, a longer reach, or
// an arch in place of a straight arm.
func (c clip) remedy(s Site) string {
	const step, most = 0.5, 40
	text := "choose a sheet that bends further, or a smaller hook"
	depth := math.Inf(1)
	search := func(from float64, change func(float64) (SpringClip, string)) {
		for x := halves(from + 0.1); x <= most; x += step {
			j, words := change(x)
			k := j.sized(c.sheet, c.stack)
			d := s.draft()
			if k.check(d); k.strain() > c.sheet.Strain.Once || d.failed() {
				continue
			}
			if k.depth() < depth {
				depth = k.depth()
				text = fmt.Sprintf("%s: strain %.2f %%", words, 100*k.strain())
			}
			return
		}
	}
	from := c.Radius
	if c.Arm != flex.Arched {
		from = c.least()
		search(c.Reach, func(x float64) (SpringClip, string) {
			j := c.asked
			j.Reach = x
			return j, fmt.Sprintf("reach %g", x)
		})
	}
	search(from, func(x float64) (SpringClip, string) {
		j := c.asked
		j.Arm, j.Radius, j.Reach = flex.Arched, x, 0
		if c.asked.Reach > 0 {
			return j, fmt.Sprintf("arched, radius %g, reach 0", x)
		}
		return j, fmt.Sprintf("arched, radius %g", x)
	})
	return text
}

// slot cuts the slot of the i-th plate and records how the clip sits in it.
func (c clip) slot(d *draft, i int, h Host) {
	y := (h.Back()+h.Front())/2 - c.stack.back()
	world := c.place(0, y)
	s := socket{width: 2 * c.half(), thick: c.thick, play: c.plays[i]}
	s.relief = d.relief(0, h.Material, min(s.width, s.thick), world)
	at, turn := h.place(c.At, c.Turn)
	d.cut(h, "slot", s.opening(), at, turn)
	slot := d.Features[len(d.Features)-1].Region
	if !h.Plate.Outline.Covers(slot, slack) {
		d.find(layers.Error, "clip-place", world, atMost(overhang(slot, h.Plate.Outline), 0), "move the clip to where all its plates overlap", "its slot does not lie on %q", h.Plate.Name)
	}
	// From outer face to outer face: the probe stands in the gap between the
	// legs.
	gap := layers.Point{X: c.half() - c.Width - c.Gap/2, Y: y}
	d.Matings = append(d.Matings, Mating{
		Insert: d.site.Name, Opening: h.Plate.Name,
		Gaps: s.gaps(at, turn, Probe{At: gap}),
	})
}
