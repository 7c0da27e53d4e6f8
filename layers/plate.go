package layers

// Plate is one cut piece as it is declared: a region of a material, in its
// own plane.
type Plate struct {
	Name     string  // unique in a product
	Material string  // a name in the product's library
	Outline  Region  // finished size; Build adds and cuts what the joints ask for
	Marks    []Mark  // lines to score and faces to engrave
	Gap      float64 // least distance to the other plates of its layer, mm; 0: touching is well
	Lift     float64 // air left behind the plate, to the layer behind it, mm
}

// Operation is what the laser does along a line or over a face.
type Operation int

const (
	Score   Operation = iota + 1 // a shallow line
	Engrave                      // a shallow face
	Cut                          // through
)

// String returns "score", "engrave" or "cut".
func (o Operation) String() string {
	switch o {
	case Score:
		return "score"
	case Engrave:
		return "engrave"
	case Cut:
		return "cut"
	}
	return "none"
}

// Mark is a shallow mark on the front face of a plate. A Score mark follows
// Lines; an Engrave mark fills Area. Marks are never kerf-compensated.
type Mark struct {
	Operation Operation // Score or Engrave
	Lines     []Line    // Score
	Area      Region    // Engrave
}

// Line is an open or closed polyline in the plate's plane.
type Line []Point
