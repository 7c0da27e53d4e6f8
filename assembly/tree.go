package assembly

import (
	"cmp"
	"iter"
	"slices"
)

// tree finds the boxes that meet a given one without looking at all of them.
// The zero tree is empty.
type tree struct{ nodes []node }

// node covers the nodes right behind it up to next; a leaf covers one item.
type node struct {
	box  box
	next int // the first node that is not part of this one
	item int // -1 for a node with children
}

// treeOf returns a tree of the boxes; what it yields are indices into them.
func treeOf(boxes []box) tree {
	items := make([]int, len(boxes))
	for i := range items {
		items[i] = i
	}
	t := tree{make([]node, 0, 2*len(boxes))}
	t.grow(boxes, items)
	return t
}

// grow appends the node that covers the items, halving them along the longest
// side of their box.
func (t *tree) grow(boxes []box, items []int) {
	if len(items) == 0 {
		return
	}
	all := boxes[items[0]]
	for _, i := range items[1:] {
		all = all.union(boxes[i])
	}
	at := len(t.nodes)
	t.nodes = append(t.nodes, node{box: all, item: -1})
	if len(items) == 1 {
		t.nodes[at].item = items[0]
	} else {
		axis := 0
		for i := range 3 {
			if all.max[i]-all.min[i] > all.max[axis]-all.min[axis] {
				axis = i
			}
		}
		slices.SortFunc(items, func(a, b int) int {
			return cmp.Or(cmp.Compare(boxes[a].min[axis]+boxes[a].max[axis], boxes[b].min[axis]+boxes[b].max[axis]), a-b)
		})
		t.grow(boxes, items[:len(items)/2])
		t.grow(boxes, items[len(items)/2:])
	}
	t.nodes[at].next = len(t.nodes)
}

// meeting yields the items whose boxes meet b when each is grown by d.
func (t tree) meeting(b box, d float64) iter.Seq[int] {
	return func(yield func(int) bool) {
		for i := 0; i < len(t.nodes); {
			n := t.nodes[i]
			switch {
			case !n.box.meets(b, d):
				i = n.next
			case n.item >= 0 && !yield(n.item):
				return
			default:
				i++
			}
		}
	}
}
