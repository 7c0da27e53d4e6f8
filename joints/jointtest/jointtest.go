// Package jointtest tests that a joint keeps the promises of [joints.Joint].
// Whoever writes a joint, here or in a program of their own, calls [Test] with
// a few sites, and [At] with many random ones in property tests; [Stacked],
// [Flat] and [Standing] build them. Lengths are mm.
package jointtest

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
)

const (
	// tolerance is how far a measured width or a moved place may be off, mm:
	// rounding to the grid, several times over.
	tolerance = 1e-5
)

// thicknesses are the sheets every site is tried with besides its own, mm:
// from thin 3 mm ply to thick 6 mm board.
var thicknesses = [...]float64{2.5, 2.87, 3.3, 4.1, 6.5}

// Test realizes j at each site, at the site with all sheets 2.5 to 6.5 mm
// thick, moved and turned, and with each of its fields at zero, and returns
// every promise of [joints.Joint] that it broke, or nil.
//
// Fields of type layers.Point, and a field Turn of type layers.Degrees, move
// with the site; a joint that keeps places elsewhere implements [Mover]. A
// field whose zero value names no plate is not tried at zero.
func Test(j joints.Joint, sites ...joints.Site) error {
	t := &tester{}
	if len(sites) == 0 {
		t.fail("no site to test it at")
	}
	for _, s := range sites {
		t.context = fmt.Sprintf("site %q", s.Name)
		if missing := missing(j, s); missing != "" {
			t.fail("the site lacks plate %q, which the joint ties", missing)
			continue
		}
		work, ok := t.realize(j, s)
		if !ok {
			continue
		}
		t.moves(j, s, work)
		for _, mm := range thicknesses {
			t.context = fmt.Sprintf("site %q, sheets %g mm thick", s.Name, mm)
			t.realize(j, Thick(s, mm))
		}
		t.zeros(j, s)
	}
	return errors.Join(t.broken...)
}

// At tests the promises that need no other site than s: quick enough to be
// asked of many random joints and sites.
func At(j joints.Joint, s joints.Site) error {
	t := &tester{context: fmt.Sprintf("site %q", s.Name)}
	if missing := missing(j, s); missing != "" {
		t.fail("the site lacks plate %q, which the joint ties", missing)
	} else {
		t.realize(j, s)
	}
	return errors.Join(t.broken...)
}

// tester gathers broken promises.
type tester struct {
	context string
	broken  []error
}

// fail notes a broken promise.
func (t *tester) fail(format string, args ...any) {
	t.broken = append(t.broken, fmt.Errorf("%s: %s", t.context, fmt.Sprintf(format, args...)))
}

// missing returns the first plate that j ties and s lacks.
func missing(j joints.Joint, s joints.Site) string {
	for _, name := range j.Ties() {
		if _, ok := s.Hosts[name]; !ok {
			return name
		}
	}
	return ""
}

// realize returns the work of j at s after testing all that needs no second
// site; ok is false where it panics.
func (t *tester) realize(j joints.Joint, s joints.Site) (w joints.Work, ok bool) {
	defer func() {
		if p := recover(); p != nil {
			t.fail("Realize panics: %v", p)
			w, ok = joints.Work{}, false
		}
	}()
	w = j.Realize(s)
	if diff := differ(w, j.Realize(s)); diff != "" {
		t.fail("the same site gives two works: %s", diff)
	}
	t.names(j, s, w)
	t.refusal(w)
	t.regions(w)
	t.matings(s, w)
	return w, true
}

// names tests that the work speaks only of plates that j ties or makes.
func (t *tester) names(j joints.Joint, s joints.Site, w joints.Work) {
	known := slices.Clone(j.Ties())
	for _, m := range w.Makes {
		name := m.Plate.Name
		if !strings.HasPrefix(name, s.Name) {
			t.fail("the made plate %q is not named after the joint", name)
		}
		if slices.Contains(known, name) {
			t.fail("the made plate %q has the name of another plate", name)
		}
		if m.Plate.Material == "" {
			t.fail("the made plate %q has no material", name)
		}
		known = append(known, name)
	}
	ask := func(what, name string) {
		if !slices.Contains(known, name) {
			t.fail("%s names plate %q, which the joint neither ties nor makes", what, name)
		}
	}
	for _, f := range w.Features {
		ask("the feature "+f.Name, f.Plate)
	}
	for _, m := range w.Matings {
		ask("a mating's insert", m.Insert)
		ask("a mating's opening", m.Opening)
		if m.Insert == m.Opening {
			t.fail("plate %q mates with itself", m.Insert)
		}
	}
	for _, sp := range w.Springs {
		ask("a spring", sp.Plate)
	}
	for _, names := range w.Swaps {
		for _, name := range names {
			ask("a swap", name)
		}
	}
}

// refusal tests that an Error comes alone and that findings are whole.
func (t *tester) refusal(w joints.Work) {
	for _, f := range w.Findings {
		if f.ID == "" || f.Cause == "" || f.Severity < layers.Note || f.Severity > layers.Error {
			t.fail("a finding lacks its id, cause or severity: %s", f)
		}
		if f.Severity == layers.Error && f.Remedy.Text == "" {
			t.fail("an error has no remedy: %s", f)
		}
		if strings.HasSuffix(f.Cause, ".") {
			t.fail("a cause ends in a full stop: %s", f)
		}
		if m := f.Measure; m != nil && f.Severity > layers.Note && m.Margin() >= 0 {
			t.fail("a measured value is reported though it is good: %s", f)
		}
	}
	rest := w
	rest.Findings = nil
	if w.Findings.Err() != nil && !reflect.ValueOf(rest).IsZero() {
		t.fail("an error comes with other work: %v", w.Findings.Err())
	}
}

// regions tests that every region is valid and holds something.
func (t *tester) regions(w joints.Work) {
	check := func(what string, r layers.Region) {
		if err := r.Err(); err != nil {
			t.fail("%s: %v", what, err)
		} else if r.Empty() {
			t.fail("%s is empty", what)
		}
	}
	for _, f := range w.Features {
		switch f.Action {
		case joints.Add, joints.Remove:
			check("the feature "+f.Name, f.Region)
		case joints.Mark:
		default:
			t.fail("the feature %s does nothing", f.Name)
		}
		if f.Name == "" {
			t.fail("a feature of plate %q has no name", f.Plate)
		}
		if f.Margin < 0 {
			t.fail("the feature %s has a negative margin", f.Name)
		}
	}
	for _, m := range w.Makes {
		check("the made plate "+m.Plate.Name, m.Plate.Outline)
	}
}

// matings tests that each mating, measured on the finished outlines, has the
// play that it states.
func (t *tester) matings(s joints.Site, w joints.Work) {
	outlines, sheets := finished(s, w)
	for _, m := range w.Matings {
		if len(m.Gaps) == 0 {
			t.fail("the mating of %q and %q has no gap", m.Insert, m.Opening)
		}
		for _, g := range m.Gaps {
			play, err := joints.Measure(g, outlines[m.Insert], outlines[m.Opening], sheets[m.Insert])
			switch {
			case err != nil:
				t.fail("the mating of %q and %q: %v", m.Insert, m.Opening, err)
			case !(math.Abs(play-g.Play) <= tolerance):
				t.fail("the mating of %q and %q states a play %s of %.6f mm, but measures %.6f", m.Insert, m.Opening, g.Name, g.Play, play)
			}
		}
	}
}

// finished returns the outlines that the work leaves and the thickness of each
// plate.
func finished(s joints.Site, w joints.Work) (outlines map[string]layers.Region, sheets map[string]float64) {
	outlines, sheets = map[string]layers.Region{}, map[string]float64{}
	var plates []layers.Plate
	for name, h := range s.Hosts {
		plates = append(plates, h.Plate)
		sheets[name] = h.Thickness()
	}
	for _, m := range w.Makes {
		plates = append(plates, m.Plate)
		material, err := s.Stock.Find(m.Plate.Material)
		if err != nil {
			for _, h := range s.Hosts {
				if h.Material.Name == m.Plate.Material {
					material = h.Material
				}
			}
		}
		sheets[m.Plate.Name] = material.Thickness.Mean
	}
	for _, p := range joints.Finish(plates, map[string]joints.Work{s.Name: w}) {
		outlines[p.Name] = p.Outline
	}
	return outlines, sheets
}

// zeros tests j with each of its fields at zero.
func (t *tester) zeros(j joints.Joint, s joints.Site) {
	v := reflect.Indirect(reflect.ValueOf(j))
	if v.Kind() != reflect.Struct {
		return
	}
	for i := range v.NumField() {
		field := v.Type().Field(i)
		if !field.IsExported() || v.Field(i).IsZero() {
			continue
		}
		zeroed := edited(j, func(c reflect.Value) { c.Field(i).SetZero() })
		if missing(zeroed, s) != "" || slices.Contains(zeroed.Ties(), "") {
			continue
		}
		t.context = fmt.Sprintf("site %q, %s at zero", s.Name, field.Name)
		t.realize(zeroed, s)
	}
}

// edited returns a copy of j after edit; j is a struct or a pointer to one.
func edited(j joints.Joint, edit func(reflect.Value)) joints.Joint {
	v := reflect.ValueOf(j)
	c := reflect.New(reflect.Indirect(v).Type())
	c.Elem().Set(reflect.Indirect(v))
	edit(c.Elem())
	if v.Kind() != reflect.Pointer {
		c = c.Elem()
	}
	return c.Interface().(joints.Joint)
}
