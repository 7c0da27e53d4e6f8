package joints

import (
	"fmt"
	"slices"
	"strings"

	"github.com/go-gl/mathgl/mgl64"

	"github.com/platewright/platewright/layers"
)

// fixing is what a wood screw that a piece hangs on needs room for, mm.
type fixing struct {
	size             string
	headMax, headMin float64 // diameters of flat and pan heads
	headHigh         float64 // greatest, of pan heads
	shank            float64 // greatest, of shank and thread
}

// fixings holds the wood screws that small pieces are hung on. The inch sizes
// are converted from the production limits at ary.com/Info/WoodScrewSizes.html
// (head: the larger of flat and pan at most, the smaller at least; height: pan
// head). The metric ones follow DIN 96 and DIN 7996 (round and pan head),
// whose heads are 2 d wide and 0.7 d high; the least head is that less its
// tolerance h14 (from memory).
var fixings = [...]fixing{
	{"#6", 7.1, 6.2, 2.62, 3.6},
	{"#8", 8.4, 7.4, 3.05, 4.3},
	{"#10", 9.8, 8.6, 3.48, 4.9},
	{"3.5", 7.0, 6.64, 2.45, 3.5},
	{"4", 8.0, 7.64, 2.8, 4.0},
	{"4.5", 9.0, 8.64, 3.15, 4.5},
}

const (
	entryRoom = 1.0 // the entry is wider than the largest head, mm
	slotRoom  = 0.5 // the slot is wider than the thickest shank, mm
	drop      = 3.0 // travel beyond the entry's radius, mm
	leastLand = 1.2 // of sheet under the smallest head on each side, mm
	// shoulder is the material to leave about a hanging slot, mm: 3/16 in, as
	// advised for routed ones (woodmagazine.com, "Keyhole bits").
	shoulder = 4.8
)

// HangingSlot is a slot to hang the piece on a screw in the wall: a round entry
// for the head, and above it a slot for the shank, in the rearmost plate. Room
// names the plates in front of it, which get a pocket for the head over the
// whole travel; they must be as thick in all as the head is high.
//
// Entry, slot, travel and land follow from the screw's limits: 1 mm more than
// the largest head, 0.5 mm more than the shank, 3 mm more than the entry's
// radius, and at least 1.2 mm of sheet under the smallest head on each side
// (derived from the screw table, see fixings).
//
// Hang the piece only on a fixing that is rated for its weight in that wall.
// The slot says nothing about the strength of wall, plug or screw. The centre
// of gravity should lie on the vertical through the screw, or the piece hangs
// askew.
//
// It reports:
//
//   - hang-screw (error): the screw is not known.
//   - hang-order (error): a plate of Room lies behind the slot.
//   - hang-land (warning): too little sheet is under the screw's head.
//   - hang-shallow (warning): the pocket is not as deep as the head is high.
//   - hang-room (note): no plate is named to make room for the head, which
//     needs it all the same.
type HangingSlot struct {
	In    string
	Room  []string
	At    layers.Point   // middle of the screw when the piece hangs
	Turn  layers.Degrees // of the slot: 0 runs up, the entry below At
	Screw string         // wood screw: "#6", "#8", "#10", or metric "3.5", "4", "4.5"; "": #8
}

// Ties returns the plate with the slot and those with the pocket.
func (j HangingSlot) Ties() []string { return append([]string{j.In}, j.Room...) }

// Realize cuts the slot and the pocket.
func (j HangingSlot) Realize(s Site) Work {
	d := s.draft()
	size := j.Screw
	if size == "" {
		size = "#8"
	}
	i := slices.IndexFunc(fixings[:], func(f fixing) bool { return f.size == size })
	if i < 0 {
		var known []string
		for _, f := range fixings {
			known = append(known, f.size)
		}
		d.find(layers.Error, "hang-screw", mgl64.Vec3{}, nil, "choose one of these", "the screw %q is none of %s", size, strings.Join(known, ", "))
	}
	in := d.flat(j.In)
	d.stack(j.Ties())
	if d.failed() {
		return d.done()
	}
	f := fixings[i]
	at := mgl64.Vec3{j.At.X, j.At.Y, in.Back()}

	entry, slot := f.headMax+entryRoom, f.shank+slotRoom
	travel := entry/2 + drop
	down := layers.Point{Y: -travel}
	way := layers.SlotShape(slot, travel+slot).Move(down.Mul(0.5))
	keyhole := way.Union(layers.Circle(entry).Move(down))
	local, turn := in.place(j.At, j.Turn)
	d.cut(in, "hanging slot", keyhole, local, turn)
	d.Features[0].Margin = max(d.Features[0].Margin, shoulder)

	if land := (f.headMin - slot) / 2; land < leastLand {
		d.find(layers.Warning, "hang-land", at, atLeast(land, leastLand), "hang the piece on a thicker screw", "little of the sheet is under the head of a small screw")
	}

	var deep float64
	for _, name := range j.Room {
		h := s.Hosts[name]
		if h.Back() < in.Back() {
			d.find(layers.Error, "hang-order", at, nil, "name plates in front of the slot", "%q lies behind the slot", name)
		}
		deep += h.Thickness()
		local, turn := h.place(j.At, j.Turn)
		d.cut(h, "head pocket", layers.SlotShape(entry, travel+entry).Move(down.Mul(0.5)), local, turn)
	}
	switch {
	case len(j.Room) == 0:
		d.find(layers.Note, "hang-room", at, nil, "name the plates in front that need a pocket, or leave air there", "no plate is named to make room for the screw's head")
	case deep < f.headHigh:
		d.find(layers.Warning, "hang-shallow", at, atLeast(deep, f.headHigh), "name one more plate for the pocket or hang the piece on a smaller screw", "the pocket is not as deep as the screw's head is high")
	}
	d.Needs = append(d.Needs, Item{Name: fmt.Sprintf("%s wood screw, pan head, with a plug for the wall", f.size), Count: 1})
	return d.done()
}
