package export

import (
	"fmt"
	"strings"
	"unicode"
)

// Slug returns name in a form fit for a file name or an id: lower-case letters
// and digits of any script, with single hyphens for everything between them.
// It is empty where name holds neither letter nor digit.
func Slug(name string) string {
	var b strings.Builder
	gap := false
	for _, r := range strings.ToLower(name) {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) && !unicode.IsMark(r) {
			gap = true
			continue
		}
		if gap && b.Len() > 0 {
			b.WriteByte('-')
		}
		gap = false
		b.WriteRune(r)
	}
	return b.String()
}

// ids hands out ids of one document, each once.
type ids map[string]bool

// next returns prefix and the slug of name as an id that was not given out
// before: where it was, a number follows.
func (s ids) next(prefix, name string) string {
	id := strings.Trim(prefix+"-"+Slug(name), "-")
	for n, stem := 2, id; s[id]; n++ {
		id = fmt.Sprintf("%s-%d", stem, n)
	}
	s[id] = true
	return id
}
