package joints

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/platewright/platewright/joints/flex"
	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/stock"
)

// stacked is a site of n plates of one size, back to front, of the materials
// given in turn.
func stacked(t testing.TB, lib layers.Library, n int, names ...string) Site {
	t.Helper()
	s := Site{Name: "clip", Hosts: map[string]Host{}, Stock: lib}
	z := 0.0
	for i := range n {
		m, err := lib.Find(names[i%len(names)])
		if err != nil {
			t.Fatal(err)
		}
		name := fmt.Sprintf("plate %d", i+1)
		s.Hosts[name] = Host{
			Plate:    layers.Plate{Name: name, Material: m.Name, Outline: layers.Rectangle(60, 40)},
			Material: m, Pose: layers.Flat(z), Layer: i,
		}
		z += m.Thickness.Mean
	}
	return s
}

// through returns the names of stacked plates.
func through(n int) (names []string) {
	for i := range n {
		names = append(names, fmt.Sprintf("plate %d", i+1))
	}
	return names
}

// svgPath writes a region as path data with y up turned to y down.
func svgPath(r layers.Region) string {
	var b strings.Builder
	for c := range r.Contours() {
		fmt.Fprintf(&b, "M%.4f %.4f", c.Segments[0].From.X, -c.Segments[0].From.Y)
		for _, s := range c.Segments {
			if s.Radius == 0 {
				fmt.Fprintf(&b, "L%.4f %.4f", s.To.X, -s.To.Y)
				continue
			}
			large, sweep := 0, 1
			if math.Abs(float64(s.Sweep)) > 180 {
				large = 1
			}
			if s.Sweep > 0 {
				sweep = 0
			}
			fmt.Fprintf(&b, "A%.4f %.4f 0 %d %d %.4f %.4f", s.Radius, s.Radius, large, sweep, s.To.X, -s.To.Y)
		}
		b.WriteString("Z")
	}
	return b.String()
}

// TestDrawClips draws a row of clips in section, for a person to look at, into
// the directory that CLIP_PICTURES names.
func TestDrawClips(t *testing.T) {
	dir := os.Getenv("CLIP_PICTURES")
	if dir == "" {
		t.Skip("CLIP_PICTURES names no directory")
	}
	lib := stock.Common()
	var b strings.Builder
	x := 0.0
	for _, m := range []string{"birch ply 3", "clear cast acrylic 3", "mdf 3"} {
		for _, n := range []int{2, 4, 6} {
			for _, form := range []flex.Form{flex.Arched, flex.Straight, flex.Tapered} {
				j := SpringClip{Through: through(n), Cut: m, Arm: form}
				s := stacked(t, lib, n, "birch ply 3", "blue cast acrylic 3")
				w := j.Realize(s)
				if len(w.Makes) == 0 {
					t.Logf("%s", w.Findings)
					continue
				}
				t.Logf("%s %d %v: %+v\n%s", m, n, form, w.Springs[0], w.Findings)
				for i, name := range j.Through {
					h := s.Hosts[name]
					var slot layers.Region
					for _, f := range w.Features {
						if f.Plate == name {
							slot = f.Region
						}
					}
					half := slot.Along(layers.Point{}, 0)[0].Len() / 2
					half -= 0
					fill := "#e3c9a0"
					if i%2 == 1 {
						fill = "#9fc1dd"
					}
					for _, side := range []float64{-1, 1} {
						x0 := min(side*half, side*14)
						fmt.Fprintf(&b, `<rect x="%.3f" y="%.3f" width="%.3f" height="%.3f" fill="%s" stroke="#777" stroke-width=".1"/>`, x+x0, -h.Front(), 14-half, h.Thickness(), fill)
					}
				}
				fmt.Fprintf(&b, `<path transform="translate(%.3f 0)" d="%s" fill="#b5763a" stroke="#222" stroke-width=".12"/>`, x, svgPath(w.Makes[0].Plate.Outline))
				x += 30
			}
		}
		fmt.Fprintf(&b, `<g/>`)
	}
	svg := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="-16 -30 %.1f 60" width="%.0f" height="720"><rect x="-16" y="-30" width="100%%" height="100%%" fill="white"/>%s</svg>`, x, x*12, b.String())
	if err := os.WriteFile(dir+"/clips.svg", []byte(svg), 0o644); err != nil {
		t.Fatal(err)
	}
}
