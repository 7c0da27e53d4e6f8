package layers

// Rectangle returns a rectangle of w × h mm centred on the origin.
func Rectangle(w, h float64) Region { panic("todo") }

// RoundedRectangle is Rectangle with corners of the given radius, which may
// not exceed half of either side.
func RoundedRectangle(w, h, radius float64) Region { panic("todo") }

// Circle returns a disc of the given diameter centred on the origin.
func Circle(diameter float64) Region { panic("todo") }

// Ellipse returns an ellipse of w × h mm centred on the origin, as arcs within
// CurveTolerance.
func Ellipse(w, h float64) Region { panic("todo") }

// Polygon returns the polygon through the given corners, in either direction.
// A boundary that crosses itself is an error (see Region.Err).
func Polygon(corners ...Point) Region { panic("todo") }

// RegularPolygon returns a polygon of n ≥ 3 equal sides centred on the origin,
// whose corners lie on a circle of the given diameter, the first at the top.
func RegularPolygon(n int, diameter float64) Region { panic("todo") }

// SlotShape returns a w × h mm rectangle whose shorter sides are half circles.
func SlotShape(w, h float64) Region { panic("todo") }

// PathData returns the region filled, by the non-zero rule, by SVG path data.
// The data's y axis points down as in SVG; flip with Mirror(0) or Scale(1, -1)
// where that is not wanted: PathData itself turns nothing.
func PathData(d string) Region { panic("todo") }

// Row returns n copies of r, each moved by step from the one before.
func Row(r Region, n int, step Point) Region { panic("todo") }

// Ring returns n copies of r turned evenly about the origin, the first where r
// is.
func Ring(r Region, n int) Region { panic("todo") }
