package stock

import (
	"maps"

	"github.com/platewright/platewright/layers"
)

// What a source says where nobody has published the figure.
const (
	// Unpublished stands beside a figure that is 0: not known.
	Unpublished = "no published value; measure"
	// Assumed stands beside a figure that the design of a joint needs.
	Assumed = "assumption from memory; a coupon replaces it"
	// Chosen stands beside what is a choice of this library and no measurement.
	Chosen = "chosen for this library; change it to suit"
)

// palette is the colours for lines, from a palette that colour-blind people can
// tell apart: M. Okabe and K. Ito, Color Universal Design, 2008 (vermillion,
// blue, bluish green, black, reddish purple).
var palette = layers.Pens{Cut: "#D55E00", InsideCut: "#0072B2", Score: "#009E73", Engrave: "#000000", Label: "#CC79A7"}

const (
	birchSheet  = "birch plywood datasheet of a mill, table of thicknesses"
	castSheet   = "data of a cast acrylic sheet to ISO 527, ISO 178 and ISO 1183 at 23 °C"
	extruded    = "an American plastics supplier's page on acrylic sheet"
	stressPage  = "an American sheet maker's page on acrylic design stresses"
	shopKerf    = "a British engraving service's artwork guide: "
	measureKerf = "; shops differ by half, so measure yours"
	frictionRow = "Snap-Fit Joints for Plastics, a resin maker's design guide, table 3: acrylic 0.50 to 0.60 on steel, 1.2 times that on itself; the middle"
	plyBand     = "a plywood mill's table of sanded sheet, +(0.2 + 0.03 t) and -(0.4 + 0.03 t) mm; a summary of GB/T 9846 gives the formula"
	nominalOnly = "the thickness it is sold as; measure every sheet"
)

// common is what all materials share until told otherwise.
func common(name string, kind layers.Kind, nominal float64) layers.Material {
	return layers.Material{
		Name: name, Kind: kind, Nominal: nominal,
		Thickness: layers.Spread{Mean: nominal},
		Sheet:     layers.Sheet{Width: 600, Height: 400, Margin: 5},
		Pens:      palette, Opacity: 1,
		Sources: map[string]string{
			"kind": Chosen, "nominal": Chosen, "thickness": nominalOnly, "thickness-sd": Unpublished,
			"kerf-x-sd": Assumed, "kerf-y-sd": Assumed, "kerf-sd": Assumed,
			"grain": Chosen, "sheet": Chosen, "price": Unpublished, "speed": Unpublished,
			"pens": "Okabe and Ito, Color Universal Design, 2008", "picture": Chosen,
			"modulus": Unpublished, "strain": Unpublished, "friction": Unpublished,
		},
	}
}

// kerf returns the kerf of one width in both directions. Its deviation of 0.02
// mm on one machine is an assumption.
func kerf(width float64) layers.Kerf {
	s := layers.Spread{Mean: width, SD: 0.02}
	return layers.Kerf{X: s, Y: s}
}

// with returns m with more sources.
func with(m layers.Material, sources map[string]string) layers.Material {
	m.Sources = maps.Clone(m.Sources)
	maps.Copy(m.Sources, sources)
	return m
}

// plywood returns a three-ply sheet. In the sheet's plane its plies act side by
// side: with 15 and 0.5 GPa along and across the wood of birch, from memory,
// two plies of three make 10 GPa along the face grain and one makes 5 GPa
// across. The strain is that along the grain.
func plywood(name string, nominal float64) layers.Material {
	m := common(name, layers.Plywood, nominal)
	m.Tolerance = layers.Band{Minus: 0.4 + 0.03*nominal, Plus: 0.2 + 0.03*nominal}
	m.Kerf = kerf(0.2)
	m.Strain = layers.Strain{Once: 0.0035, Repeated: 0.0021, Held: 0.001}
	m.Friction = 0.4
	m.Grain = true
	return with(m, map[string]string{
		"tolerance": plyBand,
		"kerf":      shopKerf + "0.20 mm full width in 3 mm ply" + measureKerf,
		"modulus":   Assumed, "strain": Assumed, "friction": Assumed,
	})
}

// castTolerance returns how far cast sheet of t mm may be off, mm, by
// ISO 7823-1.
func castTolerance(t float64) float64 { return 0.4 + 0.1*t }

// extrudedTolerance returns how far extruded sheet of t mm may be off, mm, by
// ISO 7823-2.
func extrudedTolerance(t float64) float64 {
	if t < 3 {
		return 0.1 * t
	}
	return 0.05 * t
}

// acrylic returns a cast or an extruded sheet.
func acrylic(name string, nominal float64, cast bool, colour string, opacity float64) layers.Material {
	m := common(name, layers.Acrylic, nominal)
	m.Density = 1190
	m.Kerf = kerf(0.15)
	m.Friction = 0.66
	m.Colour, m.Opacity = colour, opacity
	m = with(m, map[string]string{
		"kerf":     shopKerf + "0.15 mm full width in 3 mm cast acrylic, where an American service gives 0.23" + measureKerf,
		"friction": frictionRow,
		"strain":   Assumed,
	})
	if cast {
		off := castTolerance(nominal)
		m.Tolerance = layers.Band{Minus: off, Plus: off}
		m.Along, m.Across = 3300, 3300
		m.Strain = layers.Strain{Once: 0.008, Repeated: 0.005, Held: 0.003}
		return with(m, map[string]string{
			"tolerance": "ISO 7823-1: ±(0.4 + 0.1 t) mm, as sheet makers quote it",
			"density":   castSheet + ": 1.19 g/cm³", "modulus": castSheet + ": 3300 MPa in tension",
			"strain-held": stressPage + ": 10.3 MPa for good; by 3300 MPa, rounded down",
		})
	}
	off := extrudedTolerance(nominal)
	m.Tolerance = layers.Band{Minus: off, Plus: off}
	m.Along, m.Across = 2800, 2800
	m.Strain = layers.Strain{Once: 0.008, Repeated: 0.005, Held: 0.0015}
	return with(m, map[string]string{
		"tolerance": "ISO 7823-2: ±10 % below 3 mm, ±5 % from 3 mm, as sheet makers quote it",
		"density":   extruded + ": 1.19 g/cm³", "modulus": extruded + ": 2800 MPa in tension",
		"strain-held": stressPage + ": 5.2 MPa for good, the lower of its grades; by 3300 MPa in bending, rounded down",
	})
}

// Common returns the built-in materials: generic sheets of the sizes that
// layered plates are made of. Each figure has a source ([layers.Material.Source]
// by the name of its field). The thickness is what the sheet is sold as or a
// published average and the kerf is another shop's: measure both before
// cutting.
func Common() layers.Library {
	birch3 := plywood("birch ply 3", 3)
	birch3.Density, birch3.Along, birch3.Across, birch3.Colour = 660, 10000, 5000, "#E3C9A0"
	birch3 = with(birch3, map[string]string{"density": birchSheet + ": 660 kg/m³ for 4 mm, the thinnest listed"})

	birch4 := plywood("birch ply 4", 4)
	birch4.Density, birch4.Along, birch4.Across, birch4.Colour = 660, 10000, 5000, "#E3C9A0"
	birch4.Thickness = layers.Spread{Mean: 3.8, SD: 0.1}
	birch4.Tolerance = layers.Band{Minus: 0.5, Plus: 0.1}
	birch4 = with(birch4, map[string]string{
		"density":      birchSheet + ": 660 kg/m³",
		"thickness":    birchSheet + ": 3.8 mm on average; measure every sheet",
		"thickness-sd": birchSheet + ": 3.5 to 4.1 mm, read as three deviations to each side",
		"tolerance":    birchSheet + ": 3.5 to 4.1 mm",
	})

	walnut := plywood("walnut-faced ply 3", 3)
	walnut.Density, walnut.Along, walnut.Across, walnut.Colour = 600, 8000, 4000, "#7A5540"
	walnut = with(walnut, map[string]string{"density": Assumed})

	poplar := plywood("poplar ply 3", 3)
	poplar.Density, poplar.Along, poplar.Across, poplar.Colour = 450, 6500, 3200, "#E8DBC0"
	poplar.Strain = layers.Strain{Once: 0.003, Repeated: 0.0018, Held: 0.0008}
	poplar = with(poplar, map[string]string{"density": Assumed})

	mdf := common("mdf 3", layers.MDF, 3)
	mdf.Tolerance = layers.Band{Minus: 0.2, Plus: 0.2}
	mdf.Kerf = kerf(0.18)
	mdf.Density, mdf.Along, mdf.Across, mdf.Friction = 880, 2700, 2700, 0.4
	mdf.Colour = "#B08D67"
	mdf = with(mdf, map[string]string{
		"tolerance": "a maker's specification of thin MDF, revision 12 of 2020: ±0.2 mm, measured to EN 324-1",
		"density":   "a maker's specification of thin MDF, revision 12 of 2020: 880 kg/m³ above 2.7 to 3.6 mm",
		"modulus":   "a board maker's table of general-purpose dry MDF: 2700 MPa above 1.5 to 3.5 mm",
		"kerf":      shopKerf + "0.18 mm full width in 3 mm MDF" + measureKerf,
		"friction":  Assumed,
	})

	return layers.Library{}.With(
		birch3, birch4, walnut, poplar, mdf,
		acrylic("clear cast acrylic 3", 3, true, "#DCE8EC", 0.35),
		acrylic("blue cast acrylic 3", 3, true, "#3E7CB1", 0.7),
		acrylic("amber cast acrylic 3", 3, true, "#D9902F", 0.7),
		acrylic("opal cast acrylic 3", 3, true, "#F4F2EC", 0.85),
		acrylic("black extruded acrylic 3", 3, false, "#1E1E1E", 1),
	)
}
