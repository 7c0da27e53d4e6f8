package joints

import (
	"math"

	"github.com/platewright/platewright/layers"
)

// leastShoulder is the length of edge that must rest on the plates on one side
// of a tab, mm: less is a web that breaks while it is handled (cutting services
// call details of less than 1 mm fragile).
const leastShoulder = 1

// TabSlot is a tab of an upright that goes through one or more plates of the
// stack. Which way the tab points follows from where the upright stands: on
// the front of the foremost plate, or behind the back of the rearmost. The tab
// grows out of the upright's declared edge, its tip is chamfered, and round
// ears relieve the slots' corners and the tab's shoulders.
//
// It reports:
//
//   - tab-off (error): the upright does not stand on the plates: how far its
//     edge is away, or that it has no material there.
//   - tab-wide (error): the tab is wider than the straight edge it grows from,
//     or that edge is shorter than two thicknesses where Width is 0.
//   - tab-shoulder (warning): beside the tab and its ears no millimetre of that
//     edge is left on either side, so that the upright goes right through.
//   - tab-short (warning, or error where a plate is not reached at all): the
//     length given ends before the stack does.
type TabSlot struct {
	Upright string
	Through []string
	At      float64 // middle of the tab along the upright's own x, mm
	Width   float64 // mm; 0: five thicknesses of the upright, at most half of the edge it stands on
	Length  float64 // of the tab from that edge, mm; 0: through all of Through as measured, and Proud
	Proud   float64 // how far the tab stands out of the far face where Length is 0, mm
	Relief  float64 // radius of the ears, mm; 0: the least that each sheet wants, 0.5 in brittle sheet
	Fit     Fit
}

// Ties returns the upright and the plates it goes through.
func (j TabSlot) Ties() []string { return append([]string{j.Upright}, j.Through...) }

// Realize grows the tab and cuts the slots.
func (j TabSlot) Realize(s Site) Work {
	d := s.draft()
	up, through := d.upright(j.Upright), d.stack(j.Through)
	d.notNegative("width", j.Width)
	d.notNegative("length", j.Length)
	d.notNegative("proud", j.Proud)
	d.notNegative("relief", j.Relief)
	if d.failed() {
		return d.done()
	}
	t := up.Thickness()
	e, ok := footing(up, through, j.At)
	at := up.Pose.World(layers.Point{X: j.At, Y: e.y}, up.middle())
	if !ok {
		d.find(layers.Error, "tab-off", at, atMost(beside(up, j.At), 0), "move the tab onto the upright", "the upright has no material where the tab should grow")
		return d.done()
	}
	if math.Abs(e.gap) > meet {
		cause := "the upright's edge does not reach the plates of the stack"
		if e.gap < 0 {
			cause = "the upright's edge lies inside the plates of the stack"
		}
		d.find(layers.Error, "tab-off", at, atMost(math.Abs(e.gap), meet), "move the upright, or name the plates that it stands on", "%s", cause)
	}

	root := min(bite, e.depth/2)
	left, right := e.straight(up, j.At, root)
	left2, right2 := e.straight(up, j.At, root/10)
	left, right = min(left, left2), min(right, right2)
	edge := 2 * min(left, right)
	width := j.Width
	if width == 0 {
		width = min(5*t, edge/2)
	}
	switch {
	case width < t && j.Width == 0:
		d.find(layers.Error, "tab-wide", at, atLeast(edge, 2*t), "move the tab along the edge, or give a width", "the straight edge is too short for a tab")
	case width > edge:
		d.find(layers.Error, "tab-wide", at, atMost(width, edge), "make the tab narrower or move it along the edge", "the tab is wider than the straight edge that it grows from")
	}

	height := through.front() - through.back()
	length := j.Length
	if length == 0 {
		length = height + j.Proud
	}
	chamfer := min(lead, length/4, width/4)
	tab := blade{plate: j.Upright, sheet: up.Material, pose: up.Pose, x: j.At, width: width}
	z := up.Pose.Origin[2] + e.y
	if e.turn == 0 {
		tab.from, tab.to = z, z+length-chamfer
	} else {
		tab.from, tab.to = z-length+chamfer, z
	}
	if length < height {
		sev := layers.Warning
		for _, h := range through {
			if _, ok := tab.height(h); !ok {
				sev = layers.Error
			}
		}
		d.find(sev, "tab-short", at, atLeast(length, height), "leave the length at 0 to follow the sheets as measured", "the tab ends before the plates that it goes through do")
	}
	if d.failed() {
		return d.done()
	}

	r := d.relief(j.Relief, up.Material, width, at)
	if rest := max(left, right) - width/2 - 2*r; rest < leastShoulder-slack {
		d.find(layers.Warning, "tab-shoulder", at, atLeast(max(0, rest), leastShoulder), "make the tab narrower", "no shoulder is left beside the tab, so that the upright goes right through")
	}
	foot := layers.Point{X: j.At, Y: e.y}
	d.Features = append(d.Features,
		Feature{Plate: j.Upright, Action: Add, Name: "tab", Region: shaft(width, root, length, chamfer).Rotate(e.turn).Move(foot)},
		Feature{Plate: j.Upright, Action: Remove, Name: "shoulder relief", Region: notches(width, r).Move(foot)},
	)
	d.pierce(through, tab, j.Fit, j.Relief)
	return d.done()
}

// foot is the edge of an upright that a tab grows from.
type foot struct {
	y     float64        // its height in the upright's plane
	turn  layers.Degrees // of a tab that points up: 0, or 180 for one that points down
	gap   float64        // from it to the stack, mm; negative where it lies inside
	depth float64        // of the upright's material behind it, mm
}

// footing returns the edge of the upright at its own x that lies nearest to
// the outer faces of the stack; ok is false where there is no material.
func footing(up Host, on stack, x float64) (nearest foot, ok bool) {
	front, back := up.rise(on.front()), up.rise(on.back())
	nearest.gap = math.Inf(1)
	for _, s := range up.Plate.Outline.Along(layers.Point{X: x}, 90) {
		for _, f := range [...]foot{
			{s.From, 180, s.From - front, s.Len()},
			{s.To, 0, back - s.To, s.Len()},
		} {
			if math.Abs(f.gap) < math.Abs(nearest.gap) {
				nearest, ok = f, true
			}
		}
	}
	return nearest, ok
}

// straight returns how far the material reaches without a gap to each side of
// the upright's own x, depth mm behind the edge.
func (f foot) straight(up Host, x, depth float64) (left, right float64) {
	y := f.y + depth
	if f.turn == 0 {
		y = f.y - depth
	}
	s, ok := solidAt(up.Plate.Outline, Probe{At: layers.Point{X: x, Y: y}})
	if !ok {
		return 0, 0
	}
	return -s.From, s.To
}

// beside returns how far the upright's material is from the vertical line at
// its own x, mm.
func beside(up Host, x float64) float64 {
	const line = 0.05
	b := up.Plate.Outline.Bounds()
	r := layers.Rectangle(line, b.Height()+2).Move(layers.Point{X: x, Y: b.Centre().Y})
	mm, _ := layers.Clearance(up.Plate.Outline, r)
	return mm + line/2
}
