package written

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// decimal is what counts as a number: no hexadecimal, no octal, no digit
// groups, no infinity, so that a figure means to us what it means to its
// writer.
var decimal = regexp.MustCompile(`^[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]+)?`)

// Number returns the finite decimal number that s is.
func Number(s string) (float64, error) { return Quantity(s, map[string]float64{"": 1}) }

// lengths are the units of length, mm.
var lengths = map[string]float64{
	"": 1, "mm": 1, "cm": 10, "m": 1000, "in": 25.4,
	"µm": 1e-3, "μm": 1e-3, "um": 1e-3, // the micro sign and the Greek letter
}

// Length returns the length that s is, mm: a bare number is mm, and a unit may
// follow (mm, cm, m, in, µm, um). An inch is 25.4 mm exactly.
func Length(s string) (float64, error) { return Quantity(s, lengths) }

// Quantity returns the number in s times the factor of the unit behind it,
// with or without a space between them. Units must hold "" if a bare number is
// allowed. Factors below 1 that are the inverse of a whole number divide, so
// that 2810 µm is 2.81 exactly.
func Quantity(s string, units map[string]float64) (float64, error) {
	s = strings.TrimSpace(s)
	digits := decimal.FindString(s)
	unit := strings.TrimSpace(s[len(digits):])
	if digits == "" {
		return 0, fmt.Errorf("expected %s, found %q", expected(units), clip(s))
	}
	if strings.HasPrefix(unit, ",") {
		return 0, fmt.Errorf("expected %s, found %q; write the decimals behind a point", expected(units), clip(s))
	}
	factor, ok := units[unit]
	if !ok {
		if unit == "" {
			return 0, fmt.Errorf("expected %s, found %q without a unit", expected(units), clip(s))
		}
		return 0, fmt.Errorf("expected %s, found %q", expected(units), clip(s))
	}
	v, err := strconv.ParseFloat(digits, 64)
	if err != nil {
		return 0, fmt.Errorf("expected %s, found %q, which is beyond all numbers", expected(units), clip(s))
	}
	if per := math.Round(1 / factor); factor < 1 && math.Abs(per*factor-1) < 1e-12 {
		v /= per
	} else {
		v *= factor
	}
	if math.IsInf(v, 0) {
		return 0, fmt.Errorf("expected %s, found %q, which is beyond all numbers", expected(units), clip(s))
	}
	return v, nil
}

// expected describes what Quantity takes.
func expected(units map[string]float64) string {
	var names []string
	for u := range units {
		if u != "" && u != "μm" {
			names = append(names, u)
		}
	}
	slices.Sort(names)
	_, bare := units[""]
	switch {
	case len(names) == 0:
		return "a number"
	case bare:
		return "a number, alone or with " + strings.Join(names, ", ")
	}
	return "a number with " + strings.Join(names, ", ")
}

// clip shortens text that is quoted in a message.
func clip(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "…"
	}
	return s
}
