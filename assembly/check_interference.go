package assembly

import (
	"iter"
	"math"

	"github.com/go-gl/mathgl/mgl64"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
)

// leastVolume is the shared volume up to which two plates do not count as
// colliding, mm³: a rib of 0.05 × 0.3 × 3 mm, less than a beam leaves in a
// corner (judgement).
const leastVolume = 0.05

// platesOverlap looks at the plates of each layer.
func platesOverlap(k *Kit, report func(layers.Finding)) {
	for a, b := range k.beside(0) {
		area, at := a.Outline.Overlap(b.Outline)
		area -= k.eased(a, b).area
		thin := min(a.Stock.Thickness.Mean, b.Stock.Thickness.Mean)
		if area*thin <= leastVolume {
			continue
		}
		report(layers.Finding{
			ID:       "plates-overlap",
			Severity: layers.Error,
			Subject:  subject(a),
			Related:  []layers.Subject{subject(b)},
			At:       a.Pose.World(at, thin/2),
			Measure:  &layers.Measure{Value: area, Limit: 0, Unit: "mm²"},
			Cause:    "two plates of one layer lie over each other",
			Remedy:   layers.Fix{Text: "move one of them or cut it back"},
		})
	}
}

// platesClose looks at the plates of each layer that ask for a gap.
func platesClose(k *Kit, report func(layers.Finding)) {
	most := 0.0
	for _, s := range k.solids {
		most = max(most, s.Gap)
	}
	if most == 0 {
		return
	}
	for a, b := range k.beside(most / 2) {
		gap := max(a.Gap, b.Gap)
		if gap == 0 || len(k.mated[pairOf(a.Name, b.Name)]) > 0 {
			continue // a joint that fits one into the other says how close they are
		}
		mm, at := layers.Clearance(a.Outline, b.Outline)
		if mm >= gap-layers.Grid {
			continue
		}
		if mm == 0 {
			if area, _ := a.Outline.Overlap(b.Outline); area > layers.Grid {
				continue // platesOverlap says so
			}
		}
		report(layers.Finding{
			ID:       "plates-close",
			Severity: layers.Warning,
			Subject:  subject(a),
			Related:  []layers.Subject{subject(b)},
			At:       a.Pose.World(at[0].Add(at[1]).Mul(0.5), a.Stock.Thickness.Mean/2),
			Measure:  &layers.Measure{Value: mm, Limit: gap, Sense: layers.AtLeast, Unit: "mm"},
			Cause:    "two plates of one layer lie closer than the gap that they ask for",
			Remedy:   layers.Fix{Text: "move them apart, or ask for less"},
		})
	}
}

// platesCollide looks at the plates that are not of the stack (uprights and
// what joints make) against all others.
func platesCollide(k *Kit, report func(layers.Finding)) {
	outlines := map[string]outlined{}
	outline := func(s solid) outlined {
		o, ok := outlines[s.Name]
		if !ok {
			o = outlineOf(s.Placed)
			outlines[s.Name] = o
		}
		return o
	}
	for a, b := range k.across() {
		ease := k.eased(a, b)
		var volume float64
		var at mgl64.Vec3
		switch meet(a.Placed, b.Placed) {
		case square:
			volume, at = shared(outline(a).thinner(ease.thin[a.Name]), outline(b).thinner(ease.thin[b.Name]))
		case parallel:
			volume, at = sharedFlat(a.Placed, b.Placed)
		default:
			if !standing(a.Placed) || !standing(b.Placed) {
				continue // collisionUnknown says so
			}
			if !touch(a.Placed, b.Placed) {
				continue
			}
			volume, at = sharedOblique(outline(a).thinner(ease.thin[a.Name]), outline(b).thinner(ease.thin[b.Name]))
		}
		volume -= ease.volume
		if volume <= leastVolume {
			continue
		}
		report(layers.Finding{
			ID:       "plates-collide",
			Severity: layers.Error,
			Subject:  subject(a),
			Related:  []layers.Subject{subject(b)},
			At:       at,
			Measure:  &layers.Measure{Value: volume, Limit: leastVolume, Unit: "mm³"},
			Cause:    "two plates take up the same room",
			Remedy:   layers.Fix{Text: "move one of them, cut it back, or tie them with a joint that makes way"},
		})
	}
}

// collisionUnknown names the pairs that platesCollide cannot measure.
func collisionUnknown(k *Kit, report func(layers.Finding)) {
	for a, b := range k.across() {
		measured := standing(a.Placed) && standing(b.Placed)
		if meet(a.Placed, b.Placed) == oblique && !measured && touch(a.Placed, b.Placed) {
			report(layers.Finding{
				ID:       "collision-unknown",
				Severity: layers.Note,
				Subject:  subject(a),
				Related:  []layers.Subject{subject(b)},
				At:       a.box.common(b.box),
				Cause:    "two plates meet askew, of which one lies neither in the stack nor square to it, so that what they share was not measured",
				Remedy:   layers.Fix{Text: "look at the place, or cut the two alone first"},
			})
		}
	}
}

// sharedFlat returns the volume that two plates share whose planes are
// parallel, in mm³, and a place in it: the area that their outlines share times
// the height that their thicknesses share, unless that is a mere contact.
func sharedFlat(a, b Placed) (mm3 float64, at mgl64.Vec3) {
	o, n := a.Pose.Local(b.Pose.World(layers.Point{}, b.Pose.Back))
	x, _ := a.Pose.Local(a.Pose.Origin.Add(b.Pose.X))
	from, to := n, n+b.Stock.Thickness.Mean
	other := b.Outline
	if a.Pose.Normal().Dot(b.Pose.Normal()) < 0 {
		other = other.Mirror(0)
		from, to = n-b.Stock.Thickness.Mean, n
	}
	from, to = max(from, a.Pose.Back), min(to, a.Pose.Back+a.Stock.Thickness.Mean)
	if to-from <= contact {
		return 0, at
	}
	turn := layers.Degrees(math.Atan2(x.Y, x.X) * 180 / math.Pi)
	area, place := a.Outline.Overlap(other.Rotate(turn).Move(o))
	return area * (to - from), a.Pose.World(place, (from+to)/2)
}

// easing is what a joint's own interference explains of what two plates share.
type easing struct {
	thin   map[string]float64 // how much thinner each insert may be taken, mm
	volume float64            // mm³ that a tab is too wide on purpose
	area   float64            // mm² that an insert in the same layer is too wide on purpose
}

// eased returns what the matings of a and b explain: a press fit is an insert
// that is thicker or wider than its opening. Thicker is taken off the insert's
// thickness; wider by p explains p times its thickness through the whole
// opening, or in one layer half of p along its whole boundary.
func (k *Kit) eased(a, b solid) easing {
	e := easing{thin: map[string]float64{}}
	for _, m := range k.mated[pairOf(a.Name, b.Name)] {
		insert, opening := a, b
		if m.Insert == b.Name {
			insert, opening = b, a
		}
		for _, g := range m.Gaps {
			switch tight := -g.Play; {
			case tight <= 0:
			case g.Insert.Sheet:
				e.thin[insert.Name] = max(e.thin[insert.Name], tight)
			case a.Layer >= 0 && a.Layer == b.Layer:
				e.area = max(e.area, tight/2*insert.Outline.Perimeter())
			default:
				e.volume += tight * insert.Stock.Thickness.Mean * opening.Stock.Thickness.Mean
			}
		}
	}
	return e
}

// thinner returns o with mm taken off its thickness, half from each face.
func (o outlined) thinner(mm float64) outlined {
	o.Stock.Thickness.Mean -= mm
	o.Pose.Back += mm / 2
	return o
}

// pair is two plates' names in alphabetical order.
type pair [2]string

func pairOf(a, b string) pair {
	if b < a {
		a, b = b, a
	}
	return pair{a, b}
}

// mate fills k.mated and k.turns from the joints' work.
func (k *Kit) mate() {
	k.mated, k.turns = map[pair][]joints.Mating{}, map[string]string{}
	for joint, w := range k.works.sorted() {
		for _, m := range w.Matings {
			p := pairOf(m.Insert, m.Opening)
			k.mated[p] = append(k.mated[p], m)
		}
		for _, swap := range w.Swaps {
			for _, name := range swap {
				k.turns[name] = joint + "/" + swap[0]
			}
		}
	}
}

// takeTurns reports whether a and b are inserts of one seat.
func (k *Kit) takeTurns(a, b string) bool { return k.turns[a] != "" && k.turns[a] == k.turns[b] }

// beside yields the pairs of plates of one layer whose boxes meet when each is
// grown by d, each pair once; inserts that take turns are none.
func (k *Kit) beside(d float64) iter.Seq2[solid, solid] {
	return func(yield func(a, b solid) bool) {
		for i, a := range k.solids {
			if a.Layer < 0 {
				continue
			}
			for j := range k.tree.meeting(a.box, d) {
				b := k.solids[j]
				if j > i && b.Layer == a.Layer && !k.takeTurns(a.Name, b.Name) && !yield(a, b) {
					return
				}
			}
		}
	}
}

// across yields the pairs of plates whose boxes meet and of which at least one
// is not of the stack, that one first, each pair once; inserts that take turns
// are none.
func (k *Kit) across() iter.Seq2[solid, solid] {
	return func(yield func(a, b solid) bool) {
		for i, a := range k.solids {
			if a.Layer >= 0 || a.Outline.Empty() {
				continue
			}
			for j := range k.tree.meeting(a.box, 0) {
				b := k.solids[j]
				if (j > i || j < i && b.Layer >= 0) && !b.Outline.Empty() && !k.takeTurns(a.Name, b.Name) && !yield(a, b) {
					return
				}
			}
		}
	}
}

// touch reports whether the blocks that the plates are cut from, of the size of
// their bounds, share a point: two blocks are apart where they are apart along
// a normal of a face of either or along a direction square to an edge of each
// (S. Gottschalk, M. C. Lin and D. Manocha, OBBTree, SIGGRAPH 1996, section 5).
func touch(a, b Placed) bool {
	ax, bx := [3]mgl64.Vec3{a.Pose.X, a.Pose.Y, a.Pose.Normal()}, [3]mgl64.Vec3{b.Pose.X, b.Pose.Y, b.Pose.Normal()}
	axes := append(ax[:], bx[:]...)
	for _, u := range ax {
		for _, v := range bx {
			axes = append(axes, u.Cross(v))
		}
	}
	for _, axis := range axes {
		if axis.Len() < squareness {
			continue
		}
		if p, q := reach(a, axis), reach(b, axis); p.To <= q.From || q.To <= p.From {
			return false
		}
	}
	return true
}

// subject names the plate.
func subject(s solid) layers.Subject { return layers.Subject{Kind: "plate", Name: s.Name} }
