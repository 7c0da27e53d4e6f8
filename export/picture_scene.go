package export

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"

	"github.com/go-gl/mathgl/mgl64"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/layers"
)

// A scene paints plates as prisms, from the far ones to the near ones. Plates
// that pass through each other (a lap, an upright in its slot) have no such
// order, so both faces of each plate part all others into what lies behind it,
// inside its openings and before it, and so on within each part: the order is
// then right from every side.
type scene struct {
	view  mgl64.Mat4 // turns x right, y up, z towards the eye
	place func(mgl64.Vec3) (x, y float64)
	draw  func(shape)
}

// shape is one flat thing to paint.
type shape struct {
	rings [][]mgl64.Vec3 // filled by the even-odd rule
	lines [][]mgl64.Vec3 // outlines to stroke, among the rings' own edges
	plate assembly.Placed
	light float64 // 0 dark … 1 full
	face  bool    // one of the two large faces
}

// piece is a plate or what is left of it after a cut by planes: rings of short
// straight edges, the plate to their left. Rings that a cut has parted stay
// one ring whose cut edges run over each other; the even-odd rule fills them
// right.
type piece struct {
	plate assembly.Placed
	rings [][]rim
	box   layers.Box
}

// rim is one straight edge of a piece.
type rim struct {
	from, to layers.Point
	round    bool // a chord of an arc
	cut      bool // made by a cut, no edge of the plate
}

// whole returns the plate as a piece.
func whole(p assembly.Placed) piece {
	out := piece{plate: p, box: p.Outline.Bounds()}
	for c := range p.Outline.Contours() {
		var ring []rim
		for _, seg := range c.Segments {
			pts := flatten(seg)
			for i := range len(pts) - 1 {
				ring = append(ring, rim{from: pts[i], to: pts[i+1], round: seg.Radius != 0})
			}
		}
		out.rings = append(out.rings, ring)
	}
	return out
}

// plane is a plane in stack coordinates; normal is a unit vector.
type plane struct{ at, normal mgl64.Vec3 }

// side is how far p lies before the plane.
func (s plane) side(p mgl64.Vec3) float64 { return p.Sub(s.at).Dot(s.normal) }

// middle is the plane half-way through the sheet.
func middle(p assembly.Placed) plane { return level(p, thick(p)/2) }

// level is the plane through the sheet at height h over its back.
func level(p assembly.Placed, h float64) plane {
	return plane{p.Pose.World(layers.Point{}, p.Pose.Back+h), p.Pose.Normal()}
}

func thick(p assembly.Placed) float64 { return p.Stock.Thickness.Mean }

// paint draws plates in order.
func (s scene) paint(plates []assembly.Placed, clip ...plane) {
	var pieces []piece
	for _, p := range plates {
		pc := whole(p)
		for _, c := range clip {
			_, pc = pc.split(c)
		}
		if len(pc.rings) > 0 {
			pieces = append(pieces, pc)
		}
	}
	s.order(pieces)
}

const flush = 1e-6 // mm; nearer than this is in the plane

func (s scene) order(pieces []piece) {
	if len(pieces) == 0 {
		return
	}
	by := s.divider(pieces)
	cut, back, front := middle(by), level(by, 0), level(by, thick(by))
	var behind, inside, before, within []piece
	add := func(to *[]piece, p piece) {
		if len(p.rings) > 0 {
			*to = append(*to, p)
		}
	}
	for _, p := range pieces {
		m := middle(p.plate)
		if math.Abs(m.normal.Dot(cut.normal)) > 1-1e-9 { // parallel
			switch d := cut.side(m.at); {
			case d > flush:
				before = append(before, p)
			case d < -flush:
				behind = append(behind, p)
			default:
				within = append(within, p)
			}
			continue
		}
		a, rest := p.split(back)
		b, c := rest.split(front)
		add(&behind, a)
		add(&inside, b)
		add(&before, c)
	}
	if cut.normal.Dot(s.eye()) < 0 {
		behind, before = before, behind
	}
	s.order(behind)
	for _, p := range within {
		s.walls(p)
	}
	s.order(inside)
	for _, p := range within {
		s.face(p)
	}
	s.order(before)
}

// divider picks the plate whose plane cuts the fewest pieces.
func (s scene) divider(pieces []piece) assembly.Placed {
	return slices.MinFunc(pieces, func(a, b piece) int {
		return cmp.Compare(a.crossed(pieces), b.crossed(pieces))
	}).plate
}

// crossed counts the pieces that p's middle plane parts.
func (p piece) crossed(pieces []piece) int {
	cut, n := middle(p.plate), 0
	for _, q := range pieces {
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, c := range q.corners() {
			lo, hi = min(lo, cut.side(c)), max(hi, cut.side(c))
		}
		if lo < -thick(p.plate) && hi > thick(p.plate) {
			n++
		}
	}
	return n
}

// corners returns the corners of the piece's box in its middle plane.
func (p piece) corners() []mgl64.Vec3 {
	b, n := p.box, p.plate.Pose.Back+thick(p.plate)/2
	var out []mgl64.Vec3
	for _, c := range [...]layers.Point{b.Min, {X: b.Max.X, Y: b.Min.Y}, b.Max, {X: b.Min.X, Y: b.Max.Y}} {
		out = append(out, p.plate.Pose.World(c, n))
	}
	return out
}

// split parts p along the line in which the plane meets the middle of the
// sheet, into what lies behind the plane and before it.
func (p piece) split(cut plane) (behind, before piece) {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, c := range p.corners() {
		lo, hi = min(lo, cut.side(c)), max(hi, cut.side(c))
	}
	switch {
	case lo >= -flush:
		return piece{plate: p.plate}, p
	case hi <= flush:
		return p, piece{plate: p.plate}
	}
	at, along := p.meet(cut)
	up := along.Unit().Perp()
	if p.plate.Pose.X.Mul(up.X).Add(p.plate.Pose.Y.Mul(up.Y)).Dot(cut.normal) < 0 {
		up = up.Mul(-1)
	}
	return p.half(at, up.Mul(-1)), p.half(at, up)
}

// half returns what of p lies on the side of the line through at that up, a
// unit vector square to the line, points to.
func (p piece) half(at, up layers.Point) piece {
	out := piece{plate: p.plate, box: layers.Box{Min: layers.Point{X: math.Inf(1), Y: math.Inf(1)}, Max: layers.Point{X: math.Inf(-1), Y: math.Inf(-1)}}}
	for _, ring := range p.rings {
		var kept []rim
		put := func(r rim) {
			if r.from == r.to {
				return
			}
			kept = append(kept, r)
			for _, q := range [...]layers.Point{r.from, r.to} {
				out.box.Min = layers.Point{X: min(out.box.Min.X, q.X), Y: min(out.box.Min.Y, q.Y)}
				out.box.Max = layers.Point{X: max(out.box.Max.X, q.X), Y: max(out.box.Max.Y, q.Y)}
			}
		}
		var first, last *layers.Point // where the ring first came in, and last went out
		for _, r := range ring {
			a, b := r.from.Sub(at).Dot(up), r.to.Sub(at).Dot(up)
			if a < 0 && b < 0 {
				continue
			}
			if a < 0 || b < 0 {
				x := r.from.Add(r.to.Sub(r.from).Mul(a / (a - b)))
				if a < 0 { // comes in
					if last != nil {
						put(rim{from: *last, to: x, cut: true})
					} else {
						first = &x
					}
					r.from = x
				} else {
					r.to, last = x, &x
				}
			}
			put(r)
		}
		if first != nil && last != nil {
			put(rim{from: *last, to: *first, cut: true})
		}
		if len(kept) > 0 {
			out.rings = append(out.rings, kept)
		}
	}
	return out
}

// meet returns the line in which the plane meets the middle of the sheet, in
// the plate's own plane.
func (p piece) meet(cut plane) (at layers.Point, along layers.Degrees) {
	pose := p.plate.Pose
	n := layers.Point{X: pose.X.Dot(cut.normal), Y: pose.Y.Dot(cut.normal)}
	d := -cut.side(pose.World(layers.Point{}, pose.Back+thick(p.plate)/2))
	at = n.Mul(d / n.Dot(n))
	dir := n.Perp().Mul(-1)
	return at, layers.Degrees(math.Atan2(dir.Y, dir.X) * 180 / math.Pi)
}

// eye is the unit vector towards the eye.
func (s scene) eye() mgl64.Vec3 { return s.view.Row(2).Vec3() }

// faces returns how far the face towards the eye and the other one lie along
// the plate's normal, and how much the normal points towards the eye.
func (s scene) faces(p piece) (near, distant, towards float64) {
	pose := p.plate.Pose
	near, distant = pose.Back+thick(p.plate), pose.Back
	if towards = pose.Normal().Dot(s.eye()); towards < 0 {
		near, distant = distant, near
	}
	return near, distant, towards
}

// strip is how far a curved edge may turn and still be painted in one tone.
const strip = 8 * math.Pi / 180

// walls draws the cut edges of a piece that can be seen, the far ones first.
func (s scene) walls(p piece) {
	eye, pose := s.eye(), p.plate.Pose
	near, distant, _ := s.faces(p)
	var walls []shape
	for _, ring := range p.rings {
		var run []layers.Point // along a curved edge, all of it seen
		var start layers.Point // direction in which the run starts
		end := func() {
			if len(run) == 0 {
				return
			}
			var quad, far []mgl64.Vec3
			for _, q := range run {
				quad = append(quad, pose.World(q, near))
				far = append(far, pose.World(q, distant))
			}
			walls = append(walls, shape{plate: p.plate, light: 0.9, lines: [][]mgl64.Vec3{slices.Clone(far)}})
			slices.Reverse(far)
			out := run[len(run)-1].Sub(run[0]).Perp().Mul(-1)
			normal := pose.X.Mul(out.X).Add(pose.Y.Mul(out.Y)).Normalize()
			walls = append(walls, shape{plate: p.plate, rings: [][]mgl64.Vec3{append(quad, far...)}, light: s.light(normal)})
			run = nil
		}
		for _, r := range ring {
			dir := r.to.Sub(r.from)
			out := dir.Perp().Mul(-1) // the plate lies to the left
			normal := pose.X.Mul(out.X).Add(pose.Y.Mul(out.Y)).Normalize()
			if r.cut || normal.Dot(eye) < 1e-9 {
				end()
				continue
			}
			if !r.round {
				end()
				quad := []mgl64.Vec3{pose.World(r.from, near), pose.World(r.to, near), pose.World(r.to, distant), pose.World(r.from, distant)}
				walls = append(walls, shape{plate: p.plate, rings: [][]mgl64.Vec3{quad}, lines: [][]mgl64.Vec3{append(quad, quad[0])}, light: s.light(normal)})
				continue
			}
			if len(run) > 0 && (run[len(run)-1] != r.from || math.Abs(math.Atan2(start.Cross(dir), start.Dot(dir))) > strip) {
				end()
			}
			if len(run) == 0 {
				run, start = append(run, r.from), dir
			}
			run = append(run, r.to)
		}
		end()
	}
	slices.SortStableFunc(walls, func(a, b shape) int { return cmp.Compare(a.depth(eye), b.depth(eye)) })
	for _, w := range walls {
		s.draw(w)
	}
}

// face draws the face of a piece that is towards the eye.
func (s scene) face(p piece) {
	near, _, towards := s.faces(p)
	if math.Abs(towards) < 1e-9 {
		return
	}
	pose := p.plate.Pose
	face := shape{plate: p.plate, face: true, light: s.light(pose.Normal().Mul(math.Copysign(1, towards)))}
	for _, ring := range p.rings {
		var line, all []mgl64.Vec3
		for i, r := range ring {
			all = append(all, pose.World(r.from, near))
			if r.cut {
				continue
			}
			if line == nil {
				line = append(line, pose.World(r.from, near))
			}
			line = append(line, pose.World(r.to, near))
			if next := ring[(i+1)%len(ring)]; i+1 == len(ring) || next.cut || next.from != r.to {
				face.lines, line = append(face.lines, line), nil
			}
		}
		face.rings = append(face.rings, all)
	}
	s.draw(face)
}

// depth is how near the shape is to the eye on the whole; a line comes after
// the wall that it edges.
func (s shape) depth(eye mgl64.Vec3) float64 {
	sum, n := 0.0, 0.0
	for _, r := range append(slices.Clone(s.rings), s.lines...) {
		for _, p := range r {
			sum += p.Dot(eye)
			n++
		}
	}
	return sum / n
}

// light is how bright a face with that outward normal is, lit from the upper
// left over the eye's shoulder.
func (s scene) light(normal mgl64.Vec3) float64 {
	from := mgl64.Vec3{-0.35, 0.65, 0.9}.Normalize()
	n := s.view.Mat3().Mul3x1(normal)
	return 0.58 + 0.42*max(0, n.Dot(from))/from[2]
}

// flatten returns points along a segment, both ends included, no further than
// 0.02 mm from it.
func flatten(s layers.Segment) []layers.Point {
	if s.Radius == 0 {
		return []layers.Point{s.From, s.To}
	}
	const tol = 0.02
	step := 2 * math.Acos(max(0.5, 1-tol/s.Radius)) * 180 / math.Pi
	n := max(1, int(math.Ceil(math.Abs(float64(s.Sweep))/step)))
	pts := []layers.Point{s.From}
	for i := 1; i < n; i++ {
		pts = append(pts, s.Centre.Add(s.From.Sub(s.Centre).Turned(s.Sweep*layers.Degrees(i)/layers.Degrees(n))))
	}
	return append(pts, s.To)
}

// section returns the outlines in which the plane y = at cuts a plate, each as
// points in stack coordinates.
func section(p assembly.Placed, at float64) [][]mgl64.Vec3 {
	cut := plane{mgl64.Vec3{0, at, 0}, mgl64.Vec3{0, 1, 0}}
	pose, t := p.Pose, thick(p)
	n := pose.Normal()
	if math.Abs(n[1]) > 1-1e-9 { // the sheet lies in the plane
		if math.Abs(cut.side(middle(p).at)) > t/2 {
			return nil
		}
		var out [][]mgl64.Vec3
		for c := range p.Outline.Contours() {
			var ring []mgl64.Vec3
			for _, s := range c.Segments {
				for _, q := range flatten(s)[1:] {
					ring = append(ring, pose.World(q, pose.Back+t/2))
				}
			}
			out = append(out, ring)
		}
		return out
	}
	from, along := piece{plate: p}.meet(cut)
	// half runs within the plane from the middle of the sheet to its front.
	half := mgl64.Vec3{n[0], 0, n[2]}
	half = half.Mul(t / 2 / half.Dot(half))
	var out [][]mgl64.Vec3
	for _, span := range p.Outline.Along(from, along) {
		a := pose.World(from.Add(along.Unit().Mul(span.From)), pose.Back+t/2)
		b := pose.World(from.Add(along.Unit().Mul(span.To)), pose.Back+t/2)
		out = append(out, []mgl64.Vec3{a.Sub(half), b.Sub(half), b.Add(half), a.Add(half)})
	}
	return out
}

// colour is an sRGB colour, 0 … 1.
type colour [3]float64

// parseColour reads #rrggbb; anything else is a warm grey.
func parseColour(s string) colour {
	n, err := strconv.ParseUint(s[min(1, len(s)):], 16, 32)
	if err != nil || len(s) != 7 || s[0] != '#' {
		return colour{0.78, 0.76, 0.72}
	}
	return colour{float64(n>>16) / 255, float64(n>>8&255) / 255, float64(n&255) / 255}
}

// mix returns c with share of d in it.
func (c colour) mix(d colour, share float64) colour {
	for i := range c {
		c[i] += (d[i] - c[i]) * share
	}
	return c
}

// lit returns c under a light of 0 … 1 and a little beyond.
func (c colour) lit(light float64) colour {
	if light > 1 {
		return c.mix(colour{1, 1, 1}, min(1, light-1))
	}
	return c.mix(colour{0.35 * c[0], 0.28 * c[1], 0.30 * c[2]}, 1-light)
}

func (c colour) String() string {
	b := func(v float64) int { return int(math.Round(255 * min(1, max(0, v)))) }
	return fmt.Sprintf("#%02x%02x%02x", b(c[0]), b(c[1]), b(c[2]))
}
