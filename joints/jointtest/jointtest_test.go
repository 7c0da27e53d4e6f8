package jointtest_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/joints/jointtest"
	"github.com/platewright/platewright/layers"
)

// faulty is a peg that breaks the promise its Fault names; without one it keeps
// them all.
type faulty struct {
	At    layers.Point
	Turn  layers.Degrees
	Fault string
}

var count int // makes faulty{Fault: "random"} differ from call to call

func (f faulty) Ties() []string { return []string{"back", "front"} }

func (f faulty) Realize(s joints.Site) joints.Work {
	at := f.At
	if f.Fault == "stays" {
		at = layers.Point{}
	}
	if f.Fault == "panics at zero" && f.Turn == 0 {
		panic("no turn")
	}
	w := joints.Peg{Through: f.Ties(), At: at, Turn: f.Turn}.Realize(s)
	slot := &w.Features[0]
	thick := s.Hosts["back"].Thickness()
	finding := layers.Finding{ID: "faulty", Severity: layers.Error, Cause: "it is meant to fail", Remedy: layers.Fix{Text: "mend it"}}
	switch f.Fault {
	case "random":
		count++
		w.Needs = []joints.Item{{Name: "screw", Count: count}}
	case "foreign plate":
		slot.Plate = "shelf"
	case "foreign mating":
		w.Matings[0].Insert = "shelf"
	case "mates with itself":
		w.Matings[0].Insert = w.Matings[0].Opening
	case "error with work":
		w.Findings = append(w.Findings, finding)
	case "half a finding":
		finding.Severity, finding.Cause = layers.Warning, ""
		w.Findings = append(w.Findings, finding)
	case "well measured":
		finding.Severity, finding.Measure = layers.Warning, &layers.Measure{Value: 1, Limit: 2}
		w.Findings = append(w.Findings, finding)
	case "wrong play":
		w.Matings[0].Gaps[0].Play += 0.001
	case "sold thickness":
		slot.Region = slot.Region.Offset(3-thick, layers.Mitre)
	case "probes material":
		w.Matings[0].Gaps[0].Opening.At.X += 20
	case "other name":
		w.Makes[0].Plate.Name = "dowel"
	case "empty":
		slot.Region = layers.Region{}
	case "body stays":
		w.Bodies = []joints.Body{{Name: "head", Radius: 1, To: 2}}
	case "invalid":
		slot.Region = layers.Invalid(errors.New("no shape"))
	}
	return w
}

func site() joints.Site {
	kerf := layers.Spread{Mean: 0.16}
	ply := layers.Material{Name: "ply", Kind: layers.Plywood, Thickness: layers.Spread{Mean: 3}, Kerf: layers.Kerf{X: kerf, Y: kerf}}
	panel := layers.Rectangle(80, 80)
	return jointtest.Stacked("peg", jointtest.Flat("back", ply, panel), jointtest.Flat("front", ply, panel))
}

func TestTestFindsEveryFault(t *testing.T) {
	for fault, want := range map[string]string{
		"random":            "gives two works",
		"foreign plate":     `names plate "shelf"`,
		"foreign mating":    `names plate "shelf"`,
		"mates with itself": "mates with itself",
		"error with work":   "comes with other work",
		"half a finding":    "lacks its id, cause or severity",
		"well measured":     "though it is good",
		"wrong play":        "but measures",
		"sold thickness":    "sheets 2.5 mm thick: the mating",
		"probes material":   "no opening at",
		"other name":        "not named after the joint",
		"empty":             "is empty",
		"invalid":           "no shape",
		"stays":             "did not move with it",
		"body stays":        "the body head did not move",
		"panics at zero":    "Turn at zero: Realize panics: no turn",
	} {
		err := jointtest.Test(faulty{At: layers.Point{X: 3, Y: 4}, Turn: 20, Fault: fault}, site())
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: want a complaint that says %q, got:\n%v", fault, want, err)
		}
	}
}

func TestTestPassesTheGood(t *testing.T) {
	good := faulty{At: layers.Point{X: 3, Y: 4}, Turn: 20}
	if err := jointtest.Test(good, site()); err != nil {
		t.Error(err)
	}
	if err := jointtest.Test(&good, site(), site()); err != nil {
		t.Error(err)
	}
}

func TestTestNeedsSites(t *testing.T) {
	if jointtest.Test(faulty{}) == nil {
		t.Error("no site passes")
	}
	s := site()
	delete(s.Hosts, "front")
	if err := jointtest.Test(faulty{}, s); err == nil || !strings.Contains(err.Error(), `lacks plate "front"`) {
		t.Errorf("a site without a tied plate: %v", err)
	}
}

// wanderer keeps its place in a field of its own kind and moves itself.
type wanderer struct{ X, Y float64 }

func (w wanderer) Ties() []string { return []string{"back", "front"} }

func (w wanderer) Realize(s joints.Site) joints.Work {
	return joints.Screw{Through: w.Ties(), At: layers.Point(w)}.Realize(s)
}

func (w wanderer) Moved(m jointtest.Move) joints.Joint {
	return wanderer(m.Point(layers.Point(w)))
}

func TestMover(t *testing.T) {
	if err := jointtest.Test(wanderer{12, 5}, site()); err != nil {
		t.Error(err)
	}
}

// Thick keeps layers on each other and uprights on what they stand on.
func TestThick(t *testing.T) {
	s := site()
	ply := s.Hosts["back"].Material
	up := jointtest.Standing("fin", ply, layers.Rectangle(10, 10), layers.Point{}, 0, 6)
	down := jointtest.Standing("keel", ply, layers.Rectangle(10, 10), layers.Point{}, 0, 0)
	s = jointtest.Stacked("peg", s.Hosts["back"], s.Hosts["front"], up, down)
	got := jointtest.Thick(s, 4)
	for name, want := range map[string][2]float64{"back": {0, 4}, "front": {4, 8}} {
		if h := got.Hosts[name]; h.Back() != want[0] || h.Front() != want[1] {
			t.Errorf("%s lies from %g to %g, want %v", name, h.Back(), h.Front(), want)
		}
	}
	for name, want := range map[string]float64{"fin": 8, "keel": 0} {
		if p := got.Hosts[name].Pose; p.Origin[2] != want || p.Back != -2 {
			t.Errorf("%s stands at %v, back %g, want height %g", name, p.Origin, p.Back, want)
		}
	}
	if m, _ := got.Stock.Find("ply"); m.Thickness.Mean != 4 {
		t.Errorf("the stock is %g mm thick", m.Thickness.Mean)
	}
	if s.Hosts["front"].Back() != 3 {
		t.Error("Thick changed the site it was given")
	}
}
