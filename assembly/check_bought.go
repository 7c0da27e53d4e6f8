package assembly

import (
	"fmt"
	"math"

	"github.com/go-gl/mathgl/mgl64"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
)

// boughtBlocked looks for plates, and for bought parts of other joints, where
// the head of a screw or another bought part is. Of several parts of a joint in
// one place it names the one that lacks most.
func boughtBlocked(k *Kit, report func(layers.Finding)) {
	for joint, w := range k.works.sorted() {
		if len(w.Bodies) == 0 {
			continue
		}
		about := bodyBox(w.Bodies[0])
		for _, b := range w.Bodies[1:] {
			about = about.union(bodyBox(b))
		}
		for i := range k.tree.meeting(about, 0) {
			var worst clash
			for _, b := range w.Bodies {
				worst.take(b, k.solids[i].beside(b), b.Radius)
			}
			worst.report(joint, subject(k.solids[i]), report)
		}
		for other, v := range k.works.sorted() {
			var worst clash
			for _, b := range w.Bodies {
				for _, c := range v.Bodies {
					if other > joint && min(b.To, c.To)-max(b.From, c.From) > contact {
						worst.take(b, c.At.Sub(b.At).Len(), b.Radius+c.Radius)
					}
				}
			}
			worst.report(joint, layers.Subject{Kind: "joint", Name: other}, report)
		}
	}
}

// bodyBox returns the box about b.
func bodyBox(b joints.Body) box {
	return box{
		mgl64.Vec3{b.At.X - b.Radius, b.At.Y - b.Radius, b.From},
		mgl64.Vec3{b.At.X + b.Radius, b.At.Y + b.Radius, b.To},
	}
}

// clash is a bought part, how far something is from its axis and how far it
// should be, mm.
type clash struct {
	body     joints.Body
	mm, need float64
}

// take keeps what lacks more.
func (c *clash) take(b joints.Body, mm, need float64) {
	if need-mm > c.need-c.mm {
		*c = clash{b, mm, need}
	}
}

// report reports that other is too near, where it is.
func (c clash) report(joint string, other layers.Subject, report func(layers.Finding)) {
	if c.need-c.mm <= contact {
		return
	}
	report(layers.Finding{
		ID:       "bought-blocked",
		Severity: layers.Error,
		Subject:  layers.Subject{Kind: "joint", Name: joint},
		Related:  []layers.Subject{other},
		At:       mgl64.Vec3{c.body.At.X, c.body.At.Y, (c.body.From + c.body.To) / 2},
		Measure:  &layers.Measure{Value: c.mm, Limit: c.need, Sense: layers.AtLeast, Unit: "mm"},
		Cause:    fmt.Sprintf("%s is in the way of its %s, measured from the axis of that", other, c.body.Name),
		Remedy:   layers.Fix{Text: "move the joint away, or make room"},
	})
}

// beside returns how far the plate is from the axis of b, over the height of
// b; infinite where it has nothing there, or lies neither in the stack nor
// square to it.
func (s solid) beside(b joints.Body) float64 {
	from, to := b.From+contact, b.To-contact
	if s.box.min[2] >= to || s.box.max[2] <= from {
		return math.Inf(1)
	}
	at, n := s.Pose.Local(mgl64.Vec3{b.At.X, b.At.Y, s.Pose.Origin[2]})
	if !standing(s.Placed) {
		if math.Abs(s.Pose.Normal()[2]) <= 1-squareness {
			return math.Inf(1)
		}
		if s.Outline.Contains(at) {
			return 0
		}
		const dot = 0.02
		mm, _ := layers.Clearance(s.Outline, layers.Circle(dot).Move(at))
		return mm + dot/2
	}
	// What of the plate stands at these heights, seen from the front, is a
	// rectangle for each piece.
	y0, y1 := (from-s.Pose.Origin[2])*s.Pose.Y[2], (to-s.Pose.Origin[2])*s.Pose.Y[2]
	bounds := s.Outline.Bounds()
	strip := layers.Rectangle(bounds.Width()+2, math.Abs(y1-y0)).Move(layers.Point{X: bounds.Centre().X, Y: (y0 + y1) / 2})
	across := outside(n, s.Pose.Back, s.Pose.Back+s.Stock.Thickness.Mean)
	least := math.Inf(1)
	for _, p := range s.Outline.Intersect(strip).Pieces() {
		x := p.Bounds()
		least = min(least, math.Hypot(outside(at.X, x.Min.X, x.Max.X), across))
	}
	return least
}

// outside returns how far x lies outside of a range.
func outside(x, from, to float64) float64 { return max(0, from-x, x-to) }
