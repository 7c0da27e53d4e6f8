package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const module = "github.com/platewright/platewright"

// floors is the import lattice. It is a statement of policy: change it when the
// house changes, never to make a build pass.
//
// A package is named by its folder; "joints/..." stands for every package
// below joints. What is listed for a package is all of our own packages that
// its files, tests apart, may import.
var floors = map[string][]string{
	// leaves: none of ours
	"layers/internal/kernel": {},
	"layers/written":         {},
	"joints/flex":            {},
	"joints/fit":             {},
	"export/sheet/nest":      {},

	"layers":              {"layers/internal/kernel"},
	"layers/stock":        {"layers", "layers/written"},
	"layers/art":          {"layers", "layers/written"},
	"joints":              {"layers", "joints/flex", "joints/fit"},
	"joints/jointtest":    {"layers", "joints"},
	"assembly":            {"layers", "layers/stock", "layers/written", "joints", "joints/flex", "joints/fit"},
	"assembly/form":       {"layers", "layers/art", "layers/stock", "layers/written", "joints", "assembly"},
	"export/internal/svg": {"layers"},
	"export":              {"layers", "joints", "assembly", "export/internal/svg"},
	"export/...":          {"layers", "joints", "assembly", "export", "export/internal/svg", "export/sheet/nest", "export/sheet"},
	"cmd/platewright":     {"layers", "layers/stock", "layers/written", "joints", "assembly", "assembly/form", "export", "export/sheet", "export/guide", "export/report"},
	"examples/...":        {"layers", "layers/art", "layers/stock", "joints", "assembly", "export", "export/sheet", "export/guide", "export/report"},
}

// keepers tells which packages alone may import a module of others.
var keepers = map[string][]string{
	"github.com/peterstace/simplefeatures": {"layers/internal/kernel"},
	"github.com/spf13/cobra":               {"cmd/platewright"},
	"github.com/expr-lang/expr":            {"assembly/form"},
	"gopkg.in/yaml.v3":                     {"layers/written", "layers/stock", "assembly/form"},
}

// rank is the floor a folder lies on; nothing imports a higher one, tests
// included, except those of cmd and examples, which see everything.
var rank = []string{"layers", "joints", "assembly", "export", "cmd"}

func TestFloors(t *testing.T) {
	root := filepath.Join("..", "..")
	seen := 0
	// Reading the sources here, and not through go list, lets the test cache
	// see that they change.
	err := filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			if n := d.Name(); name != root && (strings.HasPrefix(n, ".") && n != ".." || n == "testdata" || n == "out") {
				return fs.SkipDir
			}
			return nil
		}
		if path.Ext(name) != ".go" {
			return nil
		}
		rel, err := filepath.Rel(root, name)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		data, err := os.ReadFile(name)
		if err != nil {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), rel, data, parser.ImportsOnly)
		if err != nil {
			return err
		}
		seen++
		for _, spec := range file.Imports {
			what, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return err
			}
			for _, complaint := range judge(rel, what) {
				t.Errorf("%s imports %s: %s", rel, what, complaint)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if seen < 20 {
		t.Errorf("only %d sources were read: the walk does not see the house", seen)
	}
}

// judge returns what is wrong with the file's importing what.
func judge(file, what string) []string {
	var out []string
	dir, test := path.Dir(file), strings.HasSuffix(file, "_test.go")
	for foreign, homes := range keepers {
		if (what == foreign || strings.HasPrefix(what, foreign+"/")) && !slices.Contains(homes, dir) && !test {
			out = append(out, "only "+strings.Join(homes, ", ")+" may")
		}
	}
	ours, ok := strings.CutPrefix(what, module+"/")
	if !ok {
		return out
	}
	if from := floor(dir); from >= 0 && floor(ours) > from {
		out = append(out, "it lies on a higher floor")
	}
	if test || ours == dir {
		return out
	}
	allowed, ok := policy(dir)
	if !ok {
		return append(out, "floors has no line for "+dir)
	}
	if !slices.Contains(allowed, ours) {
		out = append(out, "floors does not allow it")
	}
	return out
}

// floor returns the rank of a folder, -1 for what may see everything.
func floor(dir string) int {
	first, _, _ := strings.Cut(dir, "/")
	return slices.Index(rank, first)
}

func policy(dir string) ([]string, bool) {
	if allowed, ok := floors[dir]; ok {
		return allowed, true
	}
	for d := dir; d != "."; d = path.Dir(d) {
		if allowed, ok := floors[d+"/..."]; ok {
			return allowed, true
		}
	}
	return nil, false
}

// A test of policy that never fails proves nothing.
func TestFloorsAreGuarded(t *testing.T) {
	for _, c := range []struct {
		file, what string
		allowed    bool
	}{
		{"layers/region.go", module + "/layers/internal/kernel", true},
		{"layers/region.go", module + "/joints", false},
		{"layers/stock/file.go", module + "/layers", true},
		{"layers/stock/file.go", module + "/layers/art", false},
		{"layers/region_test.go", module + "/layers/stock", true},
		{"layers/region_test.go", module + "/assembly", false},
		{"joints/peg.go", module + "/assembly", false},
		{"assembly/build.go", module + "/export", false},
		{"assembly/build.go", module + "/assembly/form", false},
		{"export/cut.go", module + "/assembly/form", false},
		{"export/cut.go", module + "/assembly", true},
		{"export/guide/page.go", module + "/export/sheet", true},
		{"layers/region.go", "github.com/peterstace/simplefeatures/geom", false},
		{"layers/internal/kernel/overlay.go", "github.com/peterstace/simplefeatures/geom", true},
		{"examples/caddy/main.go", module + "/export", true},
		{"somewhere/new.go", module + "/layers", false},
	} {
		if got := judge(c.file, c.what); (len(got) == 0) != c.allowed {
			t.Errorf("%s imports %s: %q, allowed should be %v", c.file, c.what, got, c.allowed)
		}
	}
}
