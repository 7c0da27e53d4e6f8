package art

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"github.com/platewright/platewright/layers"
)

// matrix takes (x, y) to (a x + c y + e, b x + d y + f).
type matrix struct{ a, b, c, d, e, f float64 }

var identity = matrix{a: 1, d: 1}

// mul returns the matrix that does n first and then m.
func (m matrix) mul(n matrix) matrix {
	return matrix{
		m.a*n.a + m.c*n.b, m.b*n.a + m.d*n.b,
		m.a*n.c + m.c*n.d, m.b*n.c + m.d*n.d,
		m.a*n.e + m.c*n.f + m.e, m.b*n.e + m.d*n.f + m.f,
	}
}

func (m matrix) at(x, y float64) layers.Point {
	return layers.Point{X: m.a*x + m.c*y + m.e, Y: m.b*x + m.d*y + m.f}
}

func (m matrix) det() float64 { return m.a*m.d - m.b*m.c }

// similar returns the factor by which m scales where it keeps circles round.
// The factors of the two axes may differ by 1e-9 of themselves, which rounding
// leaves: 1 µm in a kilometre.
func (m matrix) similar() (float64, bool) {
	x, y := math.Hypot(m.a, m.b), math.Hypot(m.c, m.d)
	dot := m.a*m.c + m.b*m.d
	if math.Abs(x-y) > 1e-9*x || math.Abs(dot) > 1e-9*x*y {
		return 0, false
	}
	return math.Sqrt(math.Abs(m.det())), true
}

// axes returns the half axes, and the turn of the first in degrees, of the
// ellipse that m makes of one with half axes rx and ry turned by rot. They are
// the singular values of the matrix that makes it of the unit circle.
func (m matrix) axes(rx, ry float64, rot layers.Degrees) (major, minor, turn float64) {
	u := rot.Unit()
	ux, uy := rx*(m.a*u.X+m.c*u.Y), rx*(m.b*u.X+m.d*u.Y)
	vx, vy := ry*(m.c*u.X-m.a*u.Y), ry*(m.d*u.X-m.b*u.Y)
	e, f, g, h := (ux+vy)/2, (ux-vy)/2, (uy+vx)/2, (uy-vx)/2
	q, r := math.Hypot(e, h), math.Hypot(f, g)
	return q + r, math.Abs(q - r), (math.Atan2(h, e) + math.Atan2(g, f)) / 2 * 180 / math.Pi
}

func (m matrix) finite() bool {
	for _, v := range []float64{m.a, m.b, m.c, m.d, m.e, m.f} {
		if math.IsNaN(v) || math.Abs(v) > 1e12 {
			return false
		}
	}
	return true
}

func translate(x, y float64) matrix { return matrix{1, 0, 0, 1, x, y} }

func rotate(degrees float64) matrix {
	u := layers.Degrees(degrees).Unit()
	return matrix{u.X, u.Y, -u.Y, u.X, 0, 0}
}

var (
	call   = regexp.MustCompile(`^\s*,?\s*(matrix|translate|scale|rotate|skewX|skewY)\s*\(([^()]*)\)`)
	number = regexp.MustCompile(`^[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?`)
)

// numbers reads numbers with commas or white space between them, as SVG packs
// them: "1-2.5.5" is three.
func numbers(s string) ([]float64, error) {
	var out []float64
	rest := strings.TrimSpace(s)
	for rest != "" {
		digits := number.FindString(rest)
		if digits == "" {
			return nil, fmt.Errorf("expected a number, found %.20q", rest)
		}
		v, err := strconv.ParseFloat(digits, 64)
		if err != nil {
			return nil, fmt.Errorf("%.20q is beyond all numbers", digits)
		}
		out = append(out, v)
		rest = strings.TrimLeft(rest[len(digits):], " \t\r\n\f")
		if after, ok := strings.CutPrefix(rest, ","); ok {
			if rest = strings.TrimLeft(after, " \t\r\n\f"); rest == "" {
				return nil, fmt.Errorf("expected a number behind the last comma")
			}
		}
	}
	return out, nil
}

// transform reads a transform attribute: its functions apply from right to
// left.
func transform(s string) (matrix, error) {
	m := identity
	for rest := strings.TrimSpace(s); rest != "" && rest != "none"; rest = strings.TrimSpace(rest) {
		parts := call.FindStringSubmatch(rest)
		if parts == nil {
			return matrix{}, fmt.Errorf("expected matrix, translate, scale, rotate, skewX or skewY, found %.40q", rest)
		}
		rest = rest[len(parts[0]):]
		name := parts[1]
		v, err := numbers(parts[2])
		if err != nil {
			return matrix{}, fmt.Errorf("%s: %w", name, err)
		}
		n, err := function(name, v)
		if err != nil {
			return matrix{}, err
		}
		m = m.mul(n)
	}
	if !m.finite() {
		return matrix{}, fmt.Errorf("the transform is beyond all sizes: %.40q", s)
	}
	return m, nil
}

// function returns one function of a transform.
func function(name string, v []float64) (matrix, error) {
	switch {
	case name == "matrix" && len(v) == 6:
		return matrix{v[0], v[1], v[2], v[3], v[4], v[5]}, nil
	case name == "translate" && len(v) == 1:
		return translate(v[0], 0), nil
	case name == "translate" && len(v) == 2:
		return translate(v[0], v[1]), nil
	case name == "scale" && len(v) == 1:
		return matrix{a: v[0], d: v[0]}, nil
	case name == "scale" && len(v) == 2:
		return matrix{a: v[0], d: v[1]}, nil
	case name == "rotate" && len(v) == 1:
		return rotate(v[0]), nil
	case name == "rotate" && len(v) == 3:
		return translate(v[1], v[2]).mul(rotate(v[0])).mul(translate(-v[1], -v[2])), nil
	case name == "skewX" && len(v) == 1:
		return matrix{a: 1, c: math.Tan(layers.Degrees(v[0]).Radians()), d: 1}, nil
	case name == "skewY" && len(v) == 1:
		return matrix{a: 1, b: math.Tan(layers.Degrees(v[0]).Radians()), d: 1}, nil
	}
	return matrix{}, fmt.Errorf("%s does not take %d numbers", name, len(v))
}

// pixel is a CSS pixel, mm.
const pixel = 25.4 / 96

// units are the lengths, mm.
var units = map[string]float64{"": pixel, "px": pixel, "mm": 1, "cm": 10, "in": 25.4, "pt": 25.4 / 72, "pc": 25.4 / 6, "Q": 0.25, "q": 0.25}

// millimetres reads a length.
func millimetres(s string) (float64, error) {
	s = strings.TrimSpace(s)
	digits := number.FindString(s)
	if digits == "" {
		return 0, fmt.Errorf("expected a length, found %.40q", s)
	}
	v, err := strconv.ParseFloat(digits, 64)
	if err != nil || math.Abs(v) > 1e12 {
		return 0, fmt.Errorf("%.40q is beyond all sizes", s)
	}
	mm, ok := units[strings.TrimSpace(s[len(digits):])]
	if !ok {
		return 0, fmt.Errorf("expected a length in mm, cm, in, pt, pc, Q or px, found %.40q", s)
	}
	return v * mm, nil
}

// length returns the length of an attribute of e in user units; 0 where it has
// none.
func (d Drawing) length(e *element, name string) (float64, error) {
	s, ok := e.attrs[name]
	if !ok || s == "" {
		return 0, nil
	}
	if v, err := strconv.ParseFloat(s, 64); err == nil && math.Abs(v) <= 1e12 && number.FindString(s) == s {
		return v, nil // not by way of mm, which would round
	}
	mm, err := millimetres(s)
	if err != nil {
		return 0, d.fail(e, "%s: %v", name, err)
	}
	return mm / pixel, nil
}

// page is the outermost element's viewport.
type page struct {
	width, height float64 // mm
	toPage        matrix  // user units to mm, y up
}

// readPage works out the size of the page.
func (d Drawing) readPage() (page, error) {
	e := d.root
	box, boxed, err := d.viewBox(e)
	if err != nil {
		return page{}, err
	}
	size := func(name string) (float64, bool, error) {
		s := e.attrs[name]
		if s == "" || s == "auto" || s == "100%" {
			return 0, false, nil
		}
		mm, err := millimetres(s)
		if err != nil {
			return 0, false, d.fail(e, "%s: %v", name, err)
		}
		if mm <= 0 {
			return 0, false, d.fail(e, "%s: expected a positive length, found %.40q", name, s)
		}
		return mm, true, nil
	}
	width, hasWidth, err := size("width")
	if err != nil {
		return page{}, err
	}
	height, hasHeight, err := size("height")
	if err != nil {
		return page{}, err
	}
	if !boxed {
		if !hasWidth || !hasHeight {
			return page{}, d.fail(e, "expected a viewBox, or a width and a height; without them the drawing has no size")
		}
		return page{width, height, matrix{pixel, 0, 0, -pixel, 0, height}}, nil
	}
	switch {
	case !hasWidth && !hasHeight:
		width, height = box.width*pixel, box.height*pixel
	case !hasWidth:
		width = height * box.width / box.height
	case !hasHeight:
		height = width * box.height / box.width
	}
	fit, err := d.fit(e, box, width, height)
	if err != nil {
		return page{}, err
	}
	return page{width, height, matrix{1, 0, 0, -1, 0, height}.mul(fit)}, nil
}

// box is a viewBox.
type box struct{ x, y, width, height float64 }

// viewBox returns the viewBox of e, if it has one.
func (d Drawing) viewBox(e *element) (box, bool, error) {
	s := e.attrs["viewBox"]
	if s == "" {
		return box{}, false, nil
	}
	v, err := numbers(s)
	if err != nil {
		return box{}, false, d.fail(e, "viewBox: %v", err)
	}
	if len(v) != 4 || v[2] <= 0 || v[3] <= 0 {
		return box{}, false, d.fail(e, "viewBox: expected x, y and a positive width and height, found %.40q", s)
	}
	return box{v[0], v[1], v[2], v[3]}, true, nil
}

// fit returns the matrix that takes the viewBox into a viewport of that size,
// whose upper left corner is the origin, by e's preserveAspectRatio.
func (d Drawing) fit(e *element, b box, width, height float64) (matrix, error) {
	sx, sy := width/b.width, height/b.height
	words := strings.Fields(e.attrs["preserveAspectRatio"])
	align, slice := "xMidYMid", false
	for _, w := range words {
		switch w {
		case "meet":
		case "slice":
			slice = true
		default:
			align = w
		}
	}
	if align == "none" {
		return matrix{sx, 0, 0, sy, -b.x * sx, -b.y * sy}, nil
	}
	share := map[string]float64{"Min": 0, "Mid": 0.5, "Max": 1}
	if len(align) != 8 || align[0] != 'x' || align[4] != 'Y' {
		return matrix{}, d.fail(e, "expected preserveAspectRatio as xMidYMid meet, found %.40q", e.attrs["preserveAspectRatio"])
	}
	ax, okX := share[align[1:4]]
	ay, okY := share[align[5:]]
	if !okX || !okY {
		return matrix{}, d.fail(e, "expected preserveAspectRatio as xMidYMid meet, found %.40q", e.attrs["preserveAspectRatio"])
	}
	s := min(sx, sy)
	if slice {
		s = max(sx, sy)
	}
	return matrix{s, 0, 0, s, ax*(width-b.width*s) - b.x*s, ay*(height-b.height*s) - b.y*s}, nil
}
