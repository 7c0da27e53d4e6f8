package kernel

import (
	"cmp"
	"math"
	"slices"
)

// fan is the number of children of a node of an index.
const fan = 8

// index is a packed tree of boxes (sort-tile-recursive: Leutenegger, Lopez and
// Edgington, ICDE 1997). It is deterministic and never changes.
type index struct {
	item   []int32 // items in leaf order
	levels [][]Box // levels[0] are the items' boxes in leaf order
}

// newIndex builds an index over boxes; item i is boxes[i].
func newIndex(boxes []Box) *index {
	n := len(boxes)
	t := &index{item: make([]int32, n)}
	for i := range t.item {
		t.item[i] = int32(i)
	}
	if n > fan {
		x := func(i int32) float64 { return boxes[i].Min.X + boxes[i].Max.X }
		y := func(i int32) float64 { return boxes[i].Min.Y + boxes[i].Max.Y }
		slices.SortFunc(t.item, func(i, j int32) int {
			return cmp.Or(cmp.Compare(x(i), x(j)), cmp.Compare(i, j))
		})
		leaves := (n + fan - 1) / fan
		slice := int(math.Ceil(math.Sqrt(float64(leaves)))) * fan
		for lo := 0; lo < n; lo += slice {
			slices.SortFunc(t.item[lo:min(lo+slice, n)], func(i, j int32) int {
				return cmp.Or(cmp.Compare(y(i), y(j)), cmp.Compare(i, j))
			})
		}
	}
	level := make([]Box, n)
	for i, k := range t.item {
		level[i] = boxes[k]
	}
	t.levels = append(t.levels, level)
	for len(level) > 1 {
		up := make([]Box, (len(level)+fan-1)/fan)
		for i := range up {
			b := EmptyBox()
			for _, c := range level[i*fan : min(i*fan+fan, len(level))] {
				b = b.join(c)
			}
			up[i] = b
		}
		t.levels = append(t.levels, up)
		level = up
	}
	return t
}

// each calls f for every item whose box meets b, until f returns false.
func (t *index) each(b Box, f func(i int) bool) {
	if len(t.item) > 0 {
		t.walk(len(t.levels)-1, 0, b, f)
	}
}

func (t *index) walk(level, i int, b Box, f func(i int) bool) bool {
	if !t.levels[level][i].meets(b) {
		return true
	}
	if level == 0 {
		return f(int(t.item[i]))
	}
	for k := i * fan; k < min(i*fan+fan, len(t.levels[level-1])); k++ {
		if !t.walk(level-1, k, b, f) {
			return false
		}
	}
	return true
}

// near calls f for items in roughly rising distance of their box from b, as
// long as that distance is below the bound that f last returned.
func (t *index) near(b Box, bound float64, f func(i int) (bound float64)) {
	if len(t.item) > 0 {
		t.nearWalk(len(t.levels)-1, 0, b, &bound, f)
	}
}

func (t *index) nearWalk(level, i int, b Box, bound *float64, f func(i int) float64) {
	if level == 0 {
		*bound = f(int(t.item[i]))
		return
	}
	var kid [fan]int
	var dist [fan]float64
	n := 0
	for k := i * fan; k < min(i*fan+fan, len(t.levels[level-1])); k++ {
		d := t.levels[level-1][k].dist(b)
		if d >= *bound {
			continue
		}
		j := n
		for ; j > 0 && dist[j-1] > d; j-- {
			kid[j], dist[j] = kid[j-1], dist[j-1]
		}
		kid[j], dist[j] = k, d
		n++
	}
	for j := range n {
		if dist[j] < *bound {
			t.nearWalk(level-1, kid[j], b, bound, f)
		}
	}
}
