package main

import (
	"github.com/spf13/cobra"

	"github.com/platewright/platewright/export"
)

func newCheck() *cobra.Command {
	var (
		in     input
		asJSON bool
	)
	c := &cobra.Command{
		Use:   "check FILE",
		Short: "Build a product and show what the checks find",
		Long: `Check builds a product as build does, shows what the checks found, worst first,
and writes no files. The exit status is 1 where an error is found.`,
		Example: `  platewright check harbour.yaml
  platewright check harbour.yaml --set "birch ply 3.thickness=3.3" --json`,
		Args: one("FILE"),
		RunE: job(func(c *cobra.Command, args []string) error {
			kit, err := in.build(c.Context(), args[0])
			if err != nil {
				return err
			}
			if asJSON {
				if err := export.EncodeFindings(c.OutOrStdout(), kit.Findings()); err != nil {
					return err
				}
			} else {
				table(c.OutOrStdout(), kit.Findings())
			}
			if kit.Err() != nil {
				return errFound
			}
			return nil
		}),
	}
	in.flags(c)
	c.Flags().BoolVar(&asJSON, "json", false, "write the findings as JSON, as they stand in kit.json")
	return c
}
