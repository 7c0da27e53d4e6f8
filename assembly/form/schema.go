package form

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"reflect"

	"github.com/platewright/platewright/joints"
	"github.com/platewright/platewright/layers"
)

// Schema returns the JSON Schema (draft 2020-12) of the written form, for
// editors. It comes from the same walk over the same types as reading, and
// says what keys there are and of what type; what only a product as a whole
// can tell, such as a plate that is not known, it does not.
func Schema() []byte { return Reader{}.Schema() }

// Schema is the package's Schema with the joints of r.
func (r Reader) Schema() []byte {
	w := describer{kinds: r.kinds(), defs: schema{}}
	s := w.record(reflect.TypeFor[product]())
	s["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	s["title"] = "platewright product"
	s["$defs"] = w.defs
	out, err := json.MarshalIndent(s, "", "  ")
	if err != nil {
		panic(err) // a schema holds maps, lists, text and numbers only
	}
	return append(out, '\n')
}

// schema is a JSON Schema object.
type schema map[string]any

// describer writes the schema.
type describer struct {
	kinds []joints.Kind
	defs  schema
}

// comments holds what the source says of each field, "joints.TabSlot.At". A
// test keeps it fresh.
//
//go:embed comments.json
var comments []byte

var comment = func() map[string]string {
	out := map[string]string{}
	if err := json.Unmarshal(comments, &out); err != nil {
		panic(fmt.Sprintf("form: comments.json: %v", err))
	}
	return out
}()

// define returns a reference to the definition called name, which make makes
// once.
func (w *describer) define(name string, make func() schema) schema {
	if _, ok := w.defs[name]; !ok {
		w.defs[name] = nil // a form may contain itself
		w.defs[name] = make()
	}
	return schema{"$ref": "#/$defs/" + name}
}

func anyOf(of ...schema) schema { return schema{"anyOf": of} }

func (w *describer) number(m measure) schema {
	return w.define(m.name, func() schema {
		n := schema{"type": "number", "minimum": m.least, "maximum": m.most}
		if m.whole {
			n["type"] = "integer"
		}
		if m.positive {
			delete(n, "minimum")
			n["exclusiveMinimum"] = m.least
		}
		s := anyOf(n, schema{"type": "string", "minLength": 1})
		s["description"] = m.noun() + ": a number, a number with its unit, or an expression"
		return s
	})
}

// text is what counts as text without quotes: a name may look like a number.
func (w *describer) text() schema {
	return schema{"type": []string{"string", "number", "boolean"}}
}

func (w *describer) word(t reflect.Type) schema {
	if known := words(t); known != nil {
		return schema{"enum": known}
	}
	return w.text()
}

func (w *describer) flag() schema { return schema{"type": "boolean"} }

func (w *describer) constant() schema { return schema{"type": []string{"number", "string"}} }

// record describes the struct t.
func (w *describer) record(t reflect.Type) schema {
	return w.object(fieldsOf(t))
}

func (w *describer) object(fields []field) schema {
	properties := schema{}
	var required []string
	for _, f := range fields {
		p := f.kind.schema(w)
		if c := comment[f.owner.String()+"."+f.goName]; c != "" {
			p["description"] = c
		}
		properties[f.name] = p
		if f.required {
			required = append(required, f.name)
		}
	}
	s := schema{"type": "object", "properties": properties, "additionalProperties": false}
	if required != nil {
		s["required"] = required
	}
	return s
}

func (w *describer) outline() schema {
	return w.define("outline", func() schema {
		all := []schema{{"type": "string", "description": "a name from outlines"}}
		for _, x := range shapes {
			all = append(all, w.record(reflect.TypeOf(x)))
		}
		return anyOf(all...)
	})
}

func (w *describer) factors() schema {
	n := w.number(measures[reflect.TypeFor[ratio]()])
	return anyOf(n, pair(reflect.TypeFor[factors]()).schema(w))
}

func (w *describer) score() schema {
	k, _ := kindOf(reflect.TypeFor[[]layers.Line]())
	return anyOf(w.outline(), k.schema(w))
}

func (w *describer) layer() schema {
	one := w.define("plate", func() schema { return w.record(reflect.TypeFor[plate]()) })
	return anyOf(one, schema{"type": "array", "items": one, "minItems": 1})
}

func (w *describer) allParameters() schema {
	return schema{"type": "object", "additionalProperties": anyOf(w.constant(), w.record(reflect.TypeFor[parameter]()))}
}

func (w *describer) allOutlines() schema {
	return schema{"type": "object", "additionalProperties": w.outline()}
}

func (w *describer) fit() schema {
	return anyOf(schema{"enum": fits()}, w.record(reflect.TypeFor[play]()))
}

func (w *describer) allJoints() schema {
	var all []schema
	for _, k := range w.kinds {
		s := w.object(fieldsOf(typeOf(k)))
		s["description"] = k.Doc
		s["properties"].(schema)["kind"] = schema{"const": k.Name, "description": k.Doc}
		s["required"] = []string{"kind"}
		all = append(all, s)
	}
	return schema{"type": "object", "additionalProperties": schema{"oneOf": all}}
}
