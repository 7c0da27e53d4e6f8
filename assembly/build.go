package assembly

import (
	"cmp"
	"iter"
	"maps"
	"slices"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
)

// Build resolves the product with the materials in lib. It is pure: the same
// product and materials give the same kit. The error, where there is one, is a
// [*DeclarationError]; what the checks find is in the kit and makes no error.
func (p Product) Build(lib layers.Library) (*Kit, error) {
	if err := p.validate(lib); err != nil {
		return nil, err
	}
	k := &Kit{name: p.Name, limit: p.Height, joints: maps.Clone(p.Joints), works: make(works, len(p.Joints))}
	hosts := p.hosts(lib)
	for _, name := range slices.Sorted(maps.Keys(p.Joints)) {
		j := p.Joints[name]
		site := joints.Site{Name: name, Hosts: map[string]joints.Host{}, Stock: lib}
		for _, plate := range j.Ties() {
			site.Hosts[plate] = hosts[plate]
		}
		k.works[name] = j.Realize(site)
	}
	if err := k.place(hosts, lib, p.Sources); err != nil {
		return nil, err
	}
	k.lies = map[[2]int]bool{}
	k.column = k.highest(func(m layers.Material) float64 { return m.Thickness.Mean + sigmas*m.Thickness.SD })
	k.findings = k.judge(joints.Room(hosts, k.works), p.Sources)
	k.lies = nil
	return k, nil
}

// hosts returns the declared plates at their resolved places.
func (p Product) hosts(lib layers.Library) map[string]joints.Host {
	hosts := map[string]joints.Host{}
	front := 0.0
	for i, layer := range p.Stack {
		back := front
		for _, pl := range layer {
			back = max(back, front+pl.Lift)
		}
		for _, pl := range layer {
			m, _ := lib.Find(pl.Material)
			hosts[pl.Name] = joints.Host{Plate: pl, Material: m, Pose: layers.Flat(back), Layer: i}
			front = max(front, back+m.Thickness.Mean)
		}
	}
	for _, u := range p.Uprights {
		m, _ := lib.Find(u.Material)
		z := u.Z
		if u.On != "" {
			z += hosts[u.On].Front()
		}
		hosts[u.Name] = joints.Host{
			Plate:    u.Plate,
			Material: m,
			Pose:     layers.Standing(u.At, u.Turn, z, m.Thickness.Mean),
			Upright:  true,
			Layer:    -1,
		}
	}
	return hosts
}

// place fills k.solids: the declared plates and those that joints make, with
// finished outlines and the marks that lie on them, back to front.
func (k *Kit) place(hosts map[string]joints.Host, lib layers.Library, sources map[layers.Subject]layers.Source) error {
	ms := &mistakes{sources: sources}
	plates := make(map[string]*Placed, len(hosts))
	for name, h := range hosts {
		plates[name] = &Placed{Plate: h.Plate, Stock: h.Material, Pose: h.Pose, Layer: h.Layer}
	}
	for joint, w := range k.works.sorted() {
		for _, made := range w.Makes {
			m, err := lib.Find(made.Plate.Material)
			if err != nil {
				ms.unknown("joint", joint, "", "material", made.Plate.Material, lib.Names())
			}
			if made.Plate.Name == "" {
				ms.add("joint", joint, "", "the joint makes a plate without a name")
			} else if plates[made.Plate.Name] != nil {
				ms.add("joint", joint, "", "the joint makes a plate %q, and another plate has that name", made.Plate.Name)
			}
			plates[made.Plate.Name] = &Placed{Plate: made.Plate, Stock: m, Pose: made.Pose, Layer: -1, Joint: joint}
		}
	}
	for joint, w := range k.works.sorted() {
		for name := range named(w) {
			if plates[name] == nil {
				ms.unknown("joint", joint, "", "plate", name, slices.Collect(maps.Keys(plates)))
			}
		}
	}
	if err := ms.err(); err != nil {
		return err
	}
	for _, w := range k.works {
		for _, swap := range w.Swaps {
			for _, spare := range swap[min(1, len(swap)):] {
				plates[spare].Spare = true
			}
		}
	}
	declared := make([]layers.Plate, 0, len(plates))
	for _, p := range plates {
		declared = append(declared, p.Plate)
	}
	for _, finished := range joints.Finish(declared, k.works) {
		p := *plates[finished.Name]
		p.Plate = finished
		var lost []loss
		p.Marks, lost = marked(p.Marks, p.Outline)
		k.solids = append(k.solids, solid{p, boxOf(p), lost})
	}
	slices.SortFunc(k.solids, func(a, b solid) int {
		return cmp.Or(cmp.Compare(a.box.min[2], b.box.min[2]), cmp.Compare(a.Name, b.Name))
	})
	k.index = make(map[string]int, len(k.solids))
	for i, s := range k.solids {
		k.index[s.Name] = i
		if s.Layer >= 0 {
			k.height = max(k.height, s.Pose.Origin[2]+s.Stock.Thickness.Mean)
		}
	}
	boxes := make([]box, len(k.solids))
	for i, s := range k.solids {
		boxes[i] = s.box
	}
	k.tree = treeOf(boxes)
	k.stratify()
	k.mate()
	return nil
}

// named yields every plate that the work names and does not make.
func named(w joints.Work) iter.Seq[string] {
	return func(yield func(string) bool) {
		for _, f := range w.Features {
			if !yield(f.Plate) {
				return
			}
		}
		for _, m := range w.Matings {
			if !yield(m.Insert) || !yield(m.Opening) {
				return
			}
		}
		for _, s := range w.Springs {
			if !yield(s.Plate) {
				return
			}
		}
		for _, swap := range w.Swaps {
			for _, name := range swap {
				if !yield(name) {
					return
				}
			}
		}
	}
}

// judge runs every check and returns what was found before, what the joints
// found and what the checks find in their one order, each with the place its
// subject was declared at; what a joint makes was declared with the joint.
func (k *Kit) judge(found layers.Findings, sources map[layers.Subject]layers.Source) layers.Findings {
	for _, w := range k.works.sorted() {
		found = append(found, w.Findings...)
	}
	k.faulty = map[string]bool{}
	for f := range found.Of(layers.Error) {
		for _, s := range append(f.Related, f.Subject) {
			k.faulty[s.Name] = k.faulty[s.Name] || s.Kind == "joint"
		}
	}
	for m := range k.Materials() {
		found = append(found, m.Question()...)
	}
	for _, c := range Checks() {
		c.Run(k, func(f layers.Finding) { found = append(found, f) })
	}
	for i, f := range found {
		if f.Source != (layers.Source{}) {
			continue
		}
		subject := f.Subject
		if p, ok := k.Plate(subject.Name); ok && subject.Kind == "plate" && p.Joint != "" {
			subject = layers.Subject{Kind: "joint", Name: p.Joint}
		}
		found[i].Source = sources[subject]
	}
	return found.Sorted()
}
