package assembly_test

import (
	"fmt"
	"testing"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/stock"
)

// many returns a product of about n plates: a stack of four layers, each of
// tiles of 60 × 60 mm side by side, every column of tiles held by two pegs, with
// a lapped pair of uprights on its front that stands on two tabs each.
func many(n int) assembly.Product {
	const perColumn = 4 + 2 + 2 // tiles, pegs, uprights
	columns := max(1, n/perColumn)
	p := assembly.Product{Stack: make([]assembly.Layer, 4), Joints: map[string]joints.Joint{}, Height: 13}
	for c := range columns {
		at := layers.Point{X: float64(c%25) * 60, Y: float64(c/25) * 60}
		var all []string
		for l := range p.Stack {
			name := fmt.Sprintf("tile %d.%d", c, l)
			all = append(all, name)
			p.Stack[l] = append(p.Stack[l], layers.Plate{Name: name, Material: birch, Outline: layers.RoundedRectangle(59.5, 59.5, 3).Move(at), Gap: 0.5})
		}
		for i, x := range []float64{-25, 25} {
			p.Joints[fmt.Sprintf("peg %d.%d", c, i)] = joints.Peg{Through: all, At: at.Add(layers.Point{X: x}), Turn: 90, Width: 8, Head: 1.5}
		}
		for i, turn := range []layers.Degrees{0, 90} {
			name := fmt.Sprintf("wall %d.%d", c, i)
			u := wall(name, all[3], 40, 20, at, turn)
			p.Uprights = append(p.Uprights, u)
			for k, x := range []float64{-12, 12} {
				p.Joints[fmt.Sprintf("tab %d.%d.%d", c, i, k)] = joints.TabSlot{Upright: name, Through: all[3:], At: x, Width: 8}
			}
		}
		p.Joints[fmt.Sprintf("lap %d", c)] = joints.CrossLap{A: fmt.Sprintf("wall %d.0", c), B: fmt.Sprintf("wall %d.1", c)}
	}
	return p
}

// crowd returns a product of n uprights that stand in one plate.
func crowd(n int) assembly.Product {
	side := 60 * float64((n+24)/25)
	p := assembly.Product{
		Stack:  []assembly.Layer{{flat("base", layers.Rectangle(1500, side).Move(layers.Point{X: 720, Y: side/2 - 30}))}},
		Joints: map[string]joints.Joint{},
	}
	for i := range n {
		name := fmt.Sprintf("wall %d", i)
		p.Uprights = append(p.Uprights, wall(name, "base", 40, 20, layers.Point{X: float64(i%25) * 60, Y: float64(i/25) * 60}, 30))
		p.Joints["tab "+name] = joints.TabSlot{Upright: name, Through: []string{"base"}, Width: 12}
	}
	return p
}

func BenchmarkBuild(b *testing.B) {
	for _, n := range []int{40, 400, 4000} {
		p := many(n)
		b.Run(fmt.Sprint("plates=", n), func(b *testing.B) {
			for b.Loop() {
				if k, err := p.Build(stock.Common()); err != nil || k.Err() != nil {
					b.Fatal(err, k.Err())
				}
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/float64(n), "µs/plate")
		})
	}
}

func BenchmarkCrowd(b *testing.B) {
	for _, n := range []int{40, 400, 1600} {
		p := crowd(n)
		b.Run(fmt.Sprint("uprights=", n), func(b *testing.B) {
			for b.Loop() {
				if k, err := p.Build(stock.Common()); err != nil || k.Err() != nil {
					b.Fatal(err, k.Err())
				}
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N)/float64(n), "µs/plate")
		})
	}
}
