package joints_test

import (
	"math"
	"testing"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
)

func TestFitPlay(t *testing.T) {
	spread := birch(3)
	spread.Thickness.SD = 0.04
	spread.Kerf.X.SD = 0.03
	spread.Kerf.Y.SD = 0.03
	exact := joints.Fit{Class: joints.Press, Exact: &joints.Play{Along: 0.3, Across: -0.2}}
	tests := []struct {
		name            string
		fit             joints.Fit
		insert, opening layers.Material
		along, across   float64
	}{
		{"snug is the zero value", joints.Fit{}, birch(3), birch(3), 0.04, 0.05},
		{"slide", joints.Fit{Class: joints.Slide}, birch(3), birch(3), 0.18, 0.22},
		{"press", joints.Fit{Class: joints.Press}, birch(3), birch(3), -0.05, -0.05},
		{"press in acrylic", joints.Fit{Class: joints.Press}, birch(3), acrylic(3), 0, 0},
		{"press of acrylic", joints.Fit{Class: joints.Press}, acrylic(3), birch(3), 0, 0},
		{"exact, even in acrylic", exact, acrylic(3), acrylic(3), 0.3, -0.2},
		{"snug with spread", joints.Fit{}, spread, spread, 0.04 + math.Sqrt2*0.03, 0.05 + 0.05},
		{"slide with spread", joints.Fit{Class: joints.Slide}, spread, spread, 0.18 + 3*math.Sqrt2*0.03, 0.22 + 3*0.05},
		{"press with spread", joints.Fit{Class: joints.Press}, spread, spread, -0.05, -0.05},
	}
	for _, tt := range tests {
		if p := tt.fit.Play(tt.insert, tt.opening); !near(p.Along, tt.along) || !near(p.Across, tt.across) {
			t.Errorf("%s: got %+v, want %g and %g", tt.name, p, tt.along, tt.across)
		}
	}
}

func TestClassText(t *testing.T) {
	for _, want := range []joints.Class{joints.Snug, joints.Slide, joints.Press} {
		text, err := want.MarshalText()
		if err != nil {
			t.Fatal(err)
		}
		var got joints.Class
		if err := got.UnmarshalText(text); err != nil || got != want {
			t.Errorf("%v was read as %v, %v", want, got, err)
		}
	}
	var c joints.Class
	if err := c.UnmarshalText([]byte("tight")); err == nil || err.Error() != `fit "tight" is none of snug, slide, press` {
		t.Errorf("tight: %v", err)
	}
	if _, err := joints.Class(7).MarshalText(); err == nil {
		t.Error("an unknown class was written")
	}
}
