package joints_test

import (
	"slices"
	"testing"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/joints/jointtest"
	"github.com/platewright/platewright/layers"
)

func TestHangingSlotPromises(t *testing.T) {
	for _, j := range []joints.Joint{
		joints.HangingSlot{In: "back"},
		&joints.HangingSlot{In: "back", Room: []string{"middle", "front"}, At: layers.Point{X: 20, Y: -5}, Turn: 30, Screw: "4"},
		joints.HangingSlot{In: "middle", Room: []string{"back"}},
	} {
		if err := jointtest.Test(j, three("hook", birch(3), acrylic(4), birch(3))); err != nil {
			t.Errorf("%+v:\n%v", j, err)
		}
	}
}

// The slot follows the screw's limits in mm (ary.com/Info/WoodScrewSizes.html:
// heads up to 0.279, 0.332 and 0.385 in, threads up to 0.142, 0.168 and 0.194
// in, rounded to tenths of a millimetre).
func TestHangingSlotSizes(t *testing.T) {
	for _, tt := range []struct {
		screw               string
		entry, slot, travel float64
	}{
		{"#6", 8.1, 4.1, 7.05},
		{"#8", 9.4, 4.8, 7.7},
		{"#10", 10.8, 5.4, 8.4},
		{"3.5", 8, 4, 7},
		{"4", 9, 4.5, 7.5},
		{"4.5", 10, 5, 8},
		{"", 9.4, 4.8, 7.7},
	} {
		w := joints.HangingSlot{In: "back", Room: []string{"middle"}, Screw: tt.screw}.Realize(three("h", birch(3), birch(4), birch(3)))
		slot, pocket := removed(w, "back"), removed(w, "middle")
		across := slot.Along(layers.Point{}, 0)
		entry := slot.Along(layers.Point{Y: -tt.travel}, 0)
		if len(across) != 1 || !near(across[0].Len(), tt.slot) || len(entry) != 1 || !near(entry[0].Len(), tt.entry) {
			t.Errorf("%q: slot %v, entry %v, want %g and %g", tt.screw, across, entry, tt.slot, tt.entry)
		}
		if b := slot.Bounds(); !near(b.Max.Y, tt.slot/2) || !near(b.Min.Y, -tt.travel-tt.entry/2) {
			t.Errorf("%q: the slot reaches from %g to %g", tt.screw, b.Min.Y, b.Max.Y)
		}
		if b := pocket.Bounds(); !near(b.Max.Y, tt.entry/2) || !near(b.Min.Y, -tt.travel-tt.entry/2) || !near(b.Width(), tt.entry) {
			t.Errorf("%q: the pocket is %v", tt.screw, b)
		}
	}
}

// A slot that carries the whole piece keeps farther from the edge than others.
func TestHangingSlotShoulder(t *testing.T) {
	w := joints.HangingSlot{In: "back", Room: []string{"middle"}}.Realize(three("h", birch(3), birch(4), birch(3)))
	for _, f := range w.Features {
		if want := map[string]float64{"back": 4.8, "middle": 2}[f.Plate]; f.Margin != want {
			t.Errorf("the margin of the %s is %g, want %g", f.Name, f.Margin, want)
		}
	}
}

func TestHangingSlotFindings(t *testing.T) {
	for _, tt := range []struct {
		name         string
		joint        joints.HangingSlot
		mm           float64
		want         []string
		value, limit float64
	}{
		{"well", joints.HangingSlot{In: "back", Room: []string{"middle"}, Screw: "4"}, 3, nil, 0, 0},
		{"two plates deep", joints.HangingSlot{In: "back", Room: []string{"front", "middle"}, Screw: "#10"}, 2.7, nil, 0, 0},
		{"shallow", joints.HangingSlot{In: "back", Room: []string{"middle"}, Screw: "4"}, 2.7, []string{"warning hang-shallow"}, 2.7, 2.8},
		{"little land", joints.HangingSlot{In: "back", Room: []string{"middle"}, Screw: "#6"}, 3, []string{"warning hang-land"}, 1.05, 1.2},
		{"no room", joints.HangingSlot{In: "back"}, 3, []string{"note hang-room"}, 0, 0},
		{"behind", joints.HangingSlot{In: "middle", Room: []string{"back"}, Screw: "3.5"}, 3, []string{"error hang-order"}, 0, 0},
		{"unknown screw", joints.HangingSlot{In: "back", Screw: "#9"}, 3, []string{"error hang-screw"}, 0, 0},
		{"named twice", joints.HangingSlot{In: "back", Room: []string{"back"}}, 3, []string{"error joint-names"}, 0, 0},
	} {
		w := tt.joint.Realize(three("h", birch(tt.mm), birch(tt.mm), birch(tt.mm)))
		if got := findings(w); !slices.Equal(got, tt.want) {
			t.Errorf("%s: got %v, want %v", tt.name, got, tt.want)
			continue
		}
		if tt.limit == 0 && tt.value == 0 {
			continue
		}
		if m := w.Findings[0].Measure; m == nil || !near(m.Value, tt.value) || m.Limit != tt.limit {
			t.Errorf("%s: measured %v, want %g against %g", tt.name, m, tt.value, tt.limit)
		}
	}
}
