package art_test

import (
	"bytes"
	"image"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/art"
)

// TestRendered compares drawings with what an independent program paints: the
// area within what eight bits of coverage at the edges leave, and every place
// that is clearly painted or clearly left.
func TestRendered(t *testing.T) {
	rsvg, err := exec.LookPath("rsvg-convert")
	if err != nil {
		t.Skip("rsvg-convert is not installed: drawings are not compared with an independent renderer")
	}
	files, err := filepath.Glob("testdata/*.svg")
	if err != nil || len(files) < 4 {
		t.Fatalf("%d drawings, %v", len(files), err)
	}
	for _, file := range files {
		d, err := art.Open(os.DirFS("testdata"), filepath.Base(file))
		if err != nil {
			t.Error(err)
			continue
		}
		r, err := d.Region("all")
		if err != nil {
			t.Error(err)
			continue
		}
		const zoom = 3
		out, err := exec.Command(rsvg, "--zoom", "3", file).Output()
		if err != nil {
			t.Errorf("%s: render: %v", file, err)
			continue
		}
		painted, err := png.Decode(bytes.NewReader(out))
		if err != nil {
			t.Errorf("%s: read the picture: %v", file, err)
			continue
		}
		compare(t, file, d, r, painted, 96/25.4*zoom)
	}
}

// compare compares r with the picture, which has scale pixels to the mm.
func compare(t *testing.T, file string, d art.Drawing, r layers.Region, painted image.Image, scale float64) {
	t.Helper()
	w, h := painted.Bounds().Dx(), painted.Bounds().Dy()
	pageW, pageH := d.Size()
	if math.Abs(float64(w)-pageW*scale) > 2 || math.Abs(float64(h)-pageH*scale) > 2 {
		t.Errorf("%s: a picture of %d × %d pixels for a page of %.2f × %.2f mm", file, w, h, pageW, pageH)
	}
	// What lies beside the page is not painted.
	r = r.Intersect(layers.Rectangle(pageW, pageH).Move(layers.Point{X: pageW / 2, Y: pageH / 2}))
	alpha := func(x, y int) float64 {
		_, _, _, a := painted.At(x, y).RGBA()
		return float64(a) / 0xffff
	}
	sum := 0.0
	for y := range h {
		for x := range w {
			sum += alpha(x, y)
		}
	}
	// Edges where shapes meet and the rounding of coverage: a hundredth of a
	// pixel along all boundaries.
	got, want := r.Area(), sum/scale/scale
	t.Logf("%s: area %.3f mm², painted %.3f", file, got, want)
	if tol := 0.02 * r.Perimeter() / scale; math.Abs(got-want) > tol {
		t.Errorf("%s: area %.3f mm², painted %.3f ± %.3f", file, got, want, tol)
	}
	wrong, tried := 0, 0
	for y := 1; y < h-1; y += 5 {
		for x := 1; x < w-1; x += 5 {
			least, most := 1.0, 0.0
			for i := -1; i <= 1; i++ {
				for j := -1; j <= 1; j++ {
					least, most = min(least, alpha(x+i, y+j)), max(most, alpha(x+i, y+j))
				}
			}
			if least != most || least != 0 && least != 1 {
				continue
			}
			tried++
			p := layers.Point{X: (float64(x) + 0.5) / scale, Y: pageH - (float64(y)+0.5)/scale}
			if r.Contains(p) != (least == 1) {
				if wrong++; wrong == 1 {
					t.Errorf("%s: at %.2f, %.2f mm painted is %v", file, p.X, p.Y, least == 1)
				}
			}
		}
	}
	if wrong > 0 || tried < 500 {
		t.Errorf("%s: %d of %d places differ", file, wrong, tried)
	}
}
