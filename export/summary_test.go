package export

import (
	"bytes"
	"encoding/json"
	"io"
	"math"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
)

func kitValidator(t *testing.T) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(KitSchema()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("kit.schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("kit.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func kitFile(t *testing.T, k *assembly.Kit) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := (Summary{}).Encode(&b, k); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// crowded is a kit with findings, a joint that makes plates, and bought parts.
func crowded(t *testing.T) *assembly.Kit {
	p := pegged()
	p.Height = 10
	p.Joints["screw"] = joints.Screw{Through: []string{"back", "sea", "hill", "frame"}, Size: "M3", At: layers.Point{Y: 36}}
	return build(t, p)
}

func TestSummaryValid(t *testing.T) {
	schema := kitValidator(t)
	for _, k := range []*assembly.Kit{build(t, wallPiece()), build(t, deskPiece()), crowded(t)} {
		doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(kitFile(t, k)))
		if err != nil {
			t.Fatal(err)
		}
		if err := schema.Validate(doc); err != nil {
			t.Errorf("%s: %v", k.Name(), err)
		}
	}
}

// A schema that takes everything proves nothing.
func TestSummarySchemaRefuses(t *testing.T) {
	schema := kitValidator(t)
	good := string(kitFile(t, crowded(t)))
	for _, c := range []struct{ name, old, new string }{
		{"another format", Format, "platewright-kit/0"},
		{"another unit", `"length": "mm"`, `"length": "in"`},
		{"a missing list", `"joints": [`, `"joint": [`},
		{"a field too many", `"product":`, `"colour": 1, "product":`},
		{"a path with a curve", `"outline": "M `, `"outline": "C `},
		{"a negative height", `"height": `, `"height": -`},
		{"a severity of its own", `"severity": "error"`, `"severity": "fatal"`},
		{"a count of none", `"count": 1`, `"count": 0`},
	} {
		bad := strings.Replace(good, c.old, c.new, 1)
		if bad == good {
			t.Errorf("%s: %q is not in the document", c.name, c.old)
			continue
		}
		doc, err := jsonschema.UnmarshalJSON(strings.NewReader(bad))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if schema.Validate(doc) == nil {
			t.Errorf("%s: is taken", c.name)
		}
	}
}

// The figures of the file are those of the kit, and an outline reads back as
// the plate's, without a flip.
func TestSummaryFigures(t *testing.T) {
	k := crowded(t)
	var got struct {
		Product string
		Height  float64
		Mass    float64
		Plates  []struct {
			Name, Outline string
			Layer         *int
			Area, Mass    float64
			Heights       struct{ From, To float64 }
			Bounds        struct{ Min, Max [2]float64 }
		}
		Joints []struct {
			Name    string
			Plates  []string
			Makes   []string
			Matings []struct {
				Gaps []struct{ Play float64 }
			}
		}
		Findings []struct {
			ID, Severity, Remedy string
			Measure              *struct{ Value, Limit, Margin float64 }
		}
		Bill struct {
			Sheets []struct {
				Material string
				Parts    []string
				Area     float64
				Cut      float64 `json:"cut-length"`
			}
			Bought []struct {
				Name  string
				Count int
			}
		}
	}
	if err := json.Unmarshal(kitFile(t, k), &got); err != nil {
		t.Fatal(err)
	}
	near := func(what string, a, b float64) {
		t.Helper()
		if math.Abs(a-b) > 1e-5*max(1, math.Abs(b)) {
			t.Errorf("%s: %g, want %g", what, a, b)
		}
	}
	near("height", got.Height, k.Height())
	near("mass", got.Mass, k.Mass())
	area, parts := 0.0, 0
	for _, p := range got.Plates {
		want, ok := k.Plate(p.Name)
		if !ok {
			t.Fatalf("no plate %q in the kit", p.Name)
		}
		near(p.Name+" area", p.Area, want.Outline.Area())
		near(p.Name+" mass", p.Mass, want.Mass())
		read := layers.PathData(p.Outline)
		if err := read.Err(); err != nil {
			t.Errorf("%s: %v", p.Name, err)
		}
		if d := apart(read, want.Outline); !(d < 0.001) {
			t.Errorf("%s: the outline is written %.4f mm off", p.Name, d)
		}
		if (p.Layer == nil) != (want.Layer < 0) {
			t.Errorf("%s: layer %v, want %d", p.Name, p.Layer, want.Layer)
		}
		if p.Name == "sea" {
			near("back of the sea", p.Heights.From, 3)
			near("front of the sea", p.Heights.To, 6)
		}
		area += p.Area
	}
	for _, s := range got.Bill.Sheets {
		area -= s.Area
		parts += len(s.Parts)
		if s.Cut <= 0 {
			t.Errorf("%s: cut length %g", s.Material, s.Cut)
		}
	}
	near("area that no sheet gives", area, 0)
	if parts != len(got.Plates) {
		t.Errorf("%d of %d plates are on the bill", parts, len(got.Plates))
	}
	if len(got.Bill.Bought) == 0 {
		t.Error("the screw and its nut are not on the bill")
	}
	if len(got.Findings) != len(k.Findings()) {
		t.Errorf("%d findings, want %d", len(got.Findings), len(k.Findings()))
	}
	for i, f := range k.Findings() {
		if m := got.Findings[i].Measure; f.Measure != nil && m != nil {
			near(f.ID, m.Margin, f.Measure.Margin())
		}
	}
}

func TestSummaryRefusesNoNumbers(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if err := EncodeFindings(io.Discard, layers.Findings{{ID: "x", Severity: layers.Note, Measure: &layers.Measure{Value: v}}}); err == nil {
			t.Errorf("%v is written", v)
		}
	}
	if err := EncodeFindings(io.Discard, layers.Findings{{ID: "x"}}); err == nil {
		t.Error("a finding without severity is written")
	}
	var b bytes.Buffer
	if err := EncodeFindings(&b, nil); err != nil || strings.TrimSpace(b.String()) != "[]" {
		t.Errorf("no findings: %q, %v", b.String(), err)
	}
}
