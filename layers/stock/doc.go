// Package stock holds the sheet materials that come with the library and reads
// a user's own.
//
// [Common] is a small library of generic sheets in which every figure tells
// where it comes from. [Open] lays a user's materials file over it, field by
// field. [Set] changes one figure by its name, "birch ply 3.thickness", which
// is also how a finding's remedy names it; [Fields] lists the names.
//
// A materials file is YAML:
//
//	materials:
//	  birch ply 3:                       # changes the built-in one
//	    thickness: {readings: [2.81, 2.79 mm, 2.83]}
//	    kerf: {x: 0.18, y: 0.17, date: 2026-10-02, at: "60 W tube, 2 in lens, 14 mm/s"}
//	  walnut:                            # a new one that starts from another
//	    like: walnut-faced ply 3
//	    price: 14.5 EUR
//	    sheet: {width: 600, height: 400, margin: 6}
//	  oak ply 4:                         # a new one from nothing
//	    kind: plywood
//	    nominal: 4
//	    thickness: 3.9
//
// The fields of a material, all of them optional except where noted:
//
//	like       another material, of this file or the built-in ones, to start from
//	kind       plywood, mdf or acrylic (needed where there is no like)
//	nominal    thickness it is sold as, mm (needed where there is no like)
//	thickness  as measured: 2.8, or {mean: 2.8, sd: 0.02}, or {readings: [...]}
//	tolerance  published limits about nominal: 0.2, or {minus: 0.4, plus: 0.2}
//	kerf       full width of the cut: 0.18, or {mean: , sd: }, or {readings: [...]}
//	           for both directions, or {x: , y: } with any of these for each;
//	           date: YYYY-MM-DD and at: machine and set-up beside them
//	density    kg/m³, or with g/cm³
//	modulus    MPa or with GPa: 3300, or {along: , across: } the face grain
//	strain     {once: , repeated: , held: } as fractions, or with %
//	friction   sheet on the same sheet
//	grain      true or false
//	sheet      {width: , height: , margin: }
//	price      of one sheet with its currency: 14.5 EUR
//	speed      {cut: , score: , engrave: } mm/s, or with mm/min
//	pens       {cut: , inside-cut: , score: , engrave: , label: } as "#rrggbb"
//	picture    {colour: "#rrggbb", opacity: } from 0 to 1
//	sources    {density: "sheet maker's page"} by field or first word of it
//
// Lengths are mm, or have a unit: mm, cm, m, in, µm or um. One new figure for
// a thickness or a kerf replaces the mean and keeps the deviation; two readings
// or more replace both. A new nominal thickness without a measured one stands
// for it until it is measured, and drops a tolerance that was meant for another
// thickness.
package stock
