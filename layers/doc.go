// Package layers is what is cut: the sheet [Material], the planar [Region],
// the [Plate] that is a region of a material with its marks, and the
// [Finding] that every check on every floor returns.
//
// Units are millimetres, degrees, newtons, megapascals and grams throughout.
// In the plane x points right and y points up; angles turn counter-clockwise
// from x. A Region is a closed set: its boundary belongs to it.
//
// Nothing here knows joints, products or files. Package stock holds the
// built-in materials and reads a user's own; package art reads outlines drawn
// in a vector editor.
package layers
