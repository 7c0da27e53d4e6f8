package layers

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

var keepCase = flag.Uint64("keep", 0, "write random case number -keep of TestRegionMillion to the corpus, and stop")

const corpus = "../testdata/polygons"

// parseCase reads what describe wrote: a line a primitive, "a" or "b", "+" or
// "-", a radius "r2.5" where it is round, and its corners "x,y". A line "area
// union 12.5" and so on gives expected areas; # starts a comment.
func parseCase(text string) (a, b solid, areas map[string]float64, err error) {
	areas = map[string]float64{}
	for n, line := range strings.Split(text, "\n") {
		line, _, _ = strings.Cut(line, "#")
		f := strings.Fields(line)
		if len(f) == 0 {
			continue
		}
		bad := func() (solid, solid, map[string]float64, error) {
			return solid{}, solid{}, nil, fmt.Errorf("line %d: %q", n+1, line)
		}
		if len(f) < 3 {
			return bad()
		}
		if f[0] == "area" {
			if areas[f[1]], err = strconv.ParseFloat(f[2], 64); err != nil {
				return bad()
			}
			continue
		}
		var p prim
		for _, w := range f[2:] {
			if r, ok := strings.CutPrefix(w, "r"); ok {
				if p.r, err = strconv.ParseFloat(r, 64); err != nil {
					return bad()
				}
				continue
			}
			x, y, _ := strings.Cut(w, ",")
			var v Point
			if v.X, err = strconv.ParseFloat(x, 64); err != nil {
				return bad()
			}
			if v.Y, err = strconv.ParseFloat(y, 64); err != nil {
				return bad()
			}
			p.vs = append(p.vs, v)
		}
		switch f[0] + f[1] {
		case "a+":
			a.plus = append(a.plus, p)
		case "a-":
			a.minus = append(a.minus, p)
		case "b+":
			b.plus = append(b.plus, p)
		case "b-":
			b.minus = append(b.minus, p)
		default:
			return bad()
		}
	}
	return a, b, areas, nil
}

func TestParseCase(t *testing.T) {
	for k := range uint64(44) {
		a, b := pair(families()[k%11], gen{rand.New(rand.NewPCG(k, 1))})
		c, d, _, err := parseCase(describe(a, b))
		if err != nil {
			t.Fatal(err)
		}
		if got, want := describe(c, d), describe(a, b); got != want {
			t.Fatalf("case %d: read back as\n%s\nwritten as\n%s", k, got, want)
		}
	}
	for _, s := range []string{"a +", "c + 1,2 3,4 5,6", "a + 1,2 x,4", "area union x", "a + rx 1,2"} {
		if _, _, _, err := parseCase(s); err == nil {
			t.Errorf("%q: no error", s)
		}
	}
}

// TestCorpus runs the cases that once went wrong.
func TestCorpus(t *testing.T) {
	if *keepCase > 0 {
		family, a, b, _ := oneCase(*keepCase)
		text := fmt.Sprintf("# %s\n%s", family, describe(a, b))
		for i, v := range scanAreas(a, b) {
			text += fmt.Sprintf("area %s %.9g\n", [6]string{"union", "intersection", "difference", "xor", "a", "b"}[i], v)
		}
		name := filepath.Join(corpus, fmt.Sprintf("%s-%d.txt", strings.ReplaceAll(family, " ", "-"), *keepCase))
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	files, err := filepath.Glob(filepath.Join(corpus, "*.txt"))
	if err != nil || len(files) == 0 {
		t.Fatal("no corpus", err)
	}
	for _, name := range files {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		a, b, areas, err := parseCase(string(text))
		if err != nil {
			t.Errorf("%s: %v", filepath.Base(name), err)
			continue
		}
		if j := judge(a, b, 1); len(j.wrong) > 0 {
			t.Errorf("%s: %s", filepath.Base(name), strings.Join(j.wrong, "\n  "))
		}
		ra, rb := a.region(), b.region()
		for what, r := range map[string]Region{"union": ra.Union(rb), "intersection": ra.Intersect(rb), "difference": ra.Subtract(rb), "xor": ra.Xor(rb), "a": ra, "b": rb} {
			want, ok := areas[what]
			if !ok {
				t.Errorf("%s: no expected area of %s", filepath.Base(name), what)
			}
			if e := math.Abs(r.Area() - want); e > 0.01 {
				t.Errorf("%s: area of %s is %.9g, want %.9g", filepath.Base(name), what, r.Area(), want)
			}
		}
	}
}

// FuzzRegion reads bytes as a pair of solids and judges their booleans.
func FuzzRegion(f *testing.F) {
	f.Add([]byte("0123456789abcdef0123456789abcdef"))
	f.Add([]byte{1, 10, 10, 40, 40, 0, 2, 20, 20, 30, 30, 5, 129, 50, 50, 9, 9, 3})
	f.Add([]byte{0, 100, 100, 50, 50, 0, 130, 100, 150, 50, 150, 20, 64, 1, 2, 3, 4, 5, 200, 5, 4, 3, 2, 1})
	f.Fuzz(func(t *testing.T, data []byte) {
		var a, b solid
		for len(data) >= 6 && len(a.prims())+len(b.prims()) < 12 {
			kind, v := data[0], [5]float64{}
			for i := range v {
				v[i] = float64(data[1+i]) / 4
			}
			data = data[6:]
			var p prim
			switch kind % 4 {
			case 0:
				p.vs = []Point{{v[0], v[1]}, {v[0] + v[2] + 0.25, v[1]}, {v[0] + v[2] + 0.25, v[1] + v[3] + 0.25}, {v[0], v[1] + v[3] + 0.25}}
			case 1:
				p = prim{vs: []Point{{v[0], v[1]}, {v[2], v[3]}}, r: v[4]/2 + 0.25}
			case 2:
				p = prim{vs: []Point{{v[0], v[1]}, {v[0], v[1]}}, r: v[4]/2 + 0.25}
			default:
				p.vs = []Point{{v[0], v[1]}, {v[2], v[3]}, {v[4], v[0]}}
				if x := p.vs[1].Sub(p.vs[0]).Cross(p.vs[2].Sub(p.vs[0])); math.Abs(x) < 1 {
					continue
				}
			}
			s := &a
			if kind&32 != 0 {
				s = &b
			}
			if kind&64 != 0 {
				s.minus = append(s.minus, p)
			} else {
				s.plus = append(s.plus, p)
			}
		}
		if j := judge(a, b, 1); len(j.wrong) > 0 {
			t.Fatalf("%s\n%s", strings.Join(j.wrong, "\n"), describe(a, b))
		}
	})
}
