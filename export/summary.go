package export

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"path"
	"path/filepath"
	"slices"

	"github.com/go-gl/mathgl/mgl64"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/export/internal/svg"
	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
)

// Summary writes kit.json: all of a kit that another program may ask for, in
// the form that [KitSchema] describes. Outlines are finished sizes.
type Summary struct{}

// Format names the form of kit.json. A change that a reader would have to know
// of gives it another number.
const Format = "platewright-kit/1"

//go:embed kit.schema.json
var kitSchema []byte

// KitSchema returns the JSON Schema (draft 2020-12) of what [Summary] writes.
func KitSchema() []byte { return slices.Clone(kitSchema) }

// Files returns kit.json.
func (s Summary) Files(k *assembly.Kit) []File {
	return []File{{"kit.json", func(w io.Writer) error { return s.Encode(w, k) }}}
}

// Encode writes the kit.
func (Summary) Encode(w io.Writer, k *assembly.Kit) error {
	for p := range k.Plates() {
		if err := p.Outline.Err(); err != nil {
			return fmt.Errorf("plate %q: %w", p.Name, err)
		}
	}
	return encodeJSON(w, kitJSON(k))
}

func encodeJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(v)
}

// number is a figure rounded to a millionth. NaN and infinities cannot be
// written.
type number float64

func (n number) MarshalJSON() ([]byte, error) {
	v := math.Round(float64(n)*1e6)/1e6 + 0 // never -0
	return json.Marshal(v)
}

type pair [2]number

func pairOf(p layers.Point) pair { return pair{number(p.X), number(p.Y)} }

type triple [3]number

func tripleOf(v mgl64.Vec3) triple { return triple{number(v[0]), number(v[1]), number(v[2])} }

type jsonKit struct {
	Format    string         `json:"format"`
	Product   string         `json:"product"`
	Units     jsonUnits      `json:"units"`
	Axes      string         `json:"axes"`
	Height    number         `json:"height"`
	Mass      number         `json:"mass"`
	Materials []jsonMaterial `json:"materials"`
	Plates    []jsonPlate    `json:"plates"`
	Joints    []jsonJoint    `json:"joints"`
	Findings  []jsonFinding  `json:"findings"`
	Bill      jsonBill       `json:"bill"`
}

type jsonUnits struct {
	Length string `json:"length"`
	Area   string `json:"area"`
	Mass   string `json:"mass"`
	Force  string `json:"force"`
	Angle  string `json:"angle"`
	Strain string `json:"strain"`
}

type jsonSpread struct {
	Mean number `json:"mean"`
	SD   number `json:"sd"`
}

type jsonMaterial struct {
	Name      string     `json:"name"`
	Kind      string     `json:"kind"`
	Nominal   number     `json:"nominal"`
	Thickness jsonSpread `json:"thickness"`
	Kerf      jsonKerf   `json:"kerf"`
	Density   number     `json:"density"`
}

type jsonKerf struct {
	X        jsonSpread `json:"x"`
	Y        jsonSpread `json:"y"`
	Measured string     `json:"measured,omitempty"`
	At       string     `json:"at,omitempty"`
}

type jsonPlate struct {
	Name      string     `json:"name"`
	Material  string     `json:"material"`
	Layer     *int       `json:"layer"` // null: stands upright, or a joint made it
	Joint     string     `json:"joint,omitempty"`
	Spare     bool       `json:"spare"`
	Heights   jsonSpan   `json:"heights"`
	Pose      jsonPose   `json:"pose"`
	Outline   string     `json:"outline"`
	Bounds    jsonBounds `json:"bounds"`
	Centroid  pair       `json:"centroid"`
	Thickness number     `json:"thickness"`
	Area      number     `json:"area"`
	Mass      number     `json:"mass"`
	Marks     []jsonMark `json:"marks"`
}

type jsonSpan struct {
	From number `json:"from"`
	To   number `json:"to"`
}

type jsonPose struct {
	Origin triple `json:"origin"`
	X      triple `json:"x"`
	Y      triple `json:"y"`
	Back   number `json:"back"`
}

type jsonBounds struct {
	Min pair `json:"min"`
	Max pair `json:"max"`
}

type jsonMark struct {
	Operation string `json:"operation"`
	Path      string `json:"path"`
}

type jsonJoint struct {
	Name    string       `json:"name"`
	Kind    string       `json:"kind,omitempty"` // absent: a kind of the program's own
	Ties    []string     `json:"ties"`
	Makes   []string     `json:"makes"`
	Matings []jsonMating `json:"matings"`
	Springs []jsonSpring `json:"springs"`
	Swaps   [][]string   `json:"swaps"`
}

type jsonMating struct {
	Insert  string    `json:"insert"`
	Opening string    `json:"opening"`
	Gaps    []jsonGap `json:"gaps"`
}

type jsonGap struct {
	Name string `json:"name"`
	Play number `json:"play"`
}

type jsonSpring struct {
	Plate      string  `json:"plate"`
	Form       string  `json:"form"`
	Length     number  `json:"length"`
	Deflection number  `json:"deflection"`
	Strain     number  `json:"strain"`
	Limit      *number `json:"limit,omitempty"`
	Force      *number `json:"force,omitempty"`
	Grip       number  `json:"grip"`
	Held       number  `json:"held"`
}

type jsonFinding struct {
	ID       string            `json:"id"`
	Severity layers.Severity   `json:"severity"`
	Subject  layers.Subject    `json:"subject"`
	Related  []layers.Subject  `json:"related,omitempty"`
	At       triple            `json:"at"`
	Measure  *jsonMeasure      `json:"measure,omitempty"`
	Cause    string            `json:"cause"`
	Remedy   string            `json:"remedy,omitempty"`
	Set      map[string]number `json:"set,omitempty"`
	Source   *layers.Source    `json:"source,omitempty"`
}

type jsonMeasure struct {
	Value  number `json:"value"`
	Limit  number `json:"limit"`
	Sense  string `json:"sense"`
	Margin number `json:"margin"`
	Unit   string `json:"unit"`
}

type jsonBill struct {
	Sheets []jsonBillSheet `json:"sheets"`
	Bought []jsonBought    `json:"bought"`
}

type jsonBillSheet struct {
	Material  string   `json:"material"`
	Parts     []string `json:"parts"`
	Area      number   `json:"area"`
	Mass      number   `json:"mass"`
	CutLength number   `json:"cut-length"`
}

type jsonBought struct {
	Name  string `json:"name"`
	Count int    `json:"count"`
}

func kitJSON(k *assembly.Kit) jsonKit {
	out := jsonKit{
		Format:  Format,
		Product: k.Name(),
		Units:   jsonUnits{"mm", "mm²", "g", "N", "degree", "fraction of length"},
		Axes: "x right, y up, z from the back of the stack to its front; outlines, marks, bounds and centroids lie in the plate's own plane, " +
			"x right and y up, so their path data must be flipped (scale(1 -1)) to stand upright in an SVG",
		Height:    number(k.Height()),
		Materials: []jsonMaterial{},
		Plates:    []jsonPlate{},
		Joints:    []jsonJoint{},
		Findings:  findingsJSON(k.Findings()),
		Bill:      jsonBill{Sheets: []jsonBillSheet{}, Bought: []jsonBought{}},
	}
	for p := range k.Plates() {
		out.Plates = append(out.Plates, plateJSON(p))
		out.Mass += number(p.Mass())
	}
	for m := range k.Materials() {
		out.Materials = append(out.Materials, jsonMaterial{
			Name: m.Name, Kind: string(m.Kind), Nominal: number(m.Nominal), Thickness: spreadJSON(m.Thickness),
			Kerf:    jsonKerf{spreadJSON(m.Kerf.X), spreadJSON(m.Kerf.Y), m.Kerf.Date, m.Kerf.At},
			Density: number(m.Density),
		})
		sheet := jsonBillSheet{Material: m.Name, Parts: []string{}}
		for p := range k.Plates() {
			if p.Material == m.Name {
				sheet.Parts = append(sheet.Parts, p.Name)
				sheet.Area += number(p.Outline.Area())
				sheet.Mass += number(p.Mass())
				sheet.CutLength += number(p.Outline.Perimeter())
			}
		}
		slices.Sort(sheet.Parts)
		out.Bill.Sheets = append(out.Bill.Sheets, sheet)
	}
	for name, w := range k.Works() {
		j, _ := k.Joint(name)
		out.Joints = append(out.Joints, jointJSON(name, j, w))
	}
	for _, item := range k.Bought() {
		out.Bill.Bought = append(out.Bill.Bought, jsonBought{item.Name, item.Count})
	}
	return out
}

func plateJSON(p assembly.Placed) jsonPlate {
	box, heights := p.Outline.Bounds(), extent([]assembly.Placed{p})
	up := svg.Place{Up: true}
	out := jsonPlate{
		Name:      p.Name,
		Material:  p.Material,
		Joint:     p.Joint,
		Spare:     p.Spare,
		Heights:   jsonSpan{number(heights[0][2]), number(heights[1][2])},
		Pose:      jsonPose{tripleOf(p.Pose.Origin), tripleOf(p.Pose.X), tripleOf(p.Pose.Y), number(p.Pose.Back)},
		Outline:   up.Path(slices.Collect(p.Outline.Contours())...),
		Bounds:    jsonBounds{pairOf(box.Min), pairOf(box.Max)},
		Centroid:  pairOf(p.Outline.Centroid()),
		Thickness: number(thick(p)),
		Area:      number(p.Outline.Area()),
		Mass:      number(p.Mass()),
		Marks:     []jsonMark{},
	}
	if p.Layer >= 0 {
		out.Layer = &p.Layer
	}
	for _, m := range p.Marks {
		path := up.Lines(m.Lines...)
		if m.Operation == layers.Engrave {
			path = up.Path(slices.Collect(m.Area.Contours())...)
		}
		out.Marks = append(out.Marks, jsonMark{m.Operation.String(), path})
	}
	return out
}

func jointJSON(name string, j joints.Joint, w joints.Work) jsonJoint {
	out := jsonJoint{Name: name, Kind: joints.KindOf(j), Ties: slices.Clone(j.Ties()), Makes: []string{}, Matings: []jsonMating{}, Springs: []jsonSpring{}, Swaps: [][]string{}}
	for _, m := range w.Matings {
		mating := jsonMating{m.Insert, m.Opening, []jsonGap{}}
		for _, g := range m.Gaps {
			mating.Gaps = append(mating.Gaps, jsonGap{g.Name, number(g.Play)})
		}
		out.Matings = append(out.Matings, mating)
	}
	for _, m := range w.Makes {
		out.Makes = append(out.Makes, m.Plate.Name)
	}
	for _, s := range w.Springs {
		spring := jsonSpring{
			Plate: s.Plate, Form: s.Form, Length: number(s.Length), Deflection: number(s.Deflection),
			Strain: number(s.Strain), Grip: number(s.Grip), Held: number(s.Held),
			Limit: known(s.Limit), Force: known(s.Force),
		}
		out.Springs = append(out.Springs, spring)
	}
	for _, s := range w.Swaps {
		out.Swaps = append(out.Swaps, slices.Clone(s))
	}
	return out
}

// known returns nil for a figure that is 0 because nobody knows it.
func known(v float64) *number {
	if v == 0 {
		return nil
	}
	n := number(v)
	return &n
}

func spreadJSON(s layers.Spread) jsonSpread { return jsonSpread{number(s.Mean), number(s.SD)} }

// EncodeFindings writes findings as a JSON array, in the form in which kit.json
// holds them.
func EncodeFindings(w io.Writer, fs layers.Findings) error { return encodeJSON(w, findingsJSON(fs)) }

func findingsJSON(fs layers.Findings) []jsonFinding {
	out := []jsonFinding{}
	for _, f := range fs {
		j := jsonFinding{
			ID: f.ID, Severity: f.Severity, Subject: f.Subject, Related: f.Related, At: tripleOf(f.At),
			Cause: f.Cause, Remedy: f.Remedy.Text,
		}
		if m := f.Measure; m != nil {
			sense := "at-most"
			if m.Sense == layers.AtLeast {
				sense = "at-least"
			}
			j.Measure = &jsonMeasure{number(m.Value), number(m.Limit), sense, number(m.Margin()), m.Unit}
		}
		for name, v := range f.Remedy.Set {
			if j.Set == nil {
				j.Set = map[string]number{}
			}
			j.Set[name] = number(v)
		}
		if f.Source != (layers.Source{}) {
			at := f.Source // its file without the folder, so that a kit does not depend on where it was built
			at.File = path.Base(filepath.ToSlash(at.File))
			j.Source = &at
		}
		out = append(out, j)
	}
	return out
}
