// Package joints is how plates hold together: geometry for every side a joint
// touches, from one description, fitted to the sheets as measured.
//
// A joint is a plain value. Given its [Site] (the plates it ties, with their
// resolved thickness and pose) it returns its [Work]: what to add to and cut
// from which plate, which opening takes which insert with how much play, the
// plates it makes itself, and the findings that only it can judge. It never
// edits a plate and never sees another joint's work, so the order of joints
// cannot matter. Lengths are mm.
//
// Each joint's comment lists the findings it may report. Any joint may report
// these:
//
//   - joint-names (error): it names no plate where it needs one, names one
//     twice, or names an upright where a plate of the stack is meant or the
//     other way round.
//   - joint-value (error): a field's value makes no sense, such as a negative
//     width.
//   - joint-material (error): the material of a plate that it makes is not
//     known.
//   - relief-small (warning): the ears, as asked for or as large as the opening
//     lets them be, are narrower than the beam, so that the corners stay filled,
//     or smaller than 0.5 mm in brittle sheet, so that a crack may start there.
//   - relief-large (warning): the ears asked for would leave no straight end
//     and were made smaller.
//
// [Room] looks at all joints together.
package joints

import (
	"math"

	"github.com/go-gl/mathgl/mgl64"

	"github.com/platewright/platewright/layers"
)

// Joint is anything that ties plates. It is a value of plain exported fields,
// so that it can be written down: lengths in mm, [layers.Degrees],
// [layers.Point], [Fraction], [Fit], plate names, numbers and words. A field of
// type layers.Point is a place in the stack, and a field Turn of type
// layers.Degrees a direction in it, unless its comment says otherwise. It
// promises what jointtest.Test checks:
//
//   - the same Site gives the same Work;
//   - features and matings name only plates it ties or makes;
//   - moving or turning its plates and places moves or turns the work with them;
//   - each mating's play, measured on the finished outlines, is the one stated,
//     at every thickness;
//   - an Error finding comes with no features, matings or made plates;
//   - the zero value of every field has the meaning its comment gives.
type Joint interface {
	// Ties returns the names of the declared plates the joint needs.
	Ties() []string
	// Realize computes the joint's work at a site that holds every plate of
	// Ties.
	Realize(Site) Work
}

// Fraction is a pure ratio, such as a share of a height: 0.5 is half.
type Fraction float64

// Host is a plate as a joint sees it: as declared, at its resolved place. The
// own y of an upright points up the stack.
type Host struct {
	Plate    layers.Plate
	Material layers.Material
	Pose     layers.Pose
	Upright  bool // stands square to the stack
	Layer    int  // 0 is the back one; -1 for an upright
}

// Thickness returns the measured thickness of the sheet.
func (h Host) Thickness() float64 { return h.Material.Thickness.Mean }

// Back returns the height of the back face of a plate in the stack.
func (h Host) Back() float64 { return h.Pose.Origin[2] + h.Pose.Back }

// Front returns the height of the front face of a plate in the stack.
func (h Host) Front() float64 { return h.Back() + h.Thickness() }

// middle returns where the sheet's middle lies along its normal, mm.
func (h Host) middle() float64 { return h.Pose.Back + h.Thickness()/2 }

// rise returns the own y of an upright at height z of the stack.
func (h Host) rise(z float64) float64 { return z - h.Pose.Origin[2] }

// place returns a place and a direction of the stack in the plane of a plate
// of the stack.
func (h Host) place(at layers.Point, turn layers.Degrees) (layers.Point, layers.Degrees) {
	u := turn.Unit()
	local, _ := h.Pose.Local(mgl64.Vec3{at.X, at.Y, h.Pose.Origin[2]})
	way := mgl64.Vec3{u.X, u.Y, 0}
	return local, heading(layers.Point{X: way.Dot(h.Pose.X), Y: way.Dot(h.Pose.Y)})
}

// heading returns the direction of v, in [0, 360); quarter turns are exact.
func heading(v layers.Point) layers.Degrees {
	a := layers.Degrees(math.Atan2(v.Y, v.X) * 180 / math.Pi)
	if a < 0 {
		a += 360
	}
	return a
}

// Site is what a joint may look at. It is read-only.
type Site struct {
	Name  string          // the joint's own name in the product
	Hosts map[string]Host // the plates of Ties, by name
	Stock layers.Library  // for plates the joint makes
}

// Work is what a joint asks for. The zero Work asks for nothing.
type Work struct {
	Features []Feature
	Matings  []Mating
	Makes    []Made
	Springs  []Spring
	Needs    []Item     // bought parts: screws, nuts
	Bodies   []Body     // room that bought parts take up beside the plates they go through
	Swaps    [][]string // plates that take the same place in turn
	Findings layers.Findings
}

// Action is what a feature does to its plate.
type Action int

const (
	Add    Action = iota + 1 // united with the outline before anything is cut
	Remove                   // cut from the outline
	Mark                     // scored or engraved
)

// Feature is one change to one plate, in the plate's own plane.
type Feature struct {
	Plate  string
	Action Action
	Name   string        // "slot", "tab", "head pocket"
	Region layers.Region // what is added or removed
	Mark   layers.Mark   // for Mark
	// Margin is the least width of material that must stand between a removed
	// region and both the plate's edge and every other joint's features, mm.
	// Room checks it. 0 means that nothing is asked.
	Margin float64
	// Open says that the removed region is meant to run out of the plate's
	// edge, so that Margin is asked of other joints' features only.
	Open bool
}

// Mating records that an insert goes into an opening, and how much play each
// direction has, so that anyone can measure it again on the finished outlines.
type Mating struct {
	Insert, Opening string // plates
	Gaps            []Gap
}

// Gap is one direction of a mating: the free width at Opening is the solid
// width at Insert plus Play. [Measure] measures it again.
//
// Where the insert's sheet passes the opening's at an angle that is not square,
// the corners of the opening's own edges take part of its width: of a free
// width w then w·sin(Angle) − Depth·cos(Angle) is left for the insert.
type Gap struct {
	Name    string         // "along" the sheet of the insert, "across" its thickness
	Play    float64        // opening − insert, mm; negative is interference
	Opening Probe          // measured through the opening, from edge to edge
	Insert  Probe          // measured through the insert, from edge to edge
	Angle   layers.Degrees // between the two sheets, 0 < Angle ≤ 90; 0: square
	Depth   float64        // thickness of the opening's sheet, mm; where Angle is not square
}

// Probe is where and how a width is measured in a plate's own plane: along the
// line through At in direction Turn. Sheet means the sheet's thickness instead.
type Probe struct {
	At    layers.Point
	Turn  layers.Degrees
	Sheet bool
}

// Made is a plate that the joint makes, named after the joint.
type Made struct {
	Plate layers.Plate
	Pose  layers.Pose
}

// Spring is a sprung arm of a made plate and what snapping it home asks of it.
type Spring struct {
	Plate      string
	Form       string  // straight, tapered, arched
	Length     float64 // developed length of the arm, mm
	Deflection float64 // of the hook on its way in, mm
	Strain     float64 // peak, as a fraction
	Limit      float64 // permissible once, as a fraction; 0 is not known
	Force      float64 // to deflect the hook, N; 0 is not known
	Grip       float64 // distance between the catch faces, mm
	Held       float64 // sum of the layers it holds, mm
}

// Item is a bought part and how many of it.
type Item struct {
	Name  string
	Count int
}

// Body is the room that a bought part takes up, such as the head of a screw: a
// cylinder that stands square to the stack.
type Body struct {
	Name     string       // "head"
	At       layers.Point // its axis
	Radius   float64      // mm
	From, To float64      // heights of the stack, mm
}
