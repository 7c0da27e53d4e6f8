// Package form is the written form of a product: YAML is one more way to get
// an [assembly.Design]. This is its reference.
//
//	product: harbour
//	about: a wall piece of three plates
//	materials: our-sheets.yaml
//
//	parameters:
//	  width: {value: 120 mm, from: 80 mm, to: 200 mm, about: overall width}
//	  rays: 12
//
//	outlines:
//	  panel: {rectangle: [width, 0.7 * width], corner: 4}
//
//	stack:
//	  - {plate: back, material: birch ply 3, outline: panel}
//	  - - {plate: sea, material: blue cast acrylic 3, outline: {inset: panel, by: 1}, gap: 0.2}
//	  - plate: frame
//	    material: birch ply 3
//	    outline: {subtract: [panel, {inset: panel, by: 14}]}
//	    marks:
//	      - score: [[[-50, 38], [50, 38]]]
//	      - engrave: {ring: {of: {circle: 2, move: [0, 38]}, count: rays}}
//
//	joints:
//	  left screw: {kind: screw, through: [back, sea, frame], at: [7 - width/2, 0]}
//	  right screw: {kind: screw, through: [back, sea, frame], at: [width/2 - 7, 0]}
//
//	height: 9.2
//
// # Keys
//
// A file has product (the name) and stack, and may have about (for people),
// materials (the file of your own sheets, named relative to this one), parameters,
// outlines, uprights, joints and height (the stack may not stand higher).
//
// Stack is a list of layers from back to front. An item that is a mapping is a
// layer of one plate; a list within the list is plates side by side. A plate
// has plate (its name), material and outline, and may have marks, gap (least
// distance to its neighbours in the layer) and lift (air left behind it).
// Uprights is a list of plates that stand square to the stack: plate,
// material, outline and marks as above, at and turn (the line each stands on),
// on (the plate from whose front z counts) and z (height of its own origin).
//
// Marks is a list of mappings with score (a list of polylines, each a list of
// points, or an outline whose edge is followed) or engrave (an outline), or
// both.
//
// Joints is a mapping from the joint's name to its kind and that kind's
// fields. Kinds and fields are those of package joints in lower case, with
// hyphens: the Go field KeyAt is key-at. A fit is snug, slide, press or, from
// a test cut, {along: 0.2, across: 0.1}.
//
// # Numbers
//
// A bare number is mm or, where an angle is meant, degrees. It may bear its
// unit: mm, cm, m, in, µm, deg. Or it is an expression over the parameters, pi
// and thickness("material"), with + - * / ^, comparisons with and, or, not,
// a choice (width > 100 ? 4 : 2), and the functions abs, ceil, cos, floor,
// max, min, round, sin, sqrt and tan, of which those of angles take degrees.
// In an expression numbers stand without a unit. A length where an angle is
// meant, or the sum of both, is a mistake. YAML wants quotes round an
// expression with a colon, and round one with a comma inside brackets:
// [0, "max(30, width)"].
//
// A parameter is a number, or a mapping with value, from, to, unit (mm or deg)
// and about; none of its numbers is an expression. One without a unit is a
// plain number, and fits anywhere.
//
// # Outlines
//
// An outline is the name of one in outlines, or a mapping with one of
//
//	rectangle: [w, h]                    about the origin; corner: its radius
//	circle: d                            about the origin
//	ellipse: [w, h]                      about the origin
//	polygon: [[x, y], …]
//	regular: {sides: n, diameter: d}     its corners on the circle, one at the top
//	slot: [w, h]                         the short sides half circles
//	path: M 0 0 L 10 0 …                 SVG path data, see below
//	art: {file: drawing.svg, id: shape}  a shape out of a drawing
//	of: outline                          for the sake of what stands beside it
//	inset: outline                       by: how far in; round: true rounds corners
//	outset: outline                      by: how far out; round: true rounds corners
//	union: [outline, …]
//	subtract: [outline, …]               the first without the others
//	intersect: [outline, …]
//	row: {of: outline, count: n, step: [x, y]}
//	ring: {of: outline, count: n}        evenly about the origin
//
// and beside it any of these, which apply in this order, whatever the order
// they are written in:
//
//	centre: true   the middle of its bounds goes to the origin
//	mirror: a      across the line through the origin along a; 90 swaps left and right
//	scale: k       or [kx, ky]
//	turn: a        about the origin, counter-clockwise
//	move: [x, y]
//
// For another order put one into the next with of. Outlines in outlines may
// use each other in any order, but not in a circle.
//
// In the plane x points right and y up. Path data counts y downwards, as in
// SVG: it is turned round so that the shape stands as drawn, and y = 5 in the
// data is y = -5 here. Art stands on the lower left corner of its drawing, its
// y already up.
//
// # Mistakes
//
// Reading is strict. [Reader.Read] returns every mistake, each with its file,
// line, column and key, what was expected, and the nearest name that is known.
// What shows only with the parameters and sheets at hand (a side that becomes
// negative, an unknown material) fails the build, with the same kind of place.
//
// A file may be as large as [MaxBytes], with the depth and count of values
// that package written allows; the other limits are constants of this package.
package form
