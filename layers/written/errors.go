package written

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Error is one mistake in a written form, at its place. Line and Column count
// from 1; 0 means that the place is not known more closely.
type Error struct {
	File         string
	Line, Column int
	Key          string // dotted path of the field, "materials.birch ply 3.kerf"; "" for the file
	Message      string // what was expected, and the nearest valid name
}

// Error returns "file:line:column: key: message", without the parts that are
// not known.
func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString(e.File)
	if e.Line > 0 {
		fmt.Fprintf(&b, ":%d", e.Line)
		if e.Column > 0 {
			fmt.Fprintf(&b, ":%d", e.Column)
		}
	}
	for _, part := range []string{e.Key, e.Message} {
		if part == "" {
			continue
		}
		if b.Len() > 0 {
			b.WriteString(": ")
		}
		b.WriteString(part)
	}
	return b.String()
}

// shown is how many mistakes the text of Errors lists in full.
const shown = 50

// Errors is a list of mistakes. As an error it lists them one a line, at most
// the first 50, and errors.As finds the single ones in it.
type Errors []*Error

// Sorted returns the mistakes by file, line, column, key and message, each of
// them once.
func (es Errors) Sorted() Errors {
	out := slices.Clone(es)
	slices.SortFunc(out, func(a, b *Error) int {
		return cmp.Or(
			cmp.Compare(a.File, b.File),
			cmp.Compare(a.Line, b.Line),
			cmp.Compare(a.Column, b.Column),
			cmp.Compare(a.Key, b.Key),
			cmp.Compare(a.Message, b.Message),
		)
	})
	return slices.CompactFunc(out, func(a, b *Error) bool { return *a == *b })
}

// Err returns nil for an empty list, else the sorted list.
func (es Errors) Err() error {
	if len(es) == 0 {
		return nil
	}
	return es.Sorted()
}

// Error returns the mistakes, one a line.
func (es Errors) Error() string {
	if len(es) == 0 {
		return "no mistakes"
	}
	var b strings.Builder
	for i, e := range es {
		if i == shown {
			fmt.Fprintf(&b, "\nand %d more", len(es)-shown)
			break
		}
		if i > 0 {
			b.WriteByte('\n')
		}
		b.WriteString(e.Error())
	}
	return b.String()
}

// Unwrap returns the mistakes one by one.
func (es Errors) Unwrap() []error {
	out := make([]error, len(es))
	for i, e := range es {
		out[i] = e
	}
	return out
}
