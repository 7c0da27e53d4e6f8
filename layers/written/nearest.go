package written

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// Nearest returns the candidate that is the fewest slips away from name: a slip
// is one letter left out, added, changed or swapped with its neighbour, and a
// third of the letters may have slipped. Case, spaces, hyphens and underscores
// do not count. Where none is so near it returns the shortest candidate that
// holds all words of name, or else "". Of equally near candidates the first in
// alphabetical order wins.
func Nearest(name string, candidates []string) string {
	best, least := "", -1
	folded := fold(name)
	limit := len(folded) / 3
	if limit == 0 && len(folded) > 1 {
		limit = 1
	}
	for _, c := range slices.Sorted(slices.Values(candidates)) {
		f := fold(c)
		if d := len(f) - len(folded); d > limit || -d > limit {
			continue
		}
		if d := slips(folded, f); d <= limit && (least < 0 || d < least) {
			best, least = c, d
		}
	}
	if best != "" {
		return best
	}
	words := split(name)
	for _, c := range slices.Sorted(slices.Values(candidates)) {
		all := split(c)
		missing := func(w string) bool { return !slices.Contains(all, w) }
		if len(words) > 0 && !slices.ContainsFunc(words, missing) && (best == "" || len(c) < len(best)) {
			best = c
		}
	}
	return best
}

// split returns the words of a name.
func split(s string) []string {
	if len(s) > 4*longest {
		return nil
	}
	return strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return r == ' ' || r == '-' || r == '_' })
}

// listed is how many names Hint spells out.
const listed = 12

// Hint returns the end of an error message about an unknown name: `nearest is
// "birch ply 3"`, or where none is near "known are …", or "" where there are no
// candidates.
func Hint(name string, candidates []string) string {
	if near := Nearest(name, candidates); near != "" {
		return fmt.Sprintf("nearest is %q", near)
	}
	sorted := slices.Compact(slices.Sorted(slices.Values(candidates)))
	if len(sorted) == 0 {
		return ""
	}
	more := ""
	if n := len(sorted) - listed; n > 0 {
		sorted, more = sorted[:listed], fmt.Sprintf(" and %d more", n)
	}
	return "known are " + strings.Join(sorted, ", ") + more
}

// longest is the most letters of a name that are compared.
const longest = 100

func fold(s string) []rune {
	var out []rune
	for _, r := range s {
		if len(out) == longest {
			break
		}
		if r == ' ' || r == '-' || r == '_' {
			continue
		}
		out = append(out, unicode.ToLower(r))
	}
	return out
}

// slips returns the optimal string alignment distance between a and b.
// F. J. Damerau, A technique for computer detection and correction of spelling
// errors, Communications of the ACM 7(3), 1964, names the four slips.
func slips(a, b []rune) int {
	before := make([]int, len(b)+1)
	above := make([]int, len(b)+1)
	row := make([]int, len(b)+1)
	for j := range above {
		above[j] = j
	}
	for i := range a {
		row[0] = i + 1
		for j := range b {
			change := above[j]
			if a[i] != b[j] {
				change++
			}
			row[j+1] = min(change, above[j+1]+1, row[j]+1)
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
		before, above, row = above, row, before
	}
	return above[len(b)]
}
