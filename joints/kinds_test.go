package joints_test

import (
	"testing"

	"github.com/platewright/platewright/joints"
)

func TestKindOf(t *testing.T) {
	for _, k := range joints.Kinds() {
		if got := joints.KindOf(k.New()); got != k.Name {
			t.Errorf("KindOf(%T) = %q, want %q", k.New(), got, k.Name)
		}
	}
	if got := joints.KindOf(joints.Peg{Width: 9}); got != "peg" {
		t.Errorf("KindOf(Peg value) = %q, want peg", got)
	}
	if got := joints.KindOf(struct{ joints.Joint }{}); got != "" {
		t.Errorf("KindOf of a kind of the test's own = %q, want none", got)
	}
}
