// Package flex is the mechanics of thin springs cut from sheet and bent in the
// sheet's own plane: how far a spring arm may be bent before it breaks, and
// how hard it pushes back. It knows numbers only, no plates.
//
// Lengths are mm, forces N, moduli MPa (N/mm²), angles radians, and strain is
// a plain fraction: 0.005 is 0.5 %.
//
// The theory is the engineer's beam (small deflections, linear elastic, bending
// alone): good to a few per cent while an arm is at least some five widths long
// and its slope stays below about 0.2. Left out, and known to be: shear and
// stretch (about one part in the square of length over width), the give of the
// body behind the root (it makes real arms softer, so the strain here is on the
// safe side), the notch effect where an arm meets its body, and large
// deflections. An arch's deflection is a thin ring's; its strain does count the
// curvature (see [CurvedBar]).
package flex
