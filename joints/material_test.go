package joints_test

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
)

// sheet returns a material of round figures: 0.16 mm kerf, no spread.
func sheet(name string, kind layers.Kind, thickness float64) layers.Material {
	kerf := layers.Spread{Mean: 0.16}
	return layers.Material{
		Name: name, Kind: kind, Nominal: thickness,
		Thickness: layers.Spread{Mean: thickness},
		Kerf:      layers.Kerf{X: kerf, Y: kerf},
	}
}

// birch and acrylic are named after their thickness: "birch 3".
func birch(thickness float64) layers.Material {
	return sheet(fmt.Sprintf("birch %g", thickness), layers.Plywood, thickness)
}

func acrylic(thickness float64) layers.Material {
	return sheet(fmt.Sprintf("acrylic %g", thickness), layers.Acrylic, thickness)
}

// anySheet draws a sheet as it may come from a shop: 2.5 to 6.5 mm thick, kerf
// 0.08 to 0.45 mm, wood or acrylic, with or without spread.
func anySheet(name string) *rapid.Generator[layers.Material] {
	return rapid.Custom(func(t *rapid.T) layers.Material {
		m := sheet(name, rapid.SampledFrom([]layers.Kind{layers.Plywood, layers.MDF, layers.Acrylic}).Draw(t, "kind"), rapid.Float64Range(2.5, 6.5).Draw(t, "thickness"))
		kerf := layers.Spread{Mean: rapid.Float64Range(0.08, 0.45).Draw(t, "kerf"), SD: rapid.Float64Range(0, 0.02).Draw(t, "kerf sd")}
		m.Kerf.X, m.Kerf.Y = kerf, kerf
		m.Thickness.SD = rapid.Float64Range(0, 0.1).Draw(t, "thickness sd")
		return m
	})
}

func anyFit() *rapid.Generator[joints.Fit] {
	return rapid.Custom(func(t *rapid.T) joints.Fit {
		return joints.Fit{Class: rapid.SampledFrom([]joints.Class{joints.Snug, joints.Slide, joints.Press}).Draw(t, "fit")}
	})
}

// findings returns the ids of the work's findings, each with its severity.
func findings(w joints.Work) (out []string) {
	for _, f := range w.Findings {
		out = append(out, f.Severity.String()+" "+f.ID)
	}
	return out
}

// measured returns the measure of the only finding of that id.
func measured(t *testing.T, w joints.Work, id string) layers.Measure {
	t.Helper()
	var found []layers.Finding
	for _, f := range w.Findings {
		if f.ID == id {
			found = append(found, f)
		}
	}
	if len(found) != 1 || found[0].Measure == nil {
		t.Fatalf("want one measured %s, got:\n%s", id, w.Findings)
	}
	return *found[0].Measure
}

// near reports whether a and b are equal but for rounding.
func near(a, b float64) bool { return a-b < 1e-6 && b-a < 1e-6 }

// removed returns the region that the work cuts from a plate.
func removed(w joints.Work, plate string) (r layers.Region) {
	for _, f := range w.Features {
		if f.Plate == plate && f.Action == joints.Remove {
			r = r.Union(f.Region)
		}
	}
	return r
}
