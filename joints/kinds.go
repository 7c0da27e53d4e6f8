package joints

import "reflect"

// Kind is one kind of joint, as the written form names it.
type Kind struct {
	Name string       // "tab-slot"
	Doc  string       // one sentence
	New  func() Joint // a pointer to the kind's zero value
}

// Kinds returns every kind of joint this package holds, by name: a fresh slice
// each call, so that a program may append its own.
func Kinds() []Kind {
	return []Kind{
		{"cross-lap", "Two uprights cross, one slotted from above and one from below.", func() Joint { return new(CrossLap) }},
		{"hanging-slot", "A slot hangs the piece on a screw in the wall.", func() Joint { return new(HangingSlot) }},
		{"peg", "A cut peg with a head goes through aligned slots.", func() Joint { return new(Peg) }},
		{"screw", "A metric screw and nut hold plates together.", func() Joint { return new(Screw) }},
		{"seat", "Plates of one layer sit in a window in turn.", func() Joint { return new(Seat) }},
		{"spring-clip", "A cut clip with a sprung hook holds plates together without glue or tools.", func() Joint { return new(SpringClip) }},
		{"tab-slot", "A tab of an upright goes through one or more plates.", func() Joint { return new(TabSlot) }},
	}
}

// KindOf returns the name of the kind that j is of, "" where this package does
// not hold it.
func KindOf(j Joint) string {
	t := reflect.TypeOf(j)
	for _, k := range Kinds() {
		if p := reflect.TypeOf(k.New()); t == p || t == p.Elem() {
			return k.Name
		}
	}
	return ""
}
