package assembly

import (
	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
)

// passageBlocked looks for plates in the way of a screw or another bought part,
// which is no plate that plates-collide could see. What passes a joint's
// smallest opening passes, straight through the stack, everything between the
// outermost plates that the joint opens. A joint with more than one opening in
// a plate is not judged.
func passageBlocked(k *Kit, report func(layers.Finding)) {
	for joint, w := range k.works.sorted() {
		if len(w.Needs) == 0 {
			continue
		}
		way, ok := k.passage(w)
		if !ok {
			continue
		}
		for i := range k.tree.meeting(way.box, 0) {
			s := k.solids[i]
			if s.Layer < way.from || s.Layer > way.to {
				continue
			}
			area, at := s.Outline.Overlap(way.opening)
			if area <= nothing {
				continue
			}
			report(layers.Finding{
				ID:       "passage-blocked",
				Severity: layers.Error,
				Subject:  layers.Subject{Kind: "joint", Name: joint},
				Related:  []layers.Subject{subject(s)},
				At:       s.middle(at),
				Measure:  &layers.Measure{Value: area, Limit: 0, Unit: "mm²"},
				Cause:    "a plate is in the way of what goes through the joint's openings",
				Remedy:   layers.Fix{Text: "name the plate in the joint, or cut a window there"},
			})
		}
	}
}

// passage is the way that a bought part takes through the stack.
type passage struct {
	opening  layers.Region // the joint's smallest
	from, to int           // the outermost layers with an opening
	box      box
}

// passage returns the way through the openings that w cuts in the stack; ok is
// false where there are fewer than two, or two in one plate.
func (k *Kit) passage(w joints.Work) (p passage, ok bool) {
	opened := map[string]bool{}
	for _, f := range w.Features {
		s := k.solids[k.index[f.Plate]]
		if f.Action != joints.Remove || s.Layer < 0 {
			continue
		}
		if opened[f.Plate] {
			return p, false
		}
		if len(opened) == 0 {
			p = passage{f.Region, s.Layer, s.Layer, s.box}
		}
		opened[f.Plate] = true
		p.from, p.to, p.box = min(p.from, s.Layer), max(p.to, s.Layer), p.box.union(s.box)
		if f.Region.Area() < p.opening.Area() {
			p.opening = f.Region
		}
	}
	if len(opened) < 2 {
		return p, false
	}
	b := p.opening.Bounds()
	p.box.min[0], p.box.min[1], p.box.max[0], p.box.max[1] = b.Min.X, b.Min.Y, b.Max.X, b.Max.Y
	return p, true
}
