package written

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"regexp"
	"strconv"

	"gopkg.in/yaml.v3"
)

const (
	// MaxBytes is the largest file that is read.
	MaxBytes = 4 << 20
	// MaxDepth is the deepest nesting that is read.
	MaxDepth = 64
	// MaxNodes is the most values a file may hold, aliases counted as often as
	// they are used: an alias bomb stops here.
	MaxNodes = 200_000
)

// Open reads and parses the file called name of fsys; see [Parse].
func Open(fsys fs.FS, name string) (root *yaml.Node, err error) {
	f, err := fsys.Open(name)
	if err != nil {
		return nil, err // it tells the name already
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	data, err := io.ReadAll(io.LimitReader(f, MaxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return Parse(name, data)
}

// Parse parses one YAML document and returns its outermost value. Every alias
// is replaced by the value it stands for (its place is that of the anchor), so
// the result is free of aliases and cycles; do not change it, since parts may
// be shared. A key that stands twice in a mapping, a merge key, a key that is
// not plain text, a second document, nesting beyond [MaxDepth] and more than
// [MaxNodes] values are mistakes. The error is nil or [Errors].
func Parse(name string, data []byte) (*yaml.Node, error) {
	fail := func(line, column int, format string, args ...any) error {
		return Errors{{File: name, Line: line, Column: column, Message: fmt.Sprintf(format, args...)}}
	}
	if len(data) > MaxBytes {
		return nil, fail(0, 0, "expected at most %d bytes", MaxBytes)
	}
	dec := yaml.NewDecoder(bytes.NewReader(data))
	var doc, second yaml.Node
	switch err := dec.Decode(&doc); {
	case errors.Is(err, io.EOF):
		return nil, fail(1, 1, "expected a mapping, found an empty file")
	case err != nil:
		line, text := syntax(err)
		return nil, fail(line, 0, "%s", text)
	}
	if err := dec.Decode(&second); err == nil {
		return nil, fail(second.Line, second.Column, "expected one document, found a second one")
	} else if !errors.Is(err, io.EOF) {
		line, text := syntax(err)
		return nil, fail(line, 0, "%s", text)
	}
	if doc.Kind != yaml.DocumentNode || len(doc.Content) != 1 {
		return nil, fail(1, 1, "expected a mapping, found an empty file")
	}
	t := tidy{file: name, done: map[*yaml.Node]extent{}, open: map[*yaml.Node]bool{}}
	root, _ := t.node(doc.Content[0], 1)
	if err := t.errs.Err(); err != nil {
		return nil, err
	}
	return root, nil
}

var place = regexp.MustCompile(`(?s)^(?:yaml: )?(?:line (\d+): )?(.*)$`)

// syntax splits the line off the YAML package's message.
func syntax(err error) (int, string) {
	m := place.FindStringSubmatch(err.Error())
	line, _ := strconv.Atoi(m[1]) // 0 where no line is given
	return line, "not valid YAML: " + m[2]
}

// tidy resolves aliases and checks what holds for every form.
type tidy struct {
	file string
	errs Errors
	done map[*yaml.Node]extent
	open map[*yaml.Node]bool // nodes around the current one
	full bool                // MaxNodes was reported
}

// extent is how much hangs below a node, aliases followed: values in all,
// itself counted, and levels.
type extent struct{ values, levels int }

func (t *tidy) fail(n *yaml.Node, key, format string, args ...any) {
	t.errs = append(t.errs, &Error{t.file, n.Line, n.Column, key, fmt.Sprintf(format, args...)})
}

// node returns the node that stands for n; after a mistake it is not to be
// used.
func (t *tidy) node(n *yaml.Node, depth int) (*yaml.Node, extent) {
	use := n
	if n.Kind == yaml.AliasNode {
		if n = n.Alias; n == nil || t.open[n] {
			t.fail(use, "", "expected a value, found an alias that contains itself")
			return use, extent{1, 1}
		}
	}
	e, done := t.done[n]
	if depth > MaxDepth || depth+e.levels-1 > MaxDepth {
		t.fail(use, "", "expected at most %d levels of nesting", MaxDepth)
		return use, extent{1, 1}
	}
	if done {
		return n, e
	}
	t.open[n] = true
	defer delete(t.open, n)
	e = extent{1, 1}
	for i, c := range n.Content {
		if t.full {
			break
		}
		var below extent
		n.Content[i], below = t.node(c, depth+1)
		e.levels = max(e.levels, below.levels+1)
		if e.values += below.values; e.values > MaxNodes {
			t.full = true
			t.fail(use, "", "expected at most %d values, aliases counted where they are used", MaxNodes)
		}
	}
	if n.Kind == yaml.MappingNode {
		t.keys(n)
	}
	t.done[n] = e
	return n, e
}

func (t *tidy) keys(n *yaml.Node) {
	first := map[string]*yaml.Node{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		k := n.Content[i]
		switch {
		case k.Kind != yaml.ScalarNode:
			t.fail(k, "", "expected a plain name as key, found %s", Kind(k))
		case k.Tag == "!!merge":
			t.fail(k, k.Value, "merge keys are not read; write the fields out")
		case first[k.Value] != nil:
			t.fail(k, clip(k.Value), "stands twice; it stands first in line %d", first[k.Value].Line)
		default:
			first[k.Value] = k
		}
	}
}

// Kind says in words what n is: "a mapping", "a list", "nothing", "text",
// "a number" or "true or false".
func Kind(n *yaml.Node) string {
	if n == nil {
		return "nothing"
	}
	switch n.Kind {
	case yaml.MappingNode:
		return "a mapping"
	case yaml.SequenceNode:
		return "a list"
	case yaml.AliasNode:
		return "an alias"
	}
	switch n.ShortTag() {
	case "!!null":
		return "nothing"
	case "!!int", "!!float":
		return "a number"
	case "!!bool":
		return "true or false"
	}
	return "text"
}
