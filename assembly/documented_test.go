package assembly_test

import (
	"go/parser"
	"go/token"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/stock"
)

// Whatever is found in the products of these tests has its id in a check's Doc,
// with how severe it is, or in a comment of package joints or layers.
func TestFindingsAreDocumented(t *testing.T) {
	checks := map[string]string{}
	for _, c := range assembly.Checks() {
		if checks[c.ID] != "" {
			t.Errorf("%s: two checks report it", c.ID)
		}
		checks[c.ID] = c.Doc
	}
	var comments strings.Builder
	for _, pattern := range []string{"../joints/*.go", "../layers/material_question.go"} {
		names, err := filepath.Glob(pattern)
		if err != nil || len(names) == 0 {
			t.Fatal(pattern, err)
		}
		for _, name := range names {
			if strings.HasSuffix(name, "_test.go") {
				continue
			}
			f, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ParseComments)
			if err != nil {
				t.Fatal(err)
			}
			for _, c := range f.Comments {
				comments.WriteString(c.Text())
			}
		}
	}
	kits := []*assembly.Kit{build(t, sound(), stock.Common())}
	for _, j := range judgements {
		p, lib := j.product(), j.library
		if slices.Collect(lib.All()) == nil {
			lib = stock.Common()
		}
		kits = append(kits, build(t, p, lib))
		j.cured(&p, &lib)
		kits = append(kits, build(t, p, lib))
	}
	for _, k := range kits {
		for _, f := range k.Findings() {
			if doc, ok := checks[f.ID]; ok {
				if !strings.Contains(doc, " "+f.Severity.String()) {
					t.Errorf("%s: its check's Doc does not say that it may be a %s", f.ID, f.Severity)
				}
			} else if !regexp.MustCompile(`(?m)^\W*` + f.ID + `\b`).MatchString(comments.String()) {
				t.Errorf("no comment lists %s: %s", f.ID, f)
			}
			if f.Severity < layers.Note || f.Severity > layers.Error {
				t.Errorf("%s has no severity", f.ID)
			}
		}
	}
}
