package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/go-gl/mathgl/mgl64"

	"github.com/platewright/platewright/export"
	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/written"
)

// A run that is interrupted while it writes leaves what stood there.
func TestInterrupted(t *testing.T) {
	dir := t.TempDir()
	os.WriteFile(filepath.Join(dir, "a"), []byte("old"), 0o644)
	ctx, cancel := context.WithCancel(context.Background())
	files := heeding(ctx, []export.File{
		{Name: "a", Encode: func(w io.Writer) error {
			_, err := io.WriteString(w, "new")
			cancel() // Ctrl-C comes here
			return err
		}},
		{Name: "b", Encode: func(w io.Writer) error { _, err := io.WriteString(w, "new"); return err }},
	})
	if err := export.Save(dir, files); !errors.Is(err, context.Canceled) {
		t.Errorf("error %v, want %v", err, context.Canceled)
	}
	entries, _ := os.ReadDir(dir)
	if data, _ := os.ReadFile(filepath.Join(dir, "a")); len(entries) != 1 || string(data) != "old" {
		t.Errorf("%d files stand there and a holds %q", len(entries), data)
	}
	if _, err := new(input).build(ctx, "no matter which.yaml"); err == nil {
		t.Error("a build after the interruption gives no error")
	}
}

func TestComplaints(t *testing.T) {
	mistakes := written.Errors{{File: "a.yaml", Line: 3, Column: 5, Key: "stack", Message: "is wrong"}, {File: "a.yaml", Line: 4, Message: "too"}}
	for _, c := range []struct {
		err    error
		text   string
		status int
	}{
		{nil, "platewright: <nil>\n", exitWell},
		{failure{fmt.Errorf("read materials: %w", mistakes.Err())}, "a.yaml:3:5: stack: is wrong\na.yaml:4: too\n", exitBad},
		{failure{errors.New("disk full")}, "platewright: disk full\n", exitBad},
		{failure{context.Canceled}, "platewright: interrupted, nothing was written\n", exitBad},
		{failure{errFound}, "platewright: errors were found\n", exitBad},
		{usage{errors.New("what?")}, "platewright: what?\n", exitUsage},
	} {
		if got := exitStatus(c.err); got != c.status {
			t.Errorf("%v: status %d, want %d", c.err, got, c.status)
		}
		if c.err == nil {
			continue
		}
		var b bytes.Buffer
		complain(&b, c.err)
		if b.String() != c.text {
			t.Errorf("%v is told as %q, want %q", c.err, b.String(), c.text)
		}
	}
}

// What goes nowhere is no success.
func TestOutput(t *testing.T) {
	full := &output{to: writer(func(p []byte) (int, error) { return 0, errors.New("disk full") })}
	fmt.Fprint(full, "a")
	fmt.Fprint(full, "b")
	if full.err == nil || full.err.Error() != "disk full" {
		t.Errorf("the error was forgotten: %v", full.err)
	}
}

type writer func([]byte) (int, error)

func (w writer) Write(p []byte) (int, error) { return w(p) }

func TestTableTellsWhere(t *testing.T) {
	for want, f := range map[string]layers.Finding{
		"":                              {Cause: "the plate is thin"},
		`concerns plate "a", plate "b"`: {Related: []layers.Subject{{Kind: "plate", Name: "a"}, {Kind: "plate", Name: "b"}}},
		`concerns plate "a", at x 495.75, y 0, z 1.5 mm`: {Related: []layers.Subject{{Kind: "plate", Name: "a"}}, At: mgl64.Vec3{495.748701, -0.0001, 1.5}},
		`at x 1, y 2, z 3 mm`:                            {At: mgl64.Vec3{1, 2, 3}},
	} {
		if got := concerns(f); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

func TestWord(t *testing.T) {
	for path, want := range map[string]string{"harbour/out": "harbour/out", "my piece": "'my piece'", "it's": `'it'\''s'`, "größe": "größe"} {
		if got := word(path); got != want {
			t.Errorf("%q: %s, want %s", path, got, want)
		}
	}
}
