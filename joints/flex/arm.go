package flex

import (
	"fmt"
	"math"
)

// Form is the shape of a spring arm.
type Form int

const (
	// Arched is a hairpin: a straight leg whose far end turns through an arc
	// into a rigid part. The arc shares the bending, so it is the form for
	// short stacks and for sheet that breaks early.
	Arched Form = iota
	// Straight is a leg of even width out of a rigid part.
	Straight
	// Tapered is a leg whose width falls evenly from its root to its tip.
	Tapered
)

var forms = [...]string{Arched: "arched", Straight: "straight", Tapered: "tapered"}

// String returns "arched", "straight" or "tapered".
func (f Form) String() string {
	if f < 0 || int(f) >= len(forms) {
		return fmt.Sprintf("Form(%d)", int(f))
	}
	return forms[f]
}

// MarshalText writes f as its word.
func (f Form) MarshalText() ([]byte, error) {
	if f < 0 || int(f) >= len(forms) {
		return nil, fmt.Errorf("arm form %d is none of straight, tapered, arched", int(f))
	}
	return []byte(forms[f]), nil
}

// UnmarshalText reads the word for a form.
func (f *Form) UnmarshalText(text []byte) error {
	for i, word := range forms {
		if string(text) == word {
			*f = Form(i)
			return nil
		}
	}
	return fmt.Errorf("arm form %q is none of straight, tapered, arched", text)
}

// Arm is a spring arm, held at one end and pushed sideways at the other, its
// tip: the place where its hook is pushed, which need not be its very end.
type Arm struct {
	Form   Form
	Length float64 // of the straight leg, from the tip to the root or to the arc; ≥ 0
	Width  float64 // in the sheet's plane, at the root; > 0
	Taper  float64 // Tapered: width at the tip over width at the root, in (0, 1]; 0 means 0.5
	Radius float64 // Arched: of the arc's centreline; > Width/2
	Sweep  float64 // Arched: the angle that the arc turns through, in (0, 2π); 0 means π
}

func (a Arm) taper() float64 {
	if a.Taper == 0 {
		return 0.5
	}
	return a.Taper
}

func (a Arm) sweep() float64 {
	if a.Sweep == 0 {
		return math.Pi
	}
	return a.Sweep
}

// Give is the compliance of an arm's tip: how it moves under unit loads at the
// tip, each times E·I with I = thickness·Width³/12 at the root. A push is a
// force across the leg, towards the arc's centre; a pull is one along the leg,
// away from the root; a moment turns the tip the way a push does. By
// reciprocity each cross term stands for both directions.
type Give struct {
	Push float64 // movement across the leg under a push, mm³
	Pull float64 // movement along the leg under a pull, mm³
	Turn float64 // rotation under a moment, mm

	PushTurn float64 // rotation under a push, movement across under a moment, mm²
	PullPush float64 // movement along the leg under a push, across under a pull, mm³
	PullTurn float64 // rotation under a pull, movement along under a moment, mm²
}

// Give returns the compliance of the tip, by Castigliano's second theorem: each
// term is the integral, along the arm, of the product of two unit bending
// moments, times I(root)/I(s).
//
// For a leg of length ℓ and an arc of radius R and sweep Φ the unit moments are
// x in the leg (x from the tip) and ℓ + R·sin φ in the arc (φ from the leg) for a
// push, 0 and R·(1 − cos φ) for a pull, 1 for a moment. With Φ = π the push
// term is ℓ³/3 + R·(πℓ² + 4ℓR + πR²/2). With ℓ = 0 these are the textbook
// coefficients of ring quadrants and half rings.
//
// For the taper, with r the tip's width over the root's and q = 1 − r, the
// integrals of xⁿ/(r + q·x/L)³ close: L³·(−ln r − q − q²/2)/q³, L²/(2r) and
// L·(1 + r)/(2r²).
func (a Arm) Give() Give {
	l := a.Length
	switch a.Form {
	case Tapered:
		r := a.taper()
		return Give{Push: l * l * l * taperIntegral(r), PushTurn: l * l / (2 * r), Turn: l * (1 + r) / (2 * r * r)}
	case Arched:
		r, w := a.Radius, a.sweep()
		sin, cos := math.Sincos(w)
		sin2 := math.Sin(2 * w)
		return Give{
			Push:     l*l*l/3 + r*(l*l*w+2*l*r*(1-cos)+r*r*(w/2-sin2/4)),
			Pull:     r * r * r * (3*w/2 - 2*sin + sin2/4),
			Turn:     l + r*w,
			PushTurn: l*l/2 + r*(l*w+r*(1-cos)),
			PullPush: r * r * (l*(w-sin) + r*(1-cos-sin*sin/2)),
			PullTurn: r * r * (w - sin),
		}
	default:
		return Give{Push: l * l * l / 3, PushTurn: l * l / 2, Turn: l}
	}
}

// taperIntegral returns ∫₀¹ s²/(r + (1−r)·s)³ ds = (−ln r − q − q²/2)/q³ with
// q = 1 − r. Near r = 1 that cancels, and its power series Σ qⁿ/(n+3) serves.
func taperIntegral(r float64) float64 {
	q := 1 - r
	if q > 0.1 {
		return (-math.Log(r) - q - q*q/2) / (q * q * q)
	}
	sum, p := 0.0, 1.0
	for n := 3; n < 20; n++ {
		sum += p / float64(n)
		p *= q
	}
	return sum
}

// peak returns the largest of bending moment under a unit push, over section
// modulus, times the section modulus at the root: a lever in mm that holds the
// curved-bar factor; and how far along the arm from the tip it acts.
func (a Arm) peak() (lever, at float64) {
	l := a.Length
	switch a.Form {
	case Tapered:
		// x/(r + q·x/L)² is largest at x = r·L/q, which lies on the arm for a
		// taper below one half.
		if r := a.taper(); r < 0.5 {
			q := 1 - r
			return l / (4 * r * q), r * l / q
		}
	case Arched:
		phi := math.Min(math.Pi/2, a.sweep())
		return (l + a.Radius*math.Sin(phi)) * CurvedBar(a.Radius, a.Width), l + a.Radius*phi
	}
	return l, l
}

// Strain returns the peak strain when the tip is pushed across by deflection
// mm: (h/2)·lever·deflection over the push compliance. The straight arm's is the
// familiar 1.5·h·δ/L². An arched arm's peak lies on the inside of the arc and
// includes [CurvedBar].
func (a Arm) Strain(deflection float64) float64 {
	lever, _ := a.peak()
	return a.Width / 2 * lever * deflection / a.Give().Push
}

// Deflection is the inverse of Strain: how far the tip may be pushed across
// before the peak strain is reached.
func (a Arm) Deflection(strain float64) float64 {
	return strain / a.Strain(1)
}

// Peak returns where the strain is largest: the distance from the tip along
// the arm's centreline, mm.
func (a Arm) Peak() float64 {
	_, at := a.peak()
	return at
}

// Developed returns the length of the arm's centreline, arc and all, mm.
func (a Arm) Developed() float64 {
	if a.Form == Arched {
		return a.Length + a.Radius*a.sweep()
	}
	return a.Length
}

// Stiffness returns the push at the tip that moves it by 1 mm, N/mm, for sheet
// of the given modulus (MPa) and thickness (mm).
func (a Arm) Stiffness(modulus, thickness float64) float64 {
	return modulus * thickness * a.Width * a.Width * a.Width / 12 / a.Give().Push
}

// Force returns the push at the tip that moves it by deflection, N.
func (a Arm) Force(deflection, modulus, thickness float64) float64 {
	return a.Stiffness(modulus, thickness) * deflection
}

// Slope returns how far the tip turns when it is pushed across by deflection,
// radians.
func (a Arm) Slope(deflection float64) float64 {
	g := a.Give()
	return deflection * g.PushTurn / g.Push
}

// Slip returns which part of a pull along the leg acts like a push at the tip:
// what would work a loaded hook off its catch. The pull acts offset mm outside
// the leg's centreline, where a hook bears. A square catch holds by friction
// while the coefficient of friction is larger than this.
func (a Arm) Slip(offset float64) float64 {
	g := a.Give()
	return (g.PullPush + offset*g.PushTurn) / g.Push
}

// CurvedBar returns how much larger the bending strain is on the inside of a
// curved bar of rectangular section than in a straight one under the same
// moment: the theory of Winkler and Bach, plane sections and a neutral axis at
// radius width/ln(outer/inner). Radius is the centreline's, larger than half
// the width. At a radius of two widths it is 1.20. (Any text on strength of
// materials, under curved bars; the exact solution of plane elasticity agrees
// within 4 % down to a radius of one width: see the test.)
func CurvedBar(radius, width float64) float64 {
	k := 2 * radius / width
	e := k - 1/math.Atanh(1/k) // neutral axis from the centreline, in half widths
	if k > 1e4 {
		e = 1 / (3 * k) // the first term of its series, where the difference cancels
	}
	return (1 - e) / (3 * e * (k - 1))
}

// Mating returns the force along the way in that bends an arm home: push is the
// force across that the arm needs, lead the angle between the lead-in face and
// the way in, in (0, π/2), and friction the coefficient of friction between
// the faces. It is push·(µ + tan α)/(1 − µ·tan α) (the plastics makers'
// snap-fit guides give it, with a chart), and +Inf where friction locks the
// face. With the angle of the return face instead it is the force that pulls
// the hook off.
func Mating(push, lead, friction float64) float64 {
	t := math.Tan(lead)
	if friction*t >= 1 {
		return math.Inf(1)
	}
	return push * (friction + t) / (1 - friction*t)
}
