package joints

import (
	"math"
	"strconv"

	"github.com/platewright/platewright/joints/flex"
	"github.com/platewright/platewright/layers"
)

// depth returns how far the clip stands out behind the back face.
func (c clip) depth() float64 {
	if c.Arm == flex.Arched {
		return c.Reach + c.bulb() + c.Width
	}
	return c.Reach + c.bulb() + c.body
}

// outline draws the clip in its own plane, once around with the material to
// the left: up the outside of the spring arm, round its hook, down the slit,
// round the slit's end, up and down the rigid leg, and round the back.
//
//	        ╱╲
//	       ╱  │  hook and lead-in
//	 ┌─┐  │ ┌─┘
//	 │ │  │ │    the plates lie between shoulder and hook
//	┌┘ │  │ │
//	│  └╮ │ │    y = 0 at the shoulder's upper face
//	│ ╭─╯ │ │
//	│ ╰───╯ │    the arch behind the back
//	╰───────╯
func (c clip) outline() layers.Region {
	const (
		finger = 0.8 // radius of corners that a finger meets
		edge   = 0.3 // of the others
	)
	right, left := c.half(), -c.half()
	inner := right - c.Width // the slit lies between inner and rigid
	rigid := inner - c.Gap
	r := c.relief

	// The lead-in starts inside the slot, a little within the arm's outer face.
	land := max(0.6, 0.8*c.Hook)
	point := right - 0.45*c.tip
	top := c.Grip + land + (right+c.overhang-point)/math.Tan(c.Lead.Radians())
	small := min(edge, c.tip/4)
	// A taper bends in at the catch, and no inside corner may be sharp.
	var bent float64
	if slope := (c.Width - c.tip) / (c.Grip + c.Reach); slope > 0.01 {
		bent = finger
	}

	// The slit's round end, from the arm's side clockwise to the rigid leg's.
	bulb := c.bulb()
	over := math.Acos(max(-1, (bulb-c.Gap)/bulb))

	t := trace{
		{x: right, y: c.Grip - 2*r, arc: -math.Pi},
		{x: right, y: c.Grip},
		{x: right + c.overhang, y: c.Grip},
		{x: right + c.overhang, y: c.Grip + land, round: edge},
		{x: point, y: top, round: small},
		{x: right - c.tip, y: top, round: small},
		{x: right - c.tip, y: c.Grip, round: bent},
		{x: inner, y: -c.Reach, arc: over - 2*math.Pi},
		{x: rigid, y: -c.Reach + bulb*math.Sin(over)},
		{x: rigid, y: c.held, round: min(edge, c.held/4)},
		{x: left, y: c.held, round: min(edge, c.held/4)},
		{x: left, y: 2 * r, arc: -math.Pi},
		{x: left, y: 0},
	}
	if c.Arm == flex.Arched {
		arch := right - 2*c.Radius - c.Width // outer edge of its far end
		t = append(t,
			bend{x: arch, y: 0, round: finger},
			bend{x: arch, y: -c.Reach, arc: math.Pi},
			bend{x: right, y: -c.Reach},
		)
	} else {
		shoulder, back := left-c.shoulder, -c.depth()
		t = append(t,
			bend{x: shoulder, y: 0, round: finger},
			bend{x: shoulder, y: back, round: 2 * finger},
			bend{x: right, y: back, round: 2 * finger},
		)
	}
	return t.region()
}

// bend is a corner of a trace: rounded by an arc of radius round between two
// straight sides, or the start of an arc that turns by arc radians, positive
// counter-clockwise, on its way to the next corner.
type bend struct{ x, y, round, arc float64 }

// trace is a closed outline.
type trace []bend

// region returns what the trace encloses.
func (t trace) region() layers.Region {
	var d []byte
	put := func(op string, fs ...float64) {
		d = append(d, op...)
		for _, f := range fs {
			d = append(strconv.AppendFloat(d, f, 'f', -1, 64), ' ')
		}
	}
	arc := func(radius float64, large, ccw bool, x, y float64) {
		put("A", radius, radius, 0)
		for _, flag := range [...]bool{large, ccw} {
			if flag {
				d = append(d, "1 "...)
			} else {
				d = append(d, "0 "...)
			}
		}
		put("", x, y)
	}
	op := "M"
	for i, b := range t {
		p := layers.Point{X: b.x, Y: b.y}
		before, after := t[(i+len(t)-1)%len(t)], t[(i+1)%len(t)]
		next := layers.Point{X: after.x, Y: after.y}
		if b.round == 0 {
			if i == 0 || before.arc == 0 {
				put(op, p.X, p.Y)
			}
		} else {
			in := p.Sub(layers.Point{X: before.x, Y: before.y})
			out := next.Sub(p)
			in, out = in.Mul(1/in.Len()), out.Mul(1/out.Len())
			turn := math.Atan2(in.Cross(out), in.Dot(out))
			cut := b.round * math.Tan(math.Abs(turn)/2)
			from, to := p.Sub(in.Mul(cut)), p.Add(out.Mul(cut))
			put(op, from.X, from.Y)
			arc(b.round, false, turn > 0, to.X, to.Y)
		}
		op = "L"
		if b.arc != 0 {
			radius := next.Sub(p).Len() / 2 / math.Abs(math.Sin(b.arc/2))
			arc(radius, math.Abs(b.arc) > math.Pi, b.arc > 0, next.X, next.Y)
		}
	}
	put("Z")
	return layers.PathData(string(d))
}
