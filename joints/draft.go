package joints

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/go-gl/mathgl/mgl64"

	"github.com/platewright/platewright/layers"
)

// draft is a Work in the making. Its done keeps the promise that an Error
// comes with nothing else.
type draft struct {
	Work
	site Site
}

// draft starts the work of the site's joint.
func (s Site) draft() *draft { return &draft{site: s} }

// find reports a finding about the joint. Cause is a format for args.
func (d *draft) find(sev layers.Severity, id string, at mgl64.Vec3, m *layers.Measure, remedy, cause string, args ...any) {
	d.Findings = append(d.Findings, layers.Finding{
		ID:       id,
		Severity: sev,
		Subject:  layers.Subject{Kind: "joint", Name: d.site.Name},
		At:       at,
		Measure:  m,
		Cause:    fmt.Sprintf(cause, args...),
		Remedy:   layers.Fix{Text: remedy},
	})
}

// failed reports whether the work so far has an Error.
func (d *draft) failed() bool {
	return slices.ContainsFunc(d.Findings, func(f layers.Finding) bool { return f.Severity >= layers.Error })
}

// done returns the work, or where it has an Error nothing but its findings.
func (d *draft) done() Work {
	if d.failed() {
		return Work{Findings: d.Findings}
	}
	return d.Work
}

// atMost and atLeast are measures in mm.
func atMost(value, limit float64) *layers.Measure {
	return &layers.Measure{Value: value, Limit: limit, Sense: layers.AtMost, Unit: "mm"}
}

func atLeast(value, limit float64) *layers.Measure {
	return &layers.Measure{Value: value, Limit: limit, Sense: layers.AtLeast, Unit: "mm"}
}

// notNegative reports a field whose value in mm may not be negative but is.
func (d *draft) notNegative(field string, value float64) {
	if value < 0 {
		d.find(layers.Error, "joint-value", mgl64.Vec3{}, atLeast(value, 0), "give a length, or 0 for the default", "its %s is negative", field)
	}
}

// upright returns the upright of that name, or reports that there is none.
func (d *draft) upright(name string) Host {
	h, ok := d.site.Hosts[name]
	if !ok || !h.Upright {
		d.find(layers.Error, "joint-names", mgl64.Vec3{}, nil, "name a plate that is declared as an upright", "%q is no upright", name)
	}
	return h
}

// flat returns the plate of the stack of that name, or reports that there is
// none.
func (d *draft) flat(name string) Host {
	h, ok := d.site.Hosts[name]
	if !ok || h.Upright {
		d.find(layers.Error, "joint-names", mgl64.Vec3{}, nil, "name a plate of the stack", "%q is no plate of the stack", name)
	}
	return h
}

// stack returns the plates of the stack of those names, back to front, or
// reports what is wrong with the names.
func (d *draft) stack(names []string) stack {
	if len(names) == 0 {
		d.find(layers.Error, "joint-names", mgl64.Vec3{}, nil, "name the plates it goes through", "it goes through no plate")
	}
	var out stack
	for i, name := range names {
		if slices.Contains(names[:i], name) {
			d.find(layers.Error, "joint-names", mgl64.Vec3{}, nil, "name each plate once", "it names %q twice", name)
		}
		out = append(out, d.flat(name))
	}
	slices.SortStableFunc(out, func(a, b Host) int {
		return cmp.Or(cmp.Compare(a.Back(), b.Back()), cmp.Compare(a.Plate.Name, b.Plate.Name))
	})
	return out
}

// stock returns the material of that name for a plate that the joint makes, or
// reports that there is none; "" stands for the material of like.
func (d *draft) stock(name string, like Host) layers.Material {
	if name == "" {
		return like.Material
	}
	m, err := d.site.Stock.Find(name)
	if err != nil {
		d.find(layers.Error, "joint-material", mgl64.Vec3{}, nil, "name a material of the product's library", "the material %q that it is cut from is not known", name)
	}
	return m
}

// stack is plates of the stack, back to front.
type stack []Host

// back and front return the heights of the outermost faces.
func (s stack) back() float64 { return s[0].Back() }

func (s stack) front() float64 {
	z := s[0].Front()
	for _, h := range s[1:] {
		z = max(z, h.Front())
	}
	return z
}
