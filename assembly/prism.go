package assembly

import (
	"cmp"
	"math"
	"slices"

	"github.com/go-gl/mathgl/mgl64"
	"gonum.org/v1/gonum/integrate/quad"

	"github.com/platewright/platewright/layers"
)

// meeting is how two plates stand to each other.
type meeting int

const (
	parallel meeting = iota
	square
	oblique
)

// square and parallel are within 1e-9 of exact; a thousandth of a degree is
// 1.7e-5.
const squareness = 1e-9

// meet returns how a and b stand to each other.
func meet(a, b Placed) meeting {
	switch c := math.Abs(a.Pose.Normal().Dot(b.Pose.Normal())); {
	case c < squareness:
		return square
	case c > 1-squareness:
		return parallel
	}
	return oblique
}

// contact is how deep two plates may press into each other and count as only
// touching, mm: what rounding, in the kit or in a cut file, makes of faces that
// should touch. It is a tenth of what a machine promises, and over a large face
// more volume than two plates that truly collide may share.
const contact = 0.005

// shared returns the volume that two plates share that meet square, in mm³,
// and a place in the middle of where they share most. Stretches of a mere
// contact do not count.
//
// With u along the line in which their planes cross, the first plate is the
// points whose (u, w) lie in its outline and whose v lies within its thickness,
// the second those whose (u, v) lie in its outline and whose w lies within its
// thickness. At each u the two conditions on v and w are independent, so the
// section's area is f(u)·g(u), with f the length of the first
// outline's section inside the thickness of the second, and g the other way
// round. The volume is ∫ f(u)·g(u) du.
//
// Between neighbouring corners, crossings with the faces and extreme points of
// arcs, f and g are linear where the boundary is straight: two Gauss points are
// exact. Where arcs take part, both grow like the square root at an arc's
// extreme point; the substitution u = sin θ makes that smooth, and sixteen points
// then err by less than 1e-6 of the stretch's volume (TestSharedVolumeOfArcs).
func shared(a, b outlined) (mm3 float64, at mgl64.Vec3) {
	na, nb := a.Pose.Normal(), b.Pose.Normal()
	e := na.Cross(nb)
	ra, rb := reach(a.Placed, e), reach(b.Placed, e)
	us := layers.Span{From: max(ra.From, rb.From), To: min(ra.To, rb.To)}
	if !(us.From < us.To) {
		return 0, at
	}
	f := sectionOf(a, e, nb, us, reach(b.Placed, nb))
	g := sectionOf(b, e, na, us, reach(a.Placed, na))
	cuts := slices.Concat([]float64{us.From, us.To}, f.cuts, g.cuts)
	slices.Sort(cuts)
	var most, u float64
	for i := range cuts[1:] {
		from, to := cuts[i], cuts[i+1]
		if to-from < 1e-12 {
			continue
		}
		deep := 0.0
		v := integral(func(u float64) float64 {
			w := f.length(u)
			if w == 0 {
				return 0
			}
			h := g.length(u)
			deep = max(deep, min(w, h))
			return w * h
		}, from, to, f.curved(from, to) || g.curved(from, to))
		if deep <= contact {
			continue
		}
		mm3 += v
		if v > most {
			most, u = v, (from+to)/2
		}
	}
	w, v := f.middle(u), g.middle(u)
	return mm3, e.Mul(u).Add(nb.Mul(w)).Add(na.Mul(v))
}

// outlined is a plate with its boundary laid out once for many sections.
type outlined struct {
	Placed
	segments []layers.Segment
}

func outlineOf(p Placed) outlined {
	o := outlined{Placed: p}
	for c := range p.Outline.Contours() {
		o.segments = append(o.segments, c.Segments...)
	}
	return o
}

// reach returns how far the block that the plate is cut from, of the size of its
// bounds, extends along an axis.
func reach(p Placed, axis mgl64.Vec3) layers.Span {
	b, t := p.Outline.Bounds(), p.Stock.Thickness.Mean
	centre := p.Pose.World(b.Centre(), p.Pose.Back+t/2).Dot(axis)
	half := (b.Width()*math.Abs(p.Pose.X.Dot(axis)) + b.Height()*math.Abs(p.Pose.Y.Dot(axis)) + t*math.Abs(p.Pose.Normal().Dot(axis))) / 2
	return layers.Span{From: centre - half, To: centre + half}
}

// section is an outline seen along one direction: at each u of a range, how
// much of a strip along it lies in the outline.
type section struct {
	us, strip layers.Span
	edges     []edge    // those that pass through the strip
	cuts      []float64 // places u between which length is smooth
	// Edges below the strip only count: steps[i].sum is the sum of their
	// signs from steps[i].u to the next.
	steps []step
}

type step struct{ u, sum float64 }

// edge is a stretch of boundary that is a function of u. Its sign is 1 where
// the region lies below it, -1 where it lies above.
type edge struct {
	from, to float64 // u, from < to
	sign     float64
	v, slope float64 // v at from
	radius   float64 // of an arc about (u, v), the upper half where slope is positive; 0 for a line
	u        float64
}

func (e edge) at(u float64) float64 {
	if e.radius == 0 {
		return e.v + e.slope*(u-e.from)
	}
	return e.v + e.slope*math.Sqrt(max(0, e.radius*e.radius-(u-e.u)*(u-e.u)))
}

// sectionOf returns the section of o for a range of u along the direction e in
// its plane, and a strip across the direction n in its plane.
func sectionOf(o outlined, e, n mgl64.Vec3, us, strip layers.Span) section {
	s := section{us: us, strip: strip}
	u0, ux, uy := o.Pose.Origin.Dot(e), o.Pose.X.Dot(e), o.Pose.Y.Dot(e)
	v0, vx, vy := o.Pose.Origin.Dot(n), o.Pose.X.Dot(n), o.Pose.Y.Dot(n)
	to := func(p layers.Point) layers.Point {
		return layers.Point{X: u0 + ux*p.X + uy*p.Y, Y: v0 + vx*p.X + vy*p.Y}
	}
	side := math.Copysign(1, ux*vy-uy*vx) // -1: seen from behind
	for _, seg := range o.segments {
		p, q, r := to(seg.From), to(seg.To), seg.Radius
		switch {
		case max(p.X, q.X)+2*r < us.From || min(p.X, q.X)-2*r > us.To:
		case r > 0:
			s.arc(p, q, to(seg.Centre), r, float64(seg.Sweep)*side, side)
		case p.X != q.X:
			s.add(p.X, q.X, side, edge{v: p.Y, slope: (q.Y - p.Y) / (q.X - p.X)})
		case min(p.Y, q.Y) < strip.To && max(p.Y, q.Y) > strip.From:
			s.cut(us, p.X)
		}
	}
	slices.SortFunc(s.steps, func(a, b step) int { return cmp.Compare(a.u, b.u) })
	sum := 0.0
	for i := range s.steps {
		sum += s.steps[i].sum
		s.steps[i].sum = sum
	}
	return s
}

// arc adds the pieces of an arc from p to q about c that are functions of u:
// it is parted at whole half turns, where u is extreme. Angles are in degrees.
func (s *section) arc(p, q, c layers.Point, r, sweep, side float64) {
	way := math.Copysign(1, sweep)
	from, angle := p.X, math.Atan2(p.Y-c.Y, p.X-c.X)*180/math.Pi
	for left := math.Abs(sweep); left > 0; {
		next := 180 * (math.Floor(way*angle/180+1e-12) + 1) * way
		turn := math.Abs(next - angle)
		to := q.X
		if turn < left {
			to = c.X + r*math.Cos(next*math.Pi/180)
		}
		half := math.Copysign(1, math.Sin((angle+way*min(turn, left)/2)*math.Pi/180))
		s.add(from, to, side, edge{v: c.Y, slope: half, radius: r, u: c.X})
		from, angle, left = to, next, left-turn
	}
}

// add takes in the edge that runs from p to q in u with the region on its left,
// or on its right where side is -1.
func (s *section) add(p, q, side float64, e edge) {
	if p == q {
		return
	}
	e.from, e.to, e.sign = p, q, -side
	if p > q {
		if e.radius == 0 {
			e.v += e.slope * (q - p)
		}
		e.from, e.to, e.sign = q, p, side
	}
	if e.to <= s.us.From || e.from >= s.us.To {
		return
	}
	v, w := e.at(e.from), e.at(e.to)
	least, most := min(v, w), max(v, w)
	if e.radius > 0 && e.from < e.u && e.u < e.to {
		top := e.at(e.u)
		least, most = min(least, top), max(most, top)
	}
	switch {
	case most <= s.strip.From:
		s.steps = append(s.steps, step{e.from, e.sign}, step{e.to, -e.sign})
	case least >= s.strip.To:
		// All signs at one u sum to 0, so those above need not be kept.
	default:
		s.edges = append(s.edges, e)
		s.cut(s.us, e.from, e.to)
		inside := layers.Span{From: max(s.us.From, e.from), To: min(s.us.To, e.to)}
		s.cut(inside, e.reaches(s.strip.From)...)
		s.cut(inside, e.reaches(s.strip.To)...)
	}
}

// reaches returns where the edge, or the whole half circle or line it is part
// of, is at v.
func (e edge) reaches(v float64) []float64 {
	if e.radius == 0 {
		if e.slope == 0 {
			return nil
		}
		return []float64{e.from + (v-e.v)/e.slope}
	}
	d := e.radius*e.radius - (v-e.v)*(v-e.v)
	if d <= 0 || (v-e.v)*e.slope < 0 {
		return nil
	}
	return []float64{e.u - math.Sqrt(d), e.u + math.Sqrt(d)}
}

// cut keeps those of the places that lie within the range.
func (s *section) cut(within layers.Span, us ...float64) {
	for _, u := range us {
		if u > within.From && u < within.To {
			s.cuts = append(s.cuts, u)
		}
	}
}

// length returns how much of the strip lies in the outline at u.
func (s section) length(u float64) float64 {
	below := s.below(u)
	sum, signs := s.strip.From*below, below
	for _, e := range s.edges {
		if e.from <= u && u < e.to {
			sum += e.sign * min(max(e.at(u), s.strip.From), s.strip.To)
			signs += e.sign
		}
	}
	return max(0, sum-s.strip.To*signs)
}

// below returns the sum of the signs of the edges below the strip at u.
func (s section) below(u float64) float64 {
	i, _ := slices.BinarySearchFunc(s.steps, u, func(st step, u float64) int {
		if st.u <= u {
			return -1
		}
		return 1
	})
	if i == 0 {
		return 0
	}
	return s.steps[i-1].sum
}

// middle returns the middle of the longest stretch of the strip that lies in
// the outline at u.
func (s section) middle(u float64) float64 {
	vs := []float64{s.strip.From}
	for _, e := range s.edges {
		if e.from <= u && u < e.to {
			vs = append(vs, min(max(e.at(u), s.strip.From), s.strip.To))
		}
	}
	vs = append(vs, s.strip.To)
	slices.Sort(vs)
	inside := s.below(u) != 0
	var longest, at float64
	for i, v := range vs[1:] {
		if inside && v-vs[i] > longest {
			longest, at = v-vs[i], (v+vs[i])/2
		}
		inside = !inside
	}
	return at
}

// curved reports whether an arc passes through the strip between from and to.
func (s section) curved(from, to float64) bool {
	for _, e := range s.edges {
		if e.radius > 0 && e.from < to && e.to > from {
			return true
		}
	}
	return false
}

// integral returns ∫ f(u) du: exact where f is a cubic, within what shared
// states where it has square roots at its ends.
func integral(f func(float64) float64, from, to float64, curved bool) float64 {
	mid, half := (from+to)/2, (to-from)/2
	if !curved {
		h := half / math.Sqrt(3)
		return half * (f(mid-h) + f(mid+h))
	}
	return quad.Fixed(func(theta float64) float64 {
		return half * math.Cos(theta) * f(mid+half*math.Sin(theta))
	}, -math.Pi/2, math.Pi/2, 16, quad.Legendre{}, 0)
}
