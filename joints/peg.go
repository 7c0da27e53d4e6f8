package joints

import (
	"math"

	"github.com/platewright/platewright/layers"
)

// overlap is how far the head of a peg should reach over the slot on each side,
// mm: what is left after wear and a bad cut (judgement).
const overlap = 0.5

// Peg is a cut peg of rectangular section that is pushed from the back through
// aligned slots. It is as long as the plates it goes through are thick in all,
// as measured; its head stays behind the back, its tip is chamfered. The joint
// makes the peg, a standing plate named after it.
//
// It reports:
//
//   - peg-head (warning): the head hardly reaches over the rearmost slot and
//     may be pulled through.
type Peg struct {
	Through []string
	At      layers.Point   // middle of the peg
	Turn    layers.Degrees // direction of its width
	Width   float64        // mm; 0: three times its thickness
	Head    float64        // how far the head stands out to each side, and how high it is, mm; 0: the peg's thickness
	Proud   float64        // how far the tip stands out of the front, mm; 0: flush
	Cut     string         // material of the peg; "": that of the rearmost plate
	Fit     Fit
}

// Ties returns the plates it goes through.
func (j Peg) Ties() []string { return j.Through }

// Realize makes the peg and cuts the slots.
func (j Peg) Realize(s Site) Work {
	d := s.draft()
	through := d.stack(j.Through)
	d.notNegative("width", j.Width)
	d.notNegative("head", j.Head)
	d.notNegative("proud", j.Proud)
	if d.failed() {
		return d.done()
	}
	sheet := d.stock(j.Cut, through[0])
	if d.failed() {
		return d.done()
	}
	t := sheet.Thickness.Mean
	width, head := j.Width, j.Head
	if width == 0 {
		width = 3 * t
	}
	if head == 0 {
		head = t
	}
	length := through.front() - through.back() + j.Proud
	chamfer := min(lead, length/4, width/4)
	pose := layers.Standing(j.At, j.Turn, through.back(), t)

	if over := head - j.Fit.Play(sheet, through[0].Material).Along/2; over < overlap {
		d.find(layers.Warning, "peg-head", pose.Origin, atLeast(over, overlap), "leave the head at 0 for the peg's thickness", "the head hardly reaches over the slot")
	}
	r := d.relief(0, sheet, head, pose.Origin)
	d.Makes = append(d.Makes, Made{
		Plate: layers.Plate{Name: s.Name, Material: sheet.Name, Outline: peg(width, head, length, chamfer, r)},
		Pose:  pose,
	})
	d.pierce(through, blade{
		plate: s.Name, sheet: sheet, pose: pose, width: width,
		from: through.back(), to: through.back() + length - chamfer,
	}, j.Fit, 0)
	return d.done()
}

// peg draws a peg once around with the material to the left: its shaft about
// the y axis, its head below the x axis, and a half-round notch of radius r in
// the head on each side of the shaft, which keeps its full width.
func peg(width, head, length, chamfer, r float64) layers.Region {
	w := width / 2
	return trace{
		{x: w, y: length - chamfer},
		{x: w - chamfer, y: length},
		{x: chamfer - w, y: length},
		{x: -w, y: length - chamfer},
		{x: -w, y: 0, arc: -math.Pi},
		{x: -w - 2*r, y: 0},
		{x: -w - head, y: 0},
		{x: -w - head, y: -head},
		{x: w + head, y: -head},
		{x: w + head, y: 0},
		{x: w + 2*r, y: 0, arc: -math.Pi},
		{x: w, y: 0},
	}.region()
}
