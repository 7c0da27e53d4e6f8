// Package export is what leaves the house: cut files ([Cut]), the record of a
// kit ([Summary]) and its picture ([Picture]), all read from one
// [assembly.Kit].
//
// A Kit holds finished sizes. The path of the tool differs from them by half
// the kerf, and [Compensate] is the one place where that difference is made.
//
// Every writer is a struct that is ready when zero, with an Encode method for
// one document and a Files method for its set; [Save] is the one place that
// touches a folder. No document holds a date or anything random: the same kit
// gives the same bytes. Lengths are mm, y points up on paper.
package export
