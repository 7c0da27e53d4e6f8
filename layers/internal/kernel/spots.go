package kernel

import "math"

// spots is a set of numbered places, of which those within tol are one.
type spots struct {
	tol  float64
	at   []Vec
	next []int32 // the next place with the same hash, or -1
	head []int32 // hash → place, or -1; a power of two of them
}

// pitch is the size of the cells that are hashed, mm; it is well above any tol.
const pitch = 1e-5

func cellOf(v float64) int64 { return int64(math.Floor(v * (1 / pitch))) }

func (s *spots) hash(x, y int64) uint64 {
	h := uint64(x)*0x9e3779b97f4a7c15 ^ uint64(y)*0xc2b2ae3d27d4eb4f
	return (h ^ h>>29) * 0xbf58476d1ce4e5b9 >> 32 & uint64(len(s.head)-1)
}

// find returns the number of the place within tol of v, or -1.
func (s *spots) find(v Vec) int32 {
	if len(s.at) == 0 {
		return -1
	}
	x0, x1 := cellOf(v.X-s.tol), cellOf(v.X+s.tol)
	y0, y1 := cellOf(v.Y-s.tol), cellOf(v.Y+s.tol)
	best, found := s.tol*s.tol, int32(-1)
	for x := x0; x <= x1; x++ {
		for y := y0; y <= y1; y++ {
			for i := s.head[s.hash(x, y)]; i >= 0; i = s.next[i] {
				d := s.at[i].Sub(v)
				if l := d.Dot(d); l < best || l == best && (found < 0 || i < found) {
					best, found = l, i
				}
			}
		}
	}
	return found
}

// add returns the place in s within tol of v, which is v if there was none.
func (s *spots) add(v Vec) Vec {
	if i := s.find(v); i >= 0 {
		return s.at[i]
	}
	if len(s.at) >= len(s.head) {
		s.head = make([]int32, max(64, 4*len(s.head)))
		for i := range s.head {
			s.head[i] = -1
		}
		for i, p := range s.at {
			s.link(i, p)
		}
	}
	s.at, s.next = append(s.at, v), append(s.next, -1)
	s.link(len(s.at)-1, v)
	return v
}

func (s *spots) link(i int, v Vec) {
	h := s.hash(cellOf(v.X), cellOf(v.Y))
	s.next[i], s.head[h] = s.head[h], int32(i)
}
