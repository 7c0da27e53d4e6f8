package jointtest

import (
	"fmt"
	"math"
	"reflect"

	"github.com/go-gl/mathgl/mgl64"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
)

// Move is a rigid move of the whole stack: turned about the z axis, then
// shifted by By and raised by Rise.
type Move struct {
	Turn layers.Degrees
	By   layers.Point
	Rise float64
}

// Mover is a joint that knows how to move itself. It is for joints that keep
// places of the stack elsewhere than in fields of type layers.Point and a
// field Turn.
type Mover interface {
	joints.Joint
	Moved(Move) joints.Joint
}

// moves are tried at every site.
var moves = [...]Move{
	{By: layers.Point{X: 12.25, Y: -7.5}},
	{Turn: 90, Rise: 1.5},
	{Turn: 180, By: layers.Point{X: -3, Y: 40}},
	{Turn: 37, By: layers.Point{X: 1.1, Y: 2.3}, Rise: -4},
	{Turn: -111.5, By: layers.Point{X: -60, Y: 0.7}},
}

// Point returns where p goes.
func (m Move) Point(p layers.Point) layers.Point { return p.Turned(m.Turn).Add(m.By) }

// Vec returns where the place v of the stack goes.
func (m Move) Vec(v mgl64.Vec3) mgl64.Vec3 {
	p := m.Point(layers.Point{X: v[0], Y: v[1]})
	return mgl64.Vec3{p.X, p.Y, v[2] + m.Rise}
}

// Pose returns where a plate goes.
func (m Move) Pose(p layers.Pose) layers.Pose {
	turn := func(v mgl64.Vec3) mgl64.Vec3 {
		q := layers.Point{X: v[0], Y: v[1]}.Turned(m.Turn)
		return mgl64.Vec3{q.X, q.Y, v[2]}
	}
	return layers.Pose{Origin: m.Vec(p.Origin), X: turn(p.X), Y: turn(p.Y), Back: p.Back}
}

// Region returns where a region of a flat plate at the stack's origin goes.
func (m Move) Region(r layers.Region) layers.Region { return r.Rotate(m.Turn).Move(m.By) }

// Joint returns the joint moved: by itself where it is a [Mover], else its
// fields of type layers.Point and its field Turn.
func (m Move) Joint(j joints.Joint) joints.Joint {
	if mover, ok := j.(Mover); ok {
		return mover.Moved(m)
	}
	return edited(j, func(v reflect.Value) {
		if v.Kind() != reflect.Struct {
			return
		}
		for i := range v.NumField() {
			if !v.Type().Field(i).IsExported() {
				continue
			}
			switch x := v.Field(i).Interface().(type) {
			case layers.Point:
				v.Field(i).Set(reflect.ValueOf(m.Point(x)))
			case []layers.Point:
				moved := make([]layers.Point, len(x))
				for k, p := range x {
					moved[k] = m.Point(p)
				}
				v.Field(i).Set(reflect.ValueOf(moved))
			case layers.Degrees:
				if v.Type().Field(i).Name == "Turn" {
					v.Field(i).Set(reflect.ValueOf(x + m.Turn))
				}
			}
		}
	})
}

// Site returns the site moved. Redrawn says that plates of the stack keep
// their pose and have their outlines moved instead, as when a user draws them
// elsewhere.
func (m Move) Site(s joints.Site, redrawn bool) joints.Site {
	out := s
	out.Hosts = map[string]joints.Host{}
	for name, h := range s.Hosts {
		pose := m.Pose(h.Pose)
		if redrawn && !h.Upright {
			kept := h.Pose
			kept.Origin[2] = pose.Origin[2]
			h.Plate.Outline = local(kept, m.Region(world(h.Pose, h.Plate.Outline)))
			pose = kept
		}
		h.Pose = pose
		out.Hosts[name] = h
	}
	return out
}

// upright reports whether a plate of that pose stands.
func upright(p layers.Pose) bool { return math.Abs(p.Normal()[2]) < 0.5 }

// turnOf returns the direction of the own x of a flat plate.
func turnOf(p layers.Pose) layers.Degrees {
	return layers.Degrees(math.Atan2(p.X[1], p.X[0]) * 180 / math.Pi)
}

// world returns a region of a flat plate as seen from the front of the stack;
// an upright's region stays as it is.
func world(p layers.Pose, r layers.Region) layers.Region {
	if upright(p) {
		return r
	}
	return r.Rotate(turnOf(p)).Move(layers.Point{X: p.Origin[0], Y: p.Origin[1]})
}

// local is the inverse of world.
func local(p layers.Pose, r layers.Region) layers.Region {
	if upright(p) {
		return r
	}
	return r.Move(layers.Point{X: -p.Origin[0], Y: -p.Origin[1]}).Rotate(-turnOf(p))
}

// moves tests that moving and turning the site moves and turns the work.
func (t *tester) moves(j joints.Joint, s joints.Site, work joints.Work) {
	for i, m := range moves {
		redrawn := i%2 == 1
		t.context = fmt.Sprintf("site %q, turned %g° and moved by %v", s.Name, float64(m.Turn), m.By)
		if redrawn {
			t.context += " with its plates redrawn"
		}
		site := m.Site(s, redrawn)
		got, ok := t.realize(m.Joint(j), site)
		if ok {
			t.moved(m, poses(s, work), poses(site, got), work, got)
		}
	}
}

// poses returns the poses of all plates of a site and of those made there.
func poses(s joints.Site, w joints.Work) map[string]layers.Pose {
	out := map[string]layers.Pose{}
	for name, h := range s.Hosts {
		out[name] = h.Pose
	}
	for _, m := range w.Makes {
		out[m.Plate.Name] = m.Pose
	}
	return out
}

// moved tests that got is work moved by m.
func (t *tester) moved(m Move, before, after map[string]layers.Pose, work, got joints.Work) {
	if len(work.Features) != len(got.Features) || len(work.Matings) != len(got.Matings) ||
		len(work.Makes) != len(got.Makes) || len(work.Bodies) != len(got.Bodies) || len(work.Springs) != len(got.Springs) || len(work.Findings) != len(got.Findings) {
		t.fail("the work differs in kind from the one before it was moved")
		return
	}
	if !reflect.DeepEqual(work.Needs, got.Needs) || !reflect.DeepEqual(work.Swaps, got.Swaps) {
		t.fail("the bought parts or the swaps differ")
	}
	same := func(what, plate string, a, b layers.Region) {
		want := world(before[plate], a)
		if !upright(before[plate]) {
			want = m.Region(want)
		}
		have := world(after[plate], b)
		if off := want.Xor(have).Area(); off > tolerance*(1+want.Perimeter()) {
			t.fail("%s of plate %q did not move with it: %.6f mm² differ", what, plate, off)
		}
	}
	for i, f := range work.Features {
		g := got.Features[i]
		if f.Plate != g.Plate || f.Action != g.Action || f.Name != g.Name || math.Abs(f.Margin-g.Margin) > tolerance {
			t.fail("the feature %s of plate %q became the feature %s of plate %q", f.Name, f.Plate, g.Name, g.Plate)
			continue
		}
		if f.Action != joints.Mark {
			same("the feature "+f.Name, f.Plate, f.Region, g.Region)
		}
	}
	for i, p := range work.Makes {
		q := got.Makes[i]
		if p.Plate.Name != q.Plate.Name || p.Plate.Material != q.Plate.Material {
			t.fail("the made plate %q became %q", p.Plate.Name, q.Plate.Name)
			continue
		}
		same("the outline", p.Plate.Name, p.Plate.Outline, q.Plate.Outline)
		if a, b := m.Pose(p.Pose), q.Pose; upright(p.Pose) &&
			(a.Origin.Sub(b.Origin).Len() > tolerance || a.X.Sub(b.X).Len() > tolerance || math.Abs(a.Back-b.Back) > tolerance) {
			t.fail("the made plate %q did not move with the site", p.Plate.Name)
		}
	}
	for i, a := range work.Matings {
		b := got.Matings[i]
		if a.Insert != b.Insert || a.Opening != b.Opening || len(a.Gaps) != len(b.Gaps) {
			t.fail("the mating of %q and %q became one of %q and %q", a.Insert, a.Opening, b.Insert, b.Opening)
			continue
		}
		for k := range a.Gaps {
			if math.Abs(a.Gaps[k].Play-b.Gaps[k].Play) > tolerance {
				t.fail("the play %s of %q in %q changed", a.Gaps[k].Name, a.Insert, a.Opening)
			}
		}
	}
	for i, a := range work.Bodies {
		b := got.Bodies[i]
		if m.Point(a.At).Sub(b.At).Len() > tolerance || math.Abs(a.From+m.Rise-b.From) > tolerance || math.Abs(a.To+m.Rise-b.To) > tolerance {
			t.fail("the body %s did not move with the site", a.Name)
		} else if a.Name != b.Name || a.Radius != b.Radius {
			t.fail("the body %s became another", a.Name)
		}
	}
	for i, a := range work.Findings {
		b := got.Findings[i]
		if a.ID != b.ID || a.Severity != b.Severity {
			t.fail("the finding %s became %s", a.ID, b.ID)
		} else if a.At != (mgl64.Vec3{}) && m.Vec(a.At).Sub(b.At).Len() > 1e-3 {
			t.fail("the finding %s did not move with the site", a.ID)
		}
	}
}

// differ returns in what two works differ that should be the same, or "".
func differ(a, b joints.Work) string {
	flat := func(w joints.Work) (joints.Work, []layers.Region) {
		var rs []layers.Region
		features := append([]joints.Feature(nil), w.Features...)
		for i := range features {
			rs = append(rs, features[i].Region, features[i].Mark.Area)
			features[i].Region, features[i].Mark.Area = layers.Region{}, layers.Region{}
		}
		made := append([]joints.Made(nil), w.Makes...)
		for i := range made {
			rs = append(rs, made[i].Plate.Outline)
			made[i].Plate.Outline = layers.Region{}
		}
		w.Features, w.Makes = features, made
		return w, rs
	}
	wa, ra := flat(a)
	wb, rb := flat(b)
	if !reflect.DeepEqual(wa, wb) {
		return "a name, number or finding differs"
	}
	for i := range ra {
		if !identical(ra[i], rb[i]) {
			return "an outline differs"
		}
	}
	return ""
}

// identical reports whether two regions have the very same boundary.
func identical(a, b layers.Region) bool {
	var ca, cb []layers.Contour
	for c := range a.Contours() {
		ca = append(ca, c)
	}
	for c := range b.Contours() {
		cb = append(cb, c)
	}
	return reflect.DeepEqual(ca, cb)
}
