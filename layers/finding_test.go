package layers

import (
	"errors"
	"fmt"
	"slices"
	"testing"

	"github.com/go-gl/mathgl/mgl64"
)

func TestMeasure(t *testing.T) {
	for _, c := range []struct {
		m      Measure
		text   string
		margin float64
	}{
		{Measure{9.5, 9.25, AtMost, "mm"}, "9.50 mm, needs at most 9.25 mm", -0.25},
		{Measure{3, 2.5, AtLeast, "mm"}, "3.00 mm, needs at least 2.50 mm", 0.5},
		{Measure{0.0625, 0.5, AtLeast, ""}, "0.0625, needs at least 0.50", -0.4375},
	} {
		if got := c.m.String(); got != c.text {
			t.Errorf("String = %q, want %q", got, c.text)
		}
		if got := c.m.Margin(); got != c.margin {
			t.Errorf("%s: Margin = %v, want %v", c.text, got, c.margin)
		}
	}
}

func TestSeverity(t *testing.T) {
	for s, want := range map[Severity]string{Note: "note", Warning: "warning", Error: "error"} {
		if got, err := s.MarshalText(); err != nil || string(got) != want || s.String() != want {
			t.Errorf("severity %d is %q, %q, %v; want %q", int(s), s, got, err, want)
		}
	}
	if _, err := Severity(0).MarshalText(); err == nil {
		t.Error("a forgotten severity is written")
	}
}

func TestFindingString(t *testing.T) {
	f := Finding{
		ID: "stack-height", Severity: Error, Subject: Subject{Kind: "stack"},
		Measure: &Measure{9.5, 9.2, AtMost, "mm"}, Cause: "the sheets stand higher than declared",
		Remedy: Fix{Text: "declare more or thin a sheet"},
	}
	const want = "error: stack: the sheets stand higher than declared (9.50 mm, needs at most 9.20 mm); declare more or thin a sheet [stack-height]"
	if got := f.String(); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	f = Finding{ID: "x", Severity: Note, Subject: Subject{"plate", "back"}, Cause: "so it is", Source: Source{"a.yaml", 3, 5}}
	if got, want := f.String(), `a.yaml:3:5: note: plate "back": so it is [x]`; got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

func TestFindingsSorted(t *testing.T) {
	want := Findings{
		{Severity: Error, Subject: Subject{"plate", "b"}, ID: "a"},
		{Severity: Warning, Subject: Subject{"joint", "z"}, ID: "b"},
		{Severity: Warning, Subject: Subject{"plate", "a"}, ID: "a"},
		{Severity: Warning, Subject: Subject{"plate", "a"}, ID: "b", At: mgl64.Vec3{1, 0, 0}},
		{Severity: Warning, Subject: Subject{"plate", "a"}, ID: "b", At: mgl64.Vec3{0, 0, 1}},
		{Severity: Warning, Subject: Subject{"plate", "a"}, ID: "b", At: mgl64.Vec3{0, 0, 1}, Cause: "c"},
		{Severity: Note, Subject: Subject{"plate", "a"}, ID: "a"},
	}
	text := func(fs Findings) string { return fmt.Sprintf("%+v", []Finding(fs)) }
	for turn := range want {
		mixed := slices.Concat(want[turn:], want[:turn])
		slices.Reverse(mixed)
		before := text(mixed)
		if got := mixed.Sorted(); text(got) != text(want) {
			t.Errorf("turn %d: sorted to\n%s", turn, got)
		}
		if text(mixed) != before {
			t.Error("Sorted changed its receiver")
		}
	}
}

func TestFindingsErr(t *testing.T) {
	fs := Findings{{Severity: Note, ID: "n"}, {Severity: Warning, ID: "w"}}
	if err := fs.Err(); err != nil {
		t.Errorf("no error, yet Err is %v", err)
	}
	fs = append(fs, Finding{Severity: Error, ID: "e", Subject: Subject{Kind: "stack"}, Cause: "bad"}, Finding{Severity: Error, ID: "f"})
	if got := len(slices.Collect(fs.Of(Warning))); got != 3 {
		t.Errorf("%d findings from warning on, want 3", got)
	}
	err := fmt.Errorf("build: %w", fs.Err())
	if got := AsFindings(err); len(got) != 2 || got[0].ID != "e" {
		t.Errorf("AsFindings gave %v", got)
	}
	if got, want := fs.Err().Error(), "error: stack: bad [e] (and 1 more)"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if got := AsFindings(errors.New("other")); got != nil {
		t.Errorf("findings out of nowhere: %v", got)
	}
}
