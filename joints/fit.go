package joints

import (
	"fmt"
	"math"

	"github.com/platewright/platewright/layers"
)

// Class is how tight two plates sit in each other.
type Class int

const (
	Snug  Class = iota // goes in by hand, stays by itself
	Slide              // goes in and out freely
	Press              // needs a push or a mallet, holds by force
)

// String returns "snug", "slide" or "press".
func (c Class) String() string {
	switch c {
	case Snug:
		return "snug"
	case Slide:
		return "slide"
	case Press:
		return "press"
	}
	return fmt.Sprintf("Class(%d)", int(c))
}

// MarshalText writes c as its word.
func (c Class) MarshalText() ([]byte, error) {
	if c < Snug || c > Press {
		return nil, fmt.Errorf("fit %d is none of snug, slide, press", int(c))
	}
	return []byte(c.String()), nil
}

// UnmarshalText reads the word for a class.
func (c *Class) UnmarshalText(text []byte) error {
	for _, k := range []Class{Snug, Slide, Press} {
		if string(text) == k.String() {
			*c = k
			return nil
		}
	}
	return fmt.Errorf("fit %q is none of snug, slide, press", text)
}

// Play is the width of an opening less the width of what goes in, mm, on the
// finished plates; negative is interference. Along runs along the insert's
// sheet, between edges that are both cut; Across runs through the insert's
// thickness.
type Play struct{ Along, Across float64 }

// Fit is the fit of one joint. The zero Fit is Snug.
type Fit struct {
	Class Class
	Exact *Play // overrides the class where it is not nil
}

// classPlay holds the play of each class where nothing spreads, and how many
// standard deviations of spread are added to it.
//
// Slide and press follow the ranges that small shops work to (0.15–0.30 mm on
// cut edges, a little more where sheet thickness is in the loop; 0.025–0.05 mm
// overlap for a press fit in stiff sheet), snug is the hand-fitted 0.03–0.05
// mm: common practice, no standard. A coupon of the sheet in hand replaces
// them through Exact.
var classPlay = [...]struct {
	along, across, sigmas float64
}{
	Snug:  {0.04, 0.05, 1},
	Slide: {0.18, 0.22, 3},
	Press: {-0.05, -0.05, 0},
}

// Play returns the play for an insert of one material in an opening of
// another. It is the only place where a fit becomes millimetres: the nominal
// play of the class plus its share of the spread. Along the insert both edges
// are cut, so both kerfs spread; across it the insert's thickness and the
// opening's kerf do. The mean kerf has no part in it: a kit holds finished
// sizes. Brittle sheet is never asked to give: there a press fit has no
// interference.
func (f Fit) Play(insert, opening layers.Material) Play {
	if f.Exact != nil {
		return *f.Exact
	}
	c := classPlay[f.Class]
	k := opening.Kerf.Spread().SD
	p := Play{
		Along:  c.along + c.sigmas*math.Hypot(insert.Kerf.Spread().SD, k),
		Across: c.across + c.sigmas*math.Hypot(insert.Thickness.SD, k),
	}
	if insert.Kind.Brittle() || opening.Kind.Brittle() {
		p.Along, p.Across = max(0, p.Along), max(0, p.Across)
	}
	return p
}
