package main

import (
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/platewright/platewright/layers"
)

// table writes findings as aligned columns; under each stand its cause, its
// remedy, the inputs that would cure it, and where its subject was declared.
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
