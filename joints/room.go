package joints

import (
	"cmp"
	"iter"
	"maps"
	"math"
	"slices"

	"github.com/platewright/platewright/layers"
)

// Room checks that every opening a joint cuts has the Margin it asks for: to
// the edge of its plate as declared, windows included, unless it is Open, and
// to every feature of every other joint on the plate, where the larger of the
// two margins counts.
// It looks at declared outlines and at features, never at finished outlines,
// so it can say which joints are in each other's way. Plates that joints make
// are checked like those in hosts.
//
// It reports, about the joint, with the width that is left as the measure,
// negative where the outlines overlap: then moving by that width and the margin
// together may mend it.
//
//   - joint-edge: an opening lies too near to the plate's edge.
//   - joint-room: two joints' features lie too near to each other; Related
//     names the other joint.
//
// Both are an error where the opening reaches the other outline and a warning
// else; Related names the plate too. For n features whose boxes seldom meet it
// takes n·log n steps.
func Room(hosts map[string]Host, works map[string]Work) layers.Findings {
	sites := map[string]*ground{}
	for _, name := range slices.Sorted(maps.Keys(hosts)) {
		h := hosts[name]
		sites[name] = &ground{outline: h.Plate.Outline, pose: h.Pose, middle: h.middle()}
	}
	names := slices.Sorted(maps.Keys(works))
	for _, name := range names {
		for _, m := range works[name].Makes {
			sites[m.Plate.Name] = &ground{outline: m.Plate.Outline, pose: m.Pose}
		}
	}
	for _, name := range names {
		for _, f := range works[name].Features {
			g := sites[f.Plate]
			if g == nil || f.Action == Mark || f.Region.Empty() {
				continue
			}
			c := claim{joint: name, Feature: f, box: f.Region.Bounds()}
			if f.Action != Remove {
				c.Margin = 0
			}
			g.claims = append(g.claims, c)
		}
	}
	var out layers.Findings
	for _, plate := range slices.Sorted(maps.Keys(sites)) {
		out = append(out, sites[plate].edges(plate)...)
		out = append(out, sites[plate].pairs(plate)...)
	}
	return out
}

// claim is a feature and the joint it belongs to.
type claim struct {
	Feature
	joint string
	box   layers.Box
}

// ground is a plate and what the joints claim of it.
type ground struct {
	outline layers.Region
	pose    layers.Pose
	middle  float64
	claims  []claim
}

// finding reports that c has mm of room and needs limit.
func (g *ground) finding(id, plate string, c claim, mm, limit float64, at layers.Point, cause, remedy string) layers.Finding {
	f := layers.Finding{
		ID:       id,
		Severity: layers.Warning,
		Subject:  layers.Subject{Kind: "joint", Name: c.joint},
		Related:  []layers.Subject{{Kind: "plate", Name: plate}},
		At:       g.pose.World(at, g.middle),
		Measure:  atLeast(mm, limit),
		Cause:    cause,
		Remedy:   layers.Fix{Text: remedy},
	}
	if mm <= 0 {
		f.Severity = layers.Error
	}
	return f
}

// edges returns the findings about the plate's own edge. Only openings whose
// box comes near the boundary are measured.
func (g *ground) edges(plate string) (out layers.Findings) {
	var near *boxTree // of the boundary
	var outside layers.Region
	for _, c := range g.claims {
		if c.Margin <= 0 || c.Open {
			continue
		}
		if near == nil {
			near = newBoxTree(boundary(g.outline))
			b := g.outline.Bounds()
			outside = layers.Rectangle(b.Width()+2, b.Height()+2).Move(b.Centre()).Subtract(g.outline)
		}
		far := true
		for range near.meeting(grown(c.box, c.Margin)) {
			far = false
			break
		}
		mm, at := math.Inf(1), corner(c.Region)
		switch {
		case far && !g.outline.Contains(at):
			mm = 0
		case !far:
			var ends [2]layers.Point
			mm, ends = layers.Clearance(c.Region, outside)
			at = ends[0]
		}
		if mm <= 0 {
			mm = 0 - overhang(c.Region, g.outline) // never -0
		}
		if mm < c.Margin-slack {
			out = append(out, g.finding("joint-edge", plate, c, mm, c.Margin, at,
				"its "+c.Name+" lies too near to the edge of the plate", "move the joint inward, or make the plate wider there"))
		}
	}
	return out
}

// pairs returns the findings about features of different joints. Each pair is
// looked at once, from the feature with the larger margin.
func (g *ground) pairs(plate string) (out layers.Findings) {
	boxes := make([]layers.Box, len(g.claims))
	for i, c := range g.claims {
		boxes[i] = c.box
	}
	tree := newBoxTree(boxes)
	for i, c := range g.claims {
		if c.Margin <= 0 {
			continue
		}
		for _, k := range slices.Sorted(tree.meeting(grown(c.box, c.Margin))) {
			o := g.claims[k]
			if o.joint == c.joint || o.Margin > c.Margin || o.Margin == c.Margin && k < i {
				continue
			}
			mm, ends := layers.Clearance(c.Region, o.Region)
			if mm >= c.Margin-slack {
				continue
			}
			if mm <= 0 {
				mm = 0 - apart(c.Region, o.Region)
			}
			f := g.finding("joint-room", plate, c, mm, c.Margin, ends[0],
				"its "+c.Name+" lies too near to the "+o.Name+" of another joint", "move the joints apart")
			f.Related = append([]layers.Subject{{Kind: "joint", Name: o.joint}}, f.Related...)
			out = append(out, f)
		}
	}
	return out
}

// overhang returns how far the corner of r, or point of its arcs, lies outside
// of outline that is furthest from it; 0 where none does.
func overhang(r, outline layers.Region) (mm float64) {
	var edges []layers.Segment
	for c := range outline.Contours() {
		edges = append(edges, c.Segments...)
	}
	for _, p := range points(r) {
		if outline.Contains(p) {
			continue
		}
		near := math.Inf(1)
		for _, e := range edges {
			near = min(near, away(p, e))
		}
		mm = max(mm, near)
	}
	return mm
}

// apart returns how far r must be moved to get clear of s: the least of what
// it takes in each of 360 directions. For convex shapes no way is shorter.
func apart(r, s layers.Region) float64 {
	ps, qs := points(r), points(s)
	least := math.Inf(1)
	for a := range 360 {
		u := layers.Degrees(a).Unit()
		from, to := math.Inf(1), math.Inf(-1)
		for _, p := range ps {
			from = min(from, p.Dot(u))
		}
		for _, q := range qs {
			to = max(to, q.Dot(u))
		}
		least = min(least, to-from)
	}
	return least
}

// points returns the corners of r and points of its arcs, at most 2° apart.
func points(r layers.Region) (out []layers.Point) {
	for c := range r.Contours() {
		for _, s := range c.Segments {
			out = append(out, s.From)
			n := math.Ceil(math.Abs(float64(s.Sweep)) / 2)
			for i := 1.0; i < n; i++ {
				out = append(out, s.Centre.Add(s.From.Sub(s.Centre).Turned(s.Sweep*layers.Degrees(i/n))))
			}
		}
	}
	return out
}

// away returns the distance of p from a segment, mm.
func away(p layers.Point, s layers.Segment) float64 {
	if s.Radius == 0 {
		way := s.To.Sub(s.From)
		f := p.Sub(s.From).Dot(way) / max(way.Dot(way), layers.Grid*layers.Grid)
		return p.Sub(s.From.Add(way.Mul(min(max(f, 0), 1)))).Len()
	}
	from, out := s.From.Sub(s.Centre), p.Sub(s.Centre)
	turn := float64(heading(layers.Point{X: from.Dot(out), Y: from.Cross(out)}))
	if s.Sweep < 0 {
		turn = 360 - turn
	}
	if turn <= math.Abs(float64(s.Sweep)) {
		return math.Abs(out.Len() - s.Radius)
	}
	return min(p.Sub(s.From).Len(), p.Sub(s.To).Len())
}

// slack is what a width may lack before it is reported, mm: rounding.
const slack = 1e-6

// corner returns a point of the boundary of a region that is not empty.
func corner(r layers.Region) layers.Point {
	for c := range r.Contours() {
		return c.Segments[0].From
	}
	return layers.Point{}
}

// boundary returns a box about each segment of the region's boundary, about an
// arc that of its whole circle.
func boundary(r layers.Region) (out []layers.Box) {
	for c := range r.Contours() {
		for _, s := range c.Segments {
			b := layers.Box{
				Min: layers.Point{X: min(s.From.X, s.To.X), Y: min(s.From.Y, s.To.Y)},
				Max: layers.Point{X: max(s.From.X, s.To.X), Y: max(s.From.Y, s.To.Y)},
			}
			if s.Radius > 0 {
				b = grown(layers.Box{Min: s.Centre, Max: s.Centre}, s.Radius)
			}
			out = append(out, b)
		}
	}
	return out
}

// grown returns b with each side moved out by d.
func grown(b layers.Box, d float64) layers.Box {
	o := layers.Point{X: d, Y: d}
	return layers.Box{Min: b.Min.Sub(o), Max: b.Max.Add(o)}
}

// boxTree finds which of many boxes meet a box: a binary tree whose halves are
// split by their middles along the longer side.
type boxTree struct {
	box    layers.Box // about all below
	items  []int      // of a leaf
	boxes  []layers.Box
	halves []*boxTree
}

// newBoxTree returns the tree over boxes; item i is boxes[i].
func newBoxTree(boxes []layers.Box) *boxTree {
	items := make([]int, len(boxes))
	for i := range items {
		items[i] = i
	}
	return split(boxes, items)
}

// split builds the tree over some of the boxes; it sorts items.
func split(boxes []layers.Box, items []int) *boxTree {
	const leaf = 8
	t := &boxTree{box: layers.Box{Min: layers.Point{X: math.Inf(1), Y: math.Inf(1)}, Max: layers.Point{X: math.Inf(-1), Y: math.Inf(-1)}}}
	for _, i := range items {
		b := boxes[i]
		t.box.Min = layers.Point{X: min(t.box.Min.X, b.Min.X), Y: min(t.box.Min.Y, b.Min.Y)}
		t.box.Max = layers.Point{X: max(t.box.Max.X, b.Max.X), Y: max(t.box.Max.Y, b.Max.Y)}
	}
	if len(items) <= leaf {
		t.boxes, t.items = boxes, items
		return t
	}
	middle := func(i int) float64 { return boxes[i].Min.X + boxes[i].Max.X }
	if t.box.Height() > t.box.Width() {
		middle = func(i int) float64 { return boxes[i].Min.Y + boxes[i].Max.Y }
	}
	slices.SortFunc(items, func(i, k int) int { return cmp.Or(cmp.Compare(middle(i), middle(k)), cmp.Compare(i, k)) })
	half := len(items) / 2
	t.halves = []*boxTree{split(boxes, items[:half]), split(boxes, items[half:])}
	return t
}

// meeting yields the items whose boxes meet b, in no order that matters.
func (t *boxTree) meeting(b layers.Box) iter.Seq[int] {
	return func(yield func(int) bool) { t.walk(b, yield) }
}

// walk is meeting with its loop's body; it reports whether to go on.
func (t *boxTree) walk(b layers.Box, yield func(int) bool) bool {
	if !t.box.Meets(b, 0) {
		return true
	}
	for _, i := range t.items {
		if t.boxes[i].Meets(b, 0) && !yield(i) {
			return false
		}
	}
	for _, h := range t.halves {
		if !h.walk(b, yield) {
			return false
		}
	}
	return true
}
