package main

import (
	"encoding/json"
	"fmt"
	"io"
	"slices"

	"github.com/spf13/cobra"

	"github.com/platewright/platewright/layers"
	"github.com/platewright/platewright/layers/stock"
	"github.com/platewright/platewright/layers/written"
)

func newMaterials() *cobra.Command {
	var (
		file   pathFlag
		asJSON bool
	)
	c := &cobra.Command{
		Use:   "materials [NAME]",
		Short: "Show the materials that are known, and where their figures come from",
		Long: `Materials lists what is known: the built-in materials, and those of your own
file. With a name it shows every figure of that material with its source.

A thickness or a kerf that nobody has measured on your sheets and your machine
is marked as never measured: such figures are a start, and a sheet of 3 mm may be
anything from 2.3 to 3.7.`,
		Example: `  platewright materials
  platewright materials "birch ply 3"
  platewright materials --materials workshop.yaml --json`,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) > 1 {
				return fmt.Errorf("materials: expected one NAME at most, found %s: put quotes round a name with spaces", list(args))
			}
			return nil
		},
		RunE: job(func(c *cobra.Command, args []string) error {
			library, err := overlay(stock.Common(), string(file))
			if err != nil {
				return err
			}
			w := c.OutOrStdout()
			shown := slices.Collect(library.All())
			if len(args) == 1 {
				m, err := library.Find(args[0])
				if err != nil {
					return fmt.Errorf("no material %q; %s", args[0], written.Hint(args[0], library.Names()))
				}
				shown = []layers.Material{m}
			}
			if asJSON {
				return materialsJSON(w, shown)
			}
			if len(args) == 1 {
				figures(w, shown[0])
			} else {
				overview(w, shown)
			}
			return nil
		}),
	}
	c.Flags().Var(&file, "materials", "read your own materials from `FILE`")
	c.Flags().BoolVar(&asJSON, "json", false, "write them as JSON")
	return c
}

const never = "never measured"

// thicknessMeasured reports whether someone gave the thickness: a built-in one
// is what sheets are sold as, or what others found.
func thicknessMeasured(m layers.Material) bool {
	for builtin := range stock.Common().All() {
		if m.Source("thickness") == builtin.Source("thickness") {
			return false
		}
	}
	return m.Source("thickness") != ""
}

// kerfMeasured reports whether someone gave the kerf.
func kerfMeasured(m layers.Material) bool {
	if m.Kerf.Date != "" {
		return true
	}
	for builtin := range stock.Common().All() {
		if m.Source("kerf-x") == builtin.Source("kerf-x") {
			return false
		}
	}
	return m.Source("kerf-x") != ""
}

func overview(w io.Writer, ms []layers.Material) {
	rows := [][]string{{"material", "kind", "thickness mm", "", "kerf mm", "", "sheet mm"}}
	for _, m := range ms {
		kerf := fmt.Sprintf("%.3g", m.Kerf.X.Mean)
		if m.Kerf.X.Mean != m.Kerf.Y.Mean {
			kerf += fmt.Sprintf(" × %.3g", m.Kerf.Y.Mean)
		}
		thickness, when := never, never
		if thicknessMeasured(m) {
			thickness = m.Source("thickness")
		}
		if m.Kerf.Date != "" {
			when = "measured " + m.Kerf.Date
		} else if kerfMeasured(m) {
			when = m.Source("kerf-x")
		}
		rows = append(rows, []string{m.Name, string(m.Kind), fmt.Sprintf("%.4g", m.Thickness.Mean), thickness, kerf, when, fmt.Sprintf("%g × %g", m.Sheet.Width, m.Sheet.Height)})
	}
	align(w, rows, nil)
}

// figures writes every figure of m with its source.
func figures(w io.Writer, m layers.Material) {
	fmt.Fprintf(w, "%s, %s\n", m.Name, m.Kind)
	if !thicknessMeasured(m) {
		fmt.Fprintln(w, "The thickness was never measured.")
	}
	if !kerfMeasured(m) {
		fmt.Fprintln(w, "The kerf was never measured.")
	} else if m.Kerf.Date != "" {
		fmt.Fprintf(w, "The kerf was measured %s, %s.\n", m.Kerf.Date, m.Kerf.At)
	}
	fmt.Fprintln(w)
	rows := [][]string{{"figure", "value", "unit", "source"}}
	for _, f := range stock.Fields() {
		value := "not known"
		if v := f.Value(m); v != 0 {
			value = fmt.Sprintf("%.6g", v)
		}
		rows = append(rows, []string{f.Name, value, f.Unit, m.Source(f.Name)})
	}
	align(w, rows, nil)
}

type jsonMaterial struct {
	Name      string             `json:"name"`
	Kind      string             `json:"kind"`
	Measured  jsonMeasured       `json:"measured"`
	Currency  string             `json:"currency,omitempty"`
	Figures   map[string]float64 `json:"figures"` // by the names that --set takes
	Sources   map[string]string  `json:"sources"`
	Grain     bool               `json:"grain"`
	KerfDate  string             `json:"kerf-date,omitempty"`
	KerfSetUp string             `json:"kerf-at,omitempty"`
}

type jsonMeasured struct {
	Thickness bool `json:"thickness"`
	Kerf      bool `json:"kerf"`
}

func materialsJSON(w io.Writer, ms []layers.Material) error {
	out := []jsonMaterial{}
	for _, m := range ms {
		j := jsonMaterial{
			Name: m.Name, Kind: string(m.Kind), Measured: jsonMeasured{thicknessMeasured(m), kerfMeasured(m)},
			Currency: m.Sheet.Currency, Grain: m.Grain, KerfDate: m.Kerf.Date, KerfSetUp: m.Kerf.At,
			Figures: map[string]float64{}, Sources: map[string]string{},
		}
		for _, f := range stock.Fields() {
			j.Figures[f.Name] = f.Value(m)
			if s := m.Source(f.Name); s != "" {
				j.Sources[f.Name] = s
			}
		}
		out = append(out, j)
	}
	e := json.NewEncoder(w)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(out)
}
