package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"github.com/platewright/platewright/assembly/form"
	"github.com/platewright/platewright/export"
)

func newSchema() *cobra.Command {
	return &cobra.Command{
		Use:   "schema product|kit",
		Short: "Write the JSON Schema of a product file or of kit.json",
		Long: `Schema writes a JSON Schema (draft 2020-12): "product" for the files that build
and check read, which editors use to complete and check them as you type,
"kit" for the kit.json that build writes.`,
		Example: `  platewright schema product > product.schema.json
  platewright schema kit`,
		ValidArgs: []string{"product", "kit"},
		Args: func(c *cobra.Command, args []string) error {
			if len(args) != 1 || args[0] != "product" && args[0] != "kit" {
				return fmt.Errorf("schema: expected product or kit, found %s", list(args))
			}
			return nil
		},
		RunE: job(func(c *cobra.Command, args []string) error {
			data := export.KitSchema()
			if args[0] == "product" {
				data = form.Schema()
			}
			_, err := c.OutOrStdout().Write(data)
			return err
		}),
	}
}
