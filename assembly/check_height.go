package assembly

import (
	"cmp"
	"iter"
	"maps"
	"math"
	"slices"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
)

const (
	// sigmas is how many standard deviations a thickness is taken to err:
	// 99.73 % of a normal distribution lie within three.
	sigmas = 3
	// leastAir is the air behind a plate up to which it counts as resting, mm:
	// sheets of one batch vary by as much (judgement).
	leastAir = 0.05
)

// Column is the chain of plates on which the stack stands highest, each
// resting on the one before it. The plates that a plate rests on are those it
// lies over, so a column may be lower than the thickest plates of all layers.
//
// Sheets of one material come from one batch and err the same way, so their
// errors add; materials err independently of each other. Worst adds all of
// them, RSS is the root of the sum of their squares. Both count three standard
// deviations of each measured thickness, and nothing where the deviation is
// not known.
type Column struct {
	Plates []string // back to front
	Height float64  // of the sheets as measured, mm
	Worst  float64  // how much higher it may stand, mm
	RSS    float64  // how much higher it is likely to stand at most, mm
}

// Column returns the column that stands highest where the sheets err as much
// as they may; it is empty where the stack is.
func (k *Kit) Column() Column {
	c := k.column
	c.Plates = slices.Clone(c.Plates)
	return c
}

// highest returns the highest column where sheets are as thick as thick says.
func (k *Kit) highest(thick func(layers.Material) float64) Column {
	fronts, under := k.columns(thick)
	top := -1
	for i, s := range k.solids {
		if s.Layer >= 0 && (top < 0 || fronts[i] > fronts[top]) {
			top = i
		}
	}
	var c Column
	errs := map[string]float64{}
	for i := top; i >= 0; i = under[i] {
		s := k.solids[i]
		c.Plates = append(c.Plates, s.Name)
		c.Height += s.Lift + s.Stock.Thickness.Mean
		errs[s.Material] += sigmas * s.Stock.Thickness.SD
		if under[i] < 0 {
			c.Height += k.floor(s)
		}
	}
	slices.Reverse(c.Plates)
	c.Worst, c.RSS = combine(errs)
	return c
}

// combine returns the sum of independent errors and the root of the sum of
// their squares.
func combine(errs map[string]float64) (worst, rss float64) {
	var all []float64
	for _, e := range errs {
		all = append(all, e)
	}
	slices.Sort(all) // the same sum in every run
	for _, e := range all {
		worst += e
		rss += e * e
	}
	return worst, math.Sqrt(rss)
}

// floor returns the height at which a plate that lies over no other is held by
// its joints, less the air that it asks for itself.
func (k *Kit) floor(s solid) float64 {
	if s.Layer == 0 {
		return 0
	}
	return s.Pose.Origin[2] - s.Lift
}

// columns returns for each solid of the stack how high its front stands where
// sheets are as thick as thick says, and the solid it rests on, or -1.
func (k *Kit) columns(thick func(layers.Material) float64) (fronts []float64, under []int) {
	fronts, under = make([]float64, len(k.solids)), make([]int, len(k.solids))
	tops := make([]float64, len(k.strata)) // of the layer and those behind it
	for l, layer := range k.strata {
		if l > 0 {
			tops[l] = tops[l-1]
		}
		for _, i := range layer {
			s := k.solids[i]
			base := k.floor(s)
			under[i] = -1
			for j := range k.behind(i, func(layer int) bool { return under[i] < 0 || base < tops[layer] }) {
				if under[i] < 0 || fronts[j] > base {
					base, under[i] = fronts[j], j
				}
			}
			fronts[i] = base + s.Lift + thick(s.Stock)
			tops[l] = max(tops[l], fronts[i])
		}
	}
	return fronts, under
}

// stackHeight compares the highest column with the declared height.
func stackHeight(k *Kit, report func(layers.Finding)) {
	if k.limit == 0 {
		return
	}
	f := layers.Finding{
		ID:       "stack-height",
		Severity: layers.Error,
		Subject:  layers.Subject{Kind: "stack"},
		Cause:    "the sheets stand higher than declared",
		Remedy:   layers.Fix{Text: "declare a greater height, or thin a sheet or leave one out"},
	}
	c := k.highest(func(m layers.Material) float64 { return m.Thickness.Mean })
	height := c.Height
	if height <= k.limit+layers.Grid {
		c = k.Column()
		height = c.Height + c.Worst
		f.Severity = layers.Warning
		f.Cause = "the sheets may stand higher than declared where those of each batch err the same way"
		f.Remedy.Text = "sort the sheets by thickness, or declare a greater height"
		if c.Height+c.RSS > k.limit+layers.Grid {
			f.Cause = "the sheets may stand higher than declared, even where batches err independently"
		}
	}
	if height <= k.limit+layers.Grid {
		return
	}
	f.Measure = &layers.Measure{Value: height, Limit: k.limit, Unit: "mm"}
	for _, name := range c.Plates {
		f.Related = append(f.Related, layers.Subject{Kind: "plate", Name: name})
	}
	f.At = k.solids[k.index[c.Plates[len(c.Plates)-1]]].box.centre()
	f.At[2] = height
	report(f)
}

// stackSpread asks for the spread of sheets whose published tolerance would
// make the stack too high. That tolerance is far wider than what sheets of one
// batch do, so it makes no error.
func stackSpread(k *Kit, report func(layers.Finding)) {
	if k.limit == 0 {
		return
	}
	unknown := map[string]bool{}
	c := k.highest(func(m layers.Material) float64 {
		if m.Thickness.SD > 0 {
			return m.Thickness.Mean + sigmas*m.Thickness.SD
		}
		return max(m.Thickness.Mean, m.Nominal+m.Tolerance.Plus)
	})
	height := c.Height + c.Worst
	var at layers.Finding
	for _, name := range c.Plates {
		m := k.solids[k.index[name]].Stock
		if most := m.Nominal + m.Tolerance.Plus; m.Thickness.SD == 0 && most > m.Thickness.Mean {
			height += most - m.Thickness.Mean
			if !unknown[m.Name] {
				unknown[m.Name] = true
				at.Related = append(at.Related, layers.Subject{Kind: "material", Name: m.Name})
			}
		}
	}
	if len(unknown) == 0 || height <= k.limit+layers.Grid {
		return
	}
	at.ID = "stack-spread"
	at.Severity = layers.Note
	at.Subject = layers.Subject{Kind: "stack"}
	at.Measure = &layers.Measure{Value: height, Limit: k.limit, Unit: "mm"}
	at.Cause = "how far the sheets vary is not known, and by their published tolerance the stack might stand higher than declared"
	at.Remedy.Text = "measure several sheets and give the readings"
	report(at)
}

// layerAir looks for plates that do not rest on what they lie over.
func layerAir(k *Kit, report func(layers.Finding)) {
	front := func(i int) float64 { return k.solids[i].Pose.Origin[2] + k.solids[i].Stock.Thickness.Mean }
	tops := make([]float64, len(k.strata))
	for l, layer := range k.strata {
		for _, i := range layer {
			tops[l] = max(tops[l], front(i))
		}
	}
	for _, layer := range k.strata {
		for _, i := range layer {
			s, on := k.solids[i], -1
			for j := range k.behind(i, func(layer int) bool { return on < 0 || front(on) < tops[layer] }) {
				if on < 0 || front(j) > front(on) {
					on = j
				}
			}
			if on < 0 {
				continue // its joints hold it
			}
			air := s.Pose.Origin[2] - s.Lift - front(on)
			if air <= leastAir {
				continue
			}
			report(layers.Finding{
				ID:       "layer-air",
				Severity: layers.Warning,
				Subject:  subject(s),
				Related:  []layers.Subject{subject(k.solids[on])},
				At:       s.middle(s.Outline.Bounds().Centre()),
				Measure:  &layers.Measure{Value: air, Limit: leastAir, Unit: "mm"},
				Cause:    "the plate's layer stands higher than what the plate lies over, so that there is air behind it",
				Remedy:   layers.Fix{Text: "put a plate behind it that it rests on, or use sheets of one thickness in the layer behind"},
			})
		}
	}
}

// held is what a sprung joint holds: the plates it goes through and all that
// lie between the outermost of them, as they rest on each other.
type held struct {
	joint   string
	spring  joints.Spring
	front   solid
	height  float64 // mm
	rss     float64 // how much higher it is likely to stand at most, mm
	unnamed bool    // a plate of the column is not one that the joint goes through
}

// gripped yields what each sprung joint holds.
func (k *Kit) gripped() iter.Seq[held] {
	return func(yield func(held) bool) {
		var fronts []float64
		var under []int
		for joint, w := range k.works.sorted() {
			for _, spring := range w.Springs {
				through := map[int]bool{}
				for _, m := range w.Matings {
					if i := k.index[m.Opening]; m.Insert == spring.Plate && k.solids[i].Layer >= 0 {
						through[i] = true
					}
				}
				if len(through) == 0 {
					continue
				}
				if fronts == nil {
					fronts, under = k.columns(func(m layers.Material) float64 { return m.Thickness.Mean })
				}
				outer := slices.SortedFunc(maps.Keys(through), func(i, j int) int {
					return cmp.Or(cmp.Compare(k.solids[i].Layer, k.solids[j].Layer), cmp.Compare(fronts[i], fronts[j]))
				})
				first, last := outer[0], outer[len(outer)-1]
				h := held{joint: joint, spring: spring, front: k.solids[last]}
				h.height = fronts[last] - fronts[first] + k.solids[first].Stock.Thickness.Mean
				errs := map[string]float64{}
				for i := last; i >= 0 && k.solids[i].Layer >= k.solids[first].Layer; i = under[i] {
					errs[k.solids[i].Material] += sigmas * k.solids[i].Stock.Thickness.SD
					h.unnamed = h.unnamed || !through[i]
				}
				_, h.rss = combine(errs)
				if !yield(h) {
					return
				}
			}
		}
	}
}

// clipLoose looks for springs that count on plates standing higher than they
// rest.
func clipLoose(k *Kit, report func(layers.Finding)) {
	for h := range k.gripped() {
		if h.spring.Held <= h.height+leastAir {
			continue
		}
		report(layers.Finding{
			ID:       "clip-loose",
			Severity: layers.Warning,
			Subject:  layers.Subject{Kind: "joint", Name: h.joint},
			Related:  []layers.Subject{subject(h.front)},
			At:       k.solids[k.index[h.spring.Plate]].box.centre(),
			Measure:  &layers.Measure{Value: h.spring.Held, Limit: h.height, Unit: "mm"},
			Cause:    "the plates rest lower than the joint grips them, since there is air between them",
			Remedy:   layers.Fix{Text: "use sheets of one thickness in each layer, or rest the plates on the thickest"},
		})
	}
}

// clipTight looks for springs whose grip leaves no room for how far the sheets
// vary that lie between the plates they go through. A joint knows only the
// plates that it goes through, and judges those itself.
func clipTight(k *Kit, report func(layers.Finding)) {
	for h := range k.gripped() {
		need := h.height + h.rss
		if !h.unnamed || h.spring.Grip >= need {
			continue
		}
		f := layers.Finding{
			ID:       "clip-tight",
			Severity: layers.Warning,
			Subject:  layers.Subject{Kind: "joint", Name: h.joint},
			Related:  []layers.Subject{subject(h.front)},
			At:       k.solids[k.index[h.spring.Plate]].box.centre(),
			Measure:  &layers.Measure{Value: h.spring.Grip, Limit: need, Sense: layers.AtLeast, Unit: "mm"},
			Cause:    "plates lie in the grip that the joint does not go through, and sheets at the thick end of their spread would not fit",
			Remedy:   layers.Fix{Text: "name the plates that lie in the grip, or allow more"},
		}
		if h.spring.Grip < h.height {
			f.Severity = layers.Error
			f.Cause = "the plates stand higher than the joint grips"
		}
		report(f)
	}
}
