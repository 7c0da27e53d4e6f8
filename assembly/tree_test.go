package assembly

import (
	"slices"
	"testing"

	"github.com/go-gl/mathgl/mgl64"
	"pgregory.net/rapid"
)

// The tree finds what looking at every box finds.
func TestTree(t *testing.T) {
	coordinate := rapid.Float64Range(-10, 10)
	boxes := rapid.Custom(func(t *rapid.T) box {
		var b box
		for i := range 3 {
			b.min[i] = coordinate.Draw(t, "min")
			b.max[i] = b.min[i] + rapid.Float64Range(0, 5).Draw(t, "size")
		}
		return b
	})
	rapid.Check(t, func(t *rapid.T) {
		all := rapid.SliceOfN(boxes, 0, 60).Draw(t, "boxes")
		b := boxes.Draw(t, "box")
		d := rapid.Float64Range(0, 1).Draw(t, "d")
		var want []int
		for i, c := range all {
			if c.meets(b, d) {
				want = append(want, i)
			}
		}
		got := slices.Sorted(treeOf(all).meeting(b, d))
		if !slices.Equal(got, want) {
			t.Errorf("got %v, want %v", got, want)
		}
	})
	for range (tree{}).meeting(box{mgl64.Vec3{}, mgl64.Vec3{1, 1, 1}}, 0) {
		t.Error("the zero tree is not empty")
	}
}
