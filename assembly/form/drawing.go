package form

import (
	"reflect"

	"gopkg.in/yaml.v3"

	"github.com/platewright/platewright/layers"
)

// drawing is a shape out of a drawing, read once with the form.
type drawing struct {
	region layers.Region
}

// extract is the written form of a drawing.
type extract struct {
	File string `form:"required"` // an SVG drawing, named relative to this file
	ID   string `form:"required"` // the id of the shape in it
}

func (d *decoder) drawing(n *yaml.Node, key string) setter {
	set := d.record(n, key, reflect.TypeFor[extract]())
	if set == nil {
		return nil
	}
	return fixed(drawing{})
}

func (w *describer) drawing() schema { return w.record(reflect.TypeFor[extract]()) }
