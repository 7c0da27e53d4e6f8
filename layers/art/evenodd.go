package art

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/tdewolff/canvas"

	"github.com/platewright/platewright/layers"
)

// evenOdd returns what the closed subpaths fill by the even-odd rule: a point
// is in where an odd number of them, each by the same rule, hold it.
func evenOdd(subs []*canvas.Path) (layers.Region, error) {
	var out layers.Region
	for _, s := range subs {
		r := nonZero([]*canvas.Path{s})
		line := flat(s, layers.CurveTolerance)
		// Where the curve crosses itself, the area between it and a point
		// counts some places twice, and others less than once.
		if math.Abs(math.Abs(swept(line))-r.Area()) > 3*layers.CurveTolerance*r.Perimeter()+1e-6 {
			loops, err := loops(line)
			if err != nil {
				return layers.Region{}, err
			}
			r = layers.Region{}
			for _, l := range loops {
				p := &canvas.Path{}
				for i, v := range l {
					if i == 0 {
						p.MoveTo(v.X, v.Y)
					} else {
						p.LineTo(v.X, v.Y)
					}
				}
				p.Close()
				if p.Len() > 2 {
					r = r.Xor(layers.PathRegion(p))
				}
			}
		}
		if out.Empty() && out.Err() == nil {
			out = r
			continue
		}
		out = out.Xor(r)
	}
	return out, nil
}

// swept returns the signed area of a closed line.
func swept(l layers.Line) float64 {
	sum := 0.0
	for i := range l {
		sum += l[i].Sub(l[0]).Cross(l[(i+1)%len(l)].Sub(l[0]))
	}
	return sum / 2
}

// crossing is a place where segment i of a line crosses segment j.
type crossing struct {
	along float64 // of the segment, 0 to 1
	id    int
	at    layers.Point
}

// maxCrossing is the most segments a line may have that crosses itself, and
// the most crossings.
const maxCrossing = 20000

// loops takes a closed line apart at its crossings into lines that do not
// cross themselves. Together they fill by the even-odd rule what the line does.
func loops(l layers.Line) ([]layers.Line, error) {
	if n := len(l); n > 1 && l[0] == l[n-1] {
		l = l[:n-1]
	}
	n := len(l)
	if n > maxCrossing {
		return nil, fmt.Errorf("an outline with the even-odd rule that crosses itself has %d points, expected at most %d; unite its parts in the editor", n, maxCrossing)
	}
	order := make([]int, n)
	low := func(i int) float64 { return min(l[i].X, l[(i+1)%n].X) }
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		if low(a) != low(b) {
			if low(a) < low(b) {
				return -1
			}
			return 1
		}
		return a - b
	})
	on := make([][]crossing, n)
	count := 0
	for a, i := range order {
		right := max(l[i].X, l[(i+1)%n].X)
		for _, j := range order[a+1:] {
			if low(j) > right {
				break
			}
			p, d := l[i], l[(i+1)%n].Sub(l[i])
			q, e := l[j], l[(j+1)%n].Sub(l[j])
			across := d.Cross(e)
			if across == 0 || (i+1)%n == j || (j+1)%n == i {
				continue
			}
			t, u := q.Sub(p).Cross(e)/across, q.Sub(p).Cross(d)/across
			// Half open, so that a crossing at a vertex counts once.
			if t < 0 || t >= 1 || u < 0 || u >= 1 {
				continue
			}
			at := p.Add(d.Mul(t))
			on[i] = append(on[i], crossing{t, count, at})
			on[j] = append(on[j], crossing{u, count, at})
			if count++; count > maxCrossing {
				return nil, errors.New("an outline with the even-odd rule crosses itself too often; unite its parts in the editor")
			}
		}
	}
	// Walk along; at the second visit of a crossing, what lies between is a
	// loop of its own.
	type step struct {
		at layers.Point
		id int // of a crossing, or -1
	}
	var stack []step
	place := map[int]int{} // of the crossings on the stack
	var out []layers.Line
	for i := range n {
		stack = append(stack, step{l[i], -1})
		slices.SortFunc(on[i], func(a, b crossing) int {
			if a.along != b.along {
				if a.along < b.along {
					return -1
				}
				return 1
			}
			return a.id - b.id
		})
		for _, c := range on[i] {
			first, again := place[c.id]
			if !again {
				place[c.id] = len(stack)
				stack = append(stack, step{c.at, c.id})
				continue
			}
			var loop layers.Line
			for _, s := range stack[first:] {
				loop = append(loop, s.at)
				if s.id >= 0 && s.id != c.id {
					delete(place, s.id)
				}
			}
			out = append(out, loop)
			stack = stack[:first+1]
		}
	}
	var rest layers.Line
	for _, s := range stack {
		rest = append(rest, s.at)
	}
	return append(out, rest), nil
}
