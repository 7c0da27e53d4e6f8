package layers

import (
	"cmp"
	"errors"
	"fmt"
	"iter"
	"math"
	"slices"
	"strings"

	"github.com/go-gl/mathgl/mgl64"
)

// Severity ranks a finding. The zero value is invalid, so that a forgotten
// severity shows.
type Severity int

const (
	Note    Severity = iota + 1 // worth knowing, nothing to do
	Warning                     // may spoil the piece; a person decides
	Error                       // the cut files would be wrong
)

// String returns "note", "warning" or "error".
func (s Severity) String() string {
	switch s {
	case Note:
		return "note"
	case Warning:
		return "warning"
	case Error:
		return "error"
	}
	return fmt.Sprintf("Severity(%d)", int(s))
}

// MarshalText writes s as its word.
func (s Severity) MarshalText() ([]byte, error) {
	if s < Note || s > Error {
		return nil, fmt.Errorf("severity %d is none of note, warning, error", int(s))
	}
	return []byte(s.String()), nil
}

// Subject names what a finding is about: Kind is "plate", "joint", "layer",
// "material", "sheet" or "stack", and Name tells which one ("" for the stack).
type Subject struct {
	Kind string `json:"kind"`
	Name string `json:"name,omitempty"`
}

// String returns for instance `plate "frame"`.
func (s Subject) String() string {
	if s.Name == "" {
		return s.Kind
	}
	return fmt.Sprintf("%s %q", s.Kind, s.Name)
}

// Sense tells on which side of its limit a measured value is good.
type Sense int

const (
	AtMost  Sense = iota // good up to and including the limit
	AtLeast              // good from the limit on
)

// Measure is a measured value against its limit, both in Unit.
type Measure struct {
	Value, Limit float64
	Sense        Sense
	Unit         string // "mm", "mm²", "mm³", "N", "%", "g" or ""
}

// Margin returns how far the value is on the good side of the limit; negative
// means that it fails by that much.
func (m Measure) Margin() float64 {
	if m.Sense == AtLeast {
		return m.Value - m.Limit
	}
	return m.Limit - m.Value
}

// String returns for instance "9.50 mm, needs at most 9.20 mm".
func (m Measure) String() string {
	word := "at most"
	if m.Sense == AtLeast {
		word = "at least"
	}
	unit := m.Unit
	if unit != "" {
		unit = " " + unit
	}
	return fmt.Sprintf("%s%s, needs %s %s%s", figure(m.Value), unit, word, figure(m.Limit), unit)
}

// figure writes v with two decimals, or with three significant figures where
// two decimals would hide it.
func figure(v float64) string {
	if a := math.Abs(v); a != 0 && a < 0.095 {
		return fmt.Sprintf("%.3g", v)
	}
	return fmt.Sprintf("%.2f", v)
}

// Fix says what to do about a finding. Set, where it is not empty, holds the
// inputs (parameter or material field by name, as the command's --set takes
// them) that make the finding go when applied.
type Fix struct {
	Text string
	Set  map[string]float64
}

// Source is a place in the file a declaration came from; the zero value means
// that it came from Go code.
type Source struct {
	File   string `json:"file"`
	Line   int    `json:"line"`
	Column int    `json:"column"`
}

// String returns "file:line:column", or "" for the zero Source.
func (s Source) String() string {
	if s.File == "" {
		return ""
	}
	return fmt.Sprintf("%s:%d:%d", s.File, s.Line, s.Column)
}

// Finding is what a check on any floor reports. Numbers live in Measure only,
// so that text, table and JSON cannot disagree.
type Finding struct {
	ID       string // stable, documented, never renamed: "stack-height"
	Severity Severity
	Subject  Subject
	Related  []Subject
	At       mgl64.Vec3 // stack coordinates, mm
	Measure  *Measure   // nil where nothing is measured
	Cause    string     // one sentence without its full stop and without numbers
	Remedy   Fix
	Source   Source // filled in by Build
}

// String returns one line: severity, subject, cause, measure, remedy, id.
func (f Finding) String() string {
	var b strings.Builder
	if f.Source != (Source{}) {
		fmt.Fprintf(&b, "%s: ", f.Source)
	}
	fmt.Fprintf(&b, "%s: %s: %s", f.Severity, f.Subject, f.Cause)
	if f.Measure != nil {
		fmt.Fprintf(&b, " (%s)", f.Measure)
	}
	if f.Remedy.Text != "" {
		fmt.Fprintf(&b, "; %s", f.Remedy.Text)
	}
	fmt.Fprintf(&b, " [%s]", f.ID)
	return b.String()
}

// Findings is a list of findings. Sorted puts it into its one order.
type Findings []Finding

// Sorted returns the findings worst first, then by subject, id, place and
// cause: the same order whatever order they were found in.
func (fs Findings) Sorted() Findings {
	out := slices.Clone(fs)
	slices.SortStableFunc(out, func(a, b Finding) int {
		return cmp.Or(
			cmp.Compare(b.Severity, a.Severity),
			cmp.Compare(a.Subject.Kind, b.Subject.Kind),
			cmp.Compare(a.Subject.Name, b.Subject.Name),
			cmp.Compare(a.ID, b.ID),
			cmp.Compare(a.At[2], b.At[2]), cmp.Compare(a.At[1], b.At[1]), cmp.Compare(a.At[0], b.At[0]),
			cmp.Compare(a.Cause, b.Cause),
		)
	})
	return out
}

// Of yields the findings that are at least as severe as s.
func (fs Findings) Of(s Severity) iter.Seq[Finding] {
	return func(yield func(Finding) bool) {
		for _, f := range fs {
			if f.Severity >= s && !yield(f) {
				return
			}
		}
	}
}

// Err returns nil where no finding is an Error, else a [*FindingsError].
func (fs Findings) Err() error {
	bad := Findings(slices.Collect(fs.Of(Error)))
	if len(bad) == 0 {
		return nil
	}
	return &FindingsError{bad}
}

// String returns the findings, one a line, each line ended.
func (fs Findings) String() string {
	var b strings.Builder
	for _, f := range fs {
		fmt.Fprintln(&b, f)
	}
	return b.String()
}

// FindingsError is the error form of findings of severity Error. Findings
// holds all of them.
type FindingsError struct{ Findings Findings }

// Error returns the first finding and the number of the others.
func (e *FindingsError) Error() string {
	if len(e.Findings) == 0 {
		return "no findings"
	}
	s := e.Findings[0].String()
	if n := len(e.Findings) - 1; n > 0 {
		s += fmt.Sprintf(" (and %d more)", n)
	}
	return s
}

// AsFindings returns the findings inside err, or nil.
func AsFindings(err error) Findings {
	var e *FindingsError
	if errors.As(err, &e) {
		return e.Findings
	}
	return nil
}
