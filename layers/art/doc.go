// Package art reads outlines and score lines that were drawn in a vector
// editor and saved as SVG.
//
// [Open] reads a drawing; [Drawing.Region] gives the filled shapes of an
// element or a group by its id, [Drawing.Lines] its strokes. Results are mm,
// with y up and the origin in the lower left corner of the drawing's page, so
// that a shape lies where the editor shows it. Sizes follow the page: its width
// and height with their units (mm, cm, in, pt, pc, Q; px and no unit are 96 to
// the inch) and its viewBox.
//
// Read are paths, rectangles, circles, ellipses, polygons, polylines and lines,
// groups, nested drawings, local uses and symbols, with all their transforms. A
// circle that is moved, turned, mirrored or scaled evenly stays a circle. What
// is hidden is left out. What cannot be cut along is an error that names the
// place and the cure: text, images, effects, clips and masks, outlines that are
// open, and whatever lies outside the file. Nothing is ever fetched.
//
// A shape counts as filled by its fill (black where nothing is said, as
// everywhere in SVG) and by its fill rule; the width of its stroke counts for
// nothing. Of a group the shapes without a fill are left out; a shape that is
// asked for by its own id is taken as if filled.
package art
