package jointtest

import (
	"cmp"
	"fmt"
	"maps"
	"slices"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
)

// Flat returns a plate of the stack; [Stacked] gives it its place.
func Flat(name string, m layers.Material, outline layers.Region) joints.Host {
	return joints.Host{Plate: layers.Plate{Name: name, Material: m.Name, Outline: outline}, Material: m}
}

// Standing returns an upright over the line through at in direction turn,
// whose own origin is at height z of the stack.
func Standing(name string, m layers.Material, outline layers.Region, at layers.Point, turn layers.Degrees, z float64) joints.Host {
	h := Flat(name, m, outline)
	h.Pose = layers.Standing(at, turn, z, m.Thickness.Mean)
	h.Upright, h.Layer = true, -1
	return h
}

// Stacked returns a site of the given name: plates of the stack lie one on the
// other in the given order from height 0, each a layer; uprights keep their
// pose. Stock holds the materials of all of them; Stacked panics where two of
// one name differ in thickness.
func Stacked(name string, hosts ...joints.Host) joints.Site {
	s := joints.Site{Name: name, Hosts: map[string]joints.Host{}}
	var z float64
	var layer int
	for _, h := range hosts {
		if !h.Upright {
			h.Pose, h.Layer = layers.Flat(z), layer
			z += h.Thickness()
			layer++
		}
		s.Hosts[h.Plate.Name] = h
		if m, err := s.Stock.Find(h.Material.Name); err == nil && m.Thickness != h.Material.Thickness {
			panic(fmt.Sprintf("jointtest: two sheets of %q differ in thickness", m.Name))
		}
		s.Stock = s.Stock.With(h.Material)
	}
	return s
}

// Thick returns the site with every sheet, those of the stock too, mm thick.
// Layers stay as far from each other as they are; an upright rises with the
// layers that its origin stands on and keeps its middle plane.
func Thick(s joints.Site, mm float64) joints.Site {
	old := map[int]layers.Span{} // of a layer: its back and its front
	for _, h := range s.Hosts {
		if h.Upright {
			continue
		}
		b, ok := old[h.Layer]
		if !ok {
			b = layers.Span{From: h.Back(), To: h.Front()}
		}
		old[h.Layer] = layers.Span{From: min(b.From, h.Back()), To: max(b.To, h.Front())}
	}
	below := slices.SortedFunc(maps.Values(old), func(a, b layers.Span) int { return cmp.Compare(a.From, b.From) })
	rise := func(z float64) (sum float64) {
		for _, b := range below {
			if b.To <= z+1e-6 {
				sum += mm - b.Len()
			}
		}
		return sum
	}
	out := joints.Site{Name: s.Name, Hosts: map[string]joints.Host{}}
	for name, h := range s.Hosts {
		t := h.Thickness()
		if h.Upright {
			h.Pose.Origin[2] += rise(h.Pose.Origin[2])
			h.Pose.Back += (t - mm) / 2
		} else {
			h.Pose.Origin[2] += rise(h.Back())
		}
		h.Material = thick(h.Material, mm)
		out.Hosts[name] = h
	}
	for m := range s.Stock.All() {
		out.Stock = out.Stock.With(thick(m, mm))
	}
	return out
}

// thick returns m as a sheet of another thickness.
func thick(m layers.Material, mm float64) layers.Material {
	m.Thickness.Mean = mm
	return m
}
