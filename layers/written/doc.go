// Package written is what every written form needs: YAML read strictly, with
// all mistakes reported at once, each with its file, line and column, what was
// expected there, and the nearest valid name.
//
// [Parse] turns a file into a tree of nodes that is safe to walk: no aliases
// left, no cycles, no keys twice, bounded depth and size. A [Reader] takes
// values out of that tree and gathers mistakes on the way, so that the code
// which reads a form has no error ladder; ask [Reader.Err] at the end.
//
// The package knows no materials and no products. Lengths are mm.
package written
