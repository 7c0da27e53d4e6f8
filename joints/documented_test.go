package joints_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// bullet is an entry of a list of findings in a comment: its ids and how severe
// they may be.
var bullet = regexp.MustCompile(`(?m)^ *- ([a-z]+-[a-z-]+(?:, [a-z]+-[a-z-]+)*)(?: \(([^)]*)\))?:`)

// documented returns the severities that the doc comments of declarations list,
// by the finding's id.
func documented(f *ast.File) map[string]string {
	out := map[string]string{}
	take := func(c *ast.CommentGroup) {
		for _, m := range bullet.FindAllStringSubmatch(c.Text(), -1) {
			for _, id := range strings.Split(m[1], ", ") {
				out[id] = m[2]
			}
		}
	}
	take(f.Doc)
	for _, d := range f.Decls {
		switch d := d.(type) {
		case *ast.GenDecl:
			take(d.Doc)
		case *ast.FuncDecl:
			take(d.Doc)
		}
	}
	return out
}

// reported is a finding that the source reports.
type reported struct {
	id       string // an expression that the id matches as a whole
	severity string // "" where it is not written out
}

func findingsOf(f *ast.File) (out []reported) {
	var pattern func(ast.Expr) string
	pattern = func(e ast.Expr) string {
		switch e := e.(type) {
		case *ast.BasicLit:
			s, _ := strconv.Unquote(e.Value)
			return s
		case *ast.BinaryExpr:
			return pattern(e.X) + pattern(e.Y)
		}
		return "[a-z]+"
	}
	ast.Inspect(f, func(n ast.Node) bool {
		call, ok := n.(*ast.CallExpr)
		if !ok {
			return true
		}
		fun, ok := call.Fun.(*ast.SelectorExpr)
		switch {
		case ok && fun.Sel.Name == "find" && len(call.Args) > 2:
			r := reported{id: pattern(call.Args[1])}
			if s, ok := call.Args[0].(*ast.SelectorExpr); ok {
				r.severity = strings.ToLower(s.Sel.Name)
			}
			out = append(out, r)
		case ok && fun.Sel.Name == "finding":
			out = append(out, reported{id: pattern(call.Args[0])})
		}
		return true
	})
	return out
}

// Every finding that a file's joint may report is in the joint's comment, or in
// the package's where any joint may report it, with its severity; and what is
// there is reported.
func TestFindingsAreDocumented(t *testing.T) {
	entries, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	files := map[string]*ast.File{}
	for _, e := range entries {
		if name := e.Name(); strings.HasSuffix(name, ".go") && !strings.HasSuffix(name, "_test.go") {
			if files[name], err = parser.ParseFile(token.NewFileSet(), name, nil, parser.ParseComments); err != nil {
				t.Fatal(err)
			}
		}
	}
	common := documented(files["joint.go"])
	n := 0
	var all []reported
	for name, f := range files {
		own := documented(f)
		for _, r := range findingsOf(f) {
			n++
			all = append(all, r)
			id := regexp.MustCompile("^" + r.id + "$")
			found := false
			for _, doc := range []map[string]string{own, common} {
				for listed, severities := range doc {
					found = found || id.MatchString(listed) && (severities == "" || strings.Contains(severities, r.severity))
				}
			}
			if !found {
				t.Errorf("%s: no comment lists %s (%s)", name, r.id, r.severity)
			}
		}
	}
	if n < 50 {
		t.Errorf("only %d findings were seen in the source", n)
	}
	for name, f := range files {
		for id := range documented(f) {
			if !slices.ContainsFunc(all, func(r reported) bool { return regexp.MustCompile("^" + r.id + "$").MatchString(id) }) {
				t.Errorf("%s: nothing reports %s", name, id)
			}
		}
	}
}
