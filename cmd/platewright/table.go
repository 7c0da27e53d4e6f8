package main

import (
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/go-gl/mathgl/mgl64"

	"github.com/platewright/platewright/layers"
)

// table writes findings as aligned columns; under each stand its cause, what
// else it concerns and where, its remedy, the inputs that would cure it, and
// where its subject was declared.
func table(w io.Writer, fs layers.Findings) {
	rows := [][]string{{"severity", "subject", "finding", "measured"}}
	below := [][]string{nil}
	for _, f := range fs {
		measured := "-"
		if f.Measure != nil {
			measured = f.Measure.String()
		}
		rows = append(rows, []string{f.Severity.String(), f.Subject.String(), f.ID, measured})
		more := []string{f.Cause}
		if about := concerns(f); about != "" {
			more = append(more, about)
		}
		if f.Remedy.Text != "" {
			more = append(more, "remedy: "+f.Remedy.Text)
		}
		for _, name := range slices.Sorted(maps.Keys(f.Remedy.Set)) {
			more = append(more, fmt.Sprintf("try: --set %q", fmt.Sprintf("%s=%g", name, f.Remedy.Set[name])))
		}
		if at := f.Source.String(); at != "" {
			more = append(more, "declared: "+at)
		}
		below = append(below, more)
	}
	if len(fs) > 0 {
		align(w, rows, below)
		fmt.Fprintln(w)
	}
	fmt.Fprintln(w, tally(fs))
}

// concerns says what else a finding is about and where it is; "" where that is
// nothing and nowhere. The very origin of the stack counts as nowhere: it stands
// in findings that have no place.
func concerns(f layers.Finding) string {
	var parts []string
	for _, s := range f.Related {
		parts = append(parts, s.String())
	}
	if f.At != (mgl64.Vec3{}) {
		var xyz []string
		for i, v := range f.At {
			v = math.Round(v*100)/100 + 0 // no -0
			xyz = append(xyz, fmt.Sprintf("%c %g", 'x'+rune(i), v))
		}
		parts = append(parts, "at "+strings.Join(xyz, ", ")+" mm")
	}
	text := strings.Join(parts, ", ")
	if len(f.Related) > 0 {
		text = "concerns " + text
	}
	return text
}

// align writes rows in columns as wide as their widest cell; the lines below a
// row are set in by its first column.
func align(w io.Writer, rows, below [][]string) {
	var widths []int
	for _, r := range rows {
		for i, cell := range r {
			if i == len(widths) {
				widths = append(widths, 0)
			}
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	for i, r := range rows {
		var b strings.Builder
		for j, cell := range r {
			b.WriteString(cell)
			b.WriteString(strings.Repeat(" ", widths[j]-utf8.RuneCountInString(cell)+2))
		}
		fmt.Fprintln(w, strings.TrimRight(b.String(), " "))
		if below == nil {
			continue
		}
		for _, line := range below[i] {
			fmt.Fprintln(w, strings.Repeat(" ", widths[0]+2)+line)
		}
	}
}

// tally counts findings in words.
func tally(fs layers.Findings) string {
	if len(fs) == 0 {
		return "No findings."
	}
	count := map[layers.Severity]int{}
	for _, f := range fs {
		count[f.Severity]++
	}
	var parts []string
	for _, s := range []layers.Severity{layers.Error, layers.Warning, layers.Note} {
		switch n := count[s]; n {
		case 0:
		case 1:
			parts = append(parts, "1 "+s.String())
		default:
			parts = append(parts, fmt.Sprintf("%d %ss", n, s))
		}
	}
	return strings.Join(parts, ", ") + "."
}
