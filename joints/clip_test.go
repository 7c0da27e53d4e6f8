package joints

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
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

// drawSection draws a clip in its slots, cut along its sheet, at x, y.
func drawSection(b *strings.Builder, s Site, j SpringClip, w Work, x, y float64) {
	fmt.Fprintf(b, `<g transform="translate(%.3f %.3f)">`, x, y)
	for i, f := range w.Features {
		h := s.Hosts[f.Plate]
		half := f.Region.Along(j.At, j.Turn)[0].To
		fill := [...]string{"#e9d3ae", "#a9c6de"}[i%2]
		for _, x := range []float64{-14, half} {
			fmt.Fprintf(b, `<rect x="%.3f" y="%.3f" width="%.3f" height="%.3f" fill="%s" stroke="#777" stroke-width=".1"/>`,
				x, -h.Front(), 14-half, h.Thickness(), fill)
		}
	}
	fmt.Fprintf(b, `<path d="%s" fill="#b5763a" stroke="#222" stroke-width=".1"/></g>`, svgPath(w.Makes[0].Plate.Outline))
}

// TestDrawClips draws clips in section, for a person to look at, into the
// directory that CLIP_PICTURES names.
func TestDrawClips(t *testing.T) {
	dir := os.Getenv("CLIP_PICTURES")
	if dir == "" {
		t.Skip("CLIP_PICTURES names no directory")
	}
	lib := stock.Common()
	for _, m := range []string{"birch ply 3", "clear cast acrylic 3", "mdf 3"} {
		var b strings.Builder
		const wide, high = 30.0, 56.0
		for k, n := range []int{2, 4, 6} {
			for i, form := range []flex.Form{flex.Arched, flex.Straight, flex.Tapered} {
				s := stacked(t, lib, n, "birch ply 3", "blue cast acrylic 3")
				j := SpringClip{Through: through(n), Cut: m, Arm: form}
				w := j.Realize(s)
				t.Logf("%s %d %v: %+v\n%s", m, n, form, w.Springs, w.Findings)
				if len(w.Makes) > 0 {
					drawSection(&b, s, j, w, wide*(float64(3*k+i)+0.5), 26)
				}
			}
		}
		svg := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %g %g" width="%g" height="%g"><rect width="100%%" height="100%%" fill="white"/>%s</svg>`,
			9*wide, high, 9*wide, high, b.String())
		if err := os.WriteFile(filepath.Join(dir, strings.ReplaceAll(m, " ", "-")+".svg"), []byte(svg), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
