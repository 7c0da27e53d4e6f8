package assembly

import (
	"iter"
	"maps"
	"slices"

	"github.com/go-gl/mathgl/mgl64"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
)

// Placed is a finished plate at its place in the kit.
type Placed struct {
	layers.Plate                 // Outline and Marks as finished, with every joint's work
	Stock        layers.Material // what it is cut from
	Pose         layers.Pose
	Layer        int    // 0 is the back one; -1 for uprights and for what joints make
	Joint        string // the joint that made it; "" for a declared plate
	Spare        bool   // an insert that waits while another sits in its seat
}

// Mass returns the plate's mass in g, at the measured thickness.
func (p Placed) Mass() float64 { return p.Stock.Mass(p.Outline.Area()) }

// Kit is a built product: immutable, and safe for any number of concurrent
// readers. What it returns may be changed without changing the kit.
type Kit struct {
	name     string
	solids   []solid        // back to front, then by name
	index    map[string]int // of solids
	joints   map[string]joints.Joint
	works    works
	findings layers.Findings
	height   float64
	column   Column
	limit    float64 // declared height; 0: none

	// For the checks.
	tree   tree            // of the solids' boxes
	strata [][]int         // the solids of each layer
	lies   map[[2]int]bool // whether one solid lies over another; nil but in Build
	mated  map[pair][]joints.Mating
	turns  map[string]string // the seat whose inserts take turns, by insert
	faulty map[string]bool   // joints of which an error was found before the checks
}

// solid is a placed plate with what the checks need of it.
type solid struct {
	Placed
	box  box    // in stack coordinates
	lost []loss // of its marks
}

// middle returns where a place in the plate's plane lands, at half thickness.
func (s solid) middle(at layers.Point) mgl64.Vec3 {
	return s.Pose.World(at, s.Pose.Back+s.Stock.Thickness.Mean/2)
}

// works is the work of each joint, by the joint's name.
type works map[string]joints.Work

// sorted yields the works by the joint's name.
func (ws works) sorted() iter.Seq2[string, joints.Work] {
	return func(yield func(string, joints.Work) bool) {
		for _, name := range slices.Sorted(maps.Keys(ws)) {
			if !yield(name, ws[name]) {
				return
			}
		}
	}
}

// Name returns the product's name.
func (k *Kit) Name() string { return k.name }

// Height returns how high the stack stands, from the back of its back layer to
// the front of its front one, mm. Uprights do not count.
func (k *Kit) Height() float64 { return k.height }

// Plates yields every plate, spare inserts and those that joints make included,
// by the height of their lowest point, then by name.
func (k *Kit) Plates() iter.Seq[Placed] {
	return func(yield func(Placed) bool) {
		for _, s := range k.solids {
			if !yield(s.copy()) {
				return
			}
		}
	}
}

// Plate returns the plate of that name.
func (k *Kit) Plate(name string) (Placed, bool) {
	i, ok := k.index[name]
	if !ok {
		return Placed{}, false
	}
	return k.solids[i].copy(), true
}

func (s solid) copy() Placed {
	p := s.Placed
	p.Marks = slices.Clone(p.Marks)
	return p
}

// Works yields what each joint asked for, by the joint's name.
func (k *Kit) Works() iter.Seq2[string, joints.Work] {
	return func(yield func(string, joints.Work) bool) {
		for name, w := range k.works.sorted() {
			w.Features = slices.Clone(w.Features)
			w.Matings = slices.Clone(w.Matings)
			for i := range w.Matings {
				w.Matings[i].Gaps = slices.Clone(w.Matings[i].Gaps)
			}
			w.Makes = slices.Clone(w.Makes)
			w.Springs = slices.Clone(w.Springs)
			w.Needs = slices.Clone(w.Needs)
			w.Bodies = slices.Clone(w.Bodies)
			w.Swaps = slices.Clone(w.Swaps)
			for i := range w.Swaps {
				w.Swaps[i] = slices.Clone(w.Swaps[i])
			}
			w.Findings = slices.Clone(w.Findings)
			if !yield(name, w) {
				return
			}
		}
	}
}

// Joint returns the joint of that name as it was declared.
func (k *Kit) Joint(name string) (joints.Joint, bool) {
	j, ok := k.joints[name]
	return j, ok
}

// Materials yields the materials that the plates are cut from, by name.
func (k *Kit) Materials() iter.Seq[layers.Material] {
	var used []layers.Material
	for _, s := range k.solids {
		used = append(used, s.Stock)
	}
	return layers.Library{}.With(used...).All()
}

// Bought returns the parts that the joints need and no sheet gives, summed by
// name and sorted.
func (k *Kit) Bought() []joints.Item {
	count := map[string]int{}
	for _, w := range k.works {
		for _, item := range w.Needs {
			count[item.Name] += item.Count
		}
	}
	var out []joints.Item
	for _, name := range slices.Sorted(maps.Keys(count)) {
		out = append(out, joints.Item{Name: name, Count: count[name]})
	}
	return out
}

// Mass returns the mass of all plates, spare inserts included, in g.
func (k *Kit) Mass() float64 {
	var sum float64
	for _, s := range k.solids {
		sum += s.Mass()
	}
	return sum
}

// Findings returns what joints and checks found, worst first.
func (k *Kit) Findings() layers.Findings { return slices.Clone(k.findings) }

// Err returns nil where no finding is an Error, else a
// [*layers.FindingsError] with all of them.
func (k *Kit) Err() error { return k.findings.Err() }
