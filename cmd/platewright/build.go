package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"github.com/platewright/platewright/export"
)

func newBuild() *cobra.Command {
	var (
		in     input
		out    pathFlag
		anyway bool
	)
	c := &cobra.Command{
		Use:   "build FILE -o DIR",
		Short: "Build a product and write its files",
		Long: `Build reads a product, builds it for the sheets as measured and shows what the
checks found. It writes into DIR: one SVG of tool paths for each material
(the kerf is allowed for), kit.json with everything about the kit, and
picture.svg.

Where the checks find errors nothing in DIR is touched, unless --anyway is
given; the exit status is 1 either way.`,
		Example: `  platewright build harbour.yaml -o out
  platewright build harbour.yaml -o out --set "birch ply 3.thickness=2.8" --set width=140
  platewright build harbour.yaml -o out --materials workshop.yaml`,
		Args: one("FILE"),
		RunE: job(func(c *cobra.Command, args []string) error {
			if out == "" {
				return usage{errors.New("build: expected a folder to write into, -o DIR (or --out DIR)")}
			}
			ctx := c.Context()
			kit, err := in.build(ctx, args[0])
			if err != nil {
				return err
			}
			w := c.OutOrStdout()
			table(w, kit.Findings())
			if kit.Err() != nil && !anyway {
				fmt.Fprintf(w, "Nothing was written to %s: mend the errors, or add --anyway.\n", out)
				return errFound
			}
			files := export.Cut{}.Files(kit)
			files = append(files, export.Summary{}.Files(kit)...)
			files = append(files, export.Picture{}.Files(kit)...)
			old := cutBefore(string(out))
			if err := export.Save(string(out), heeding(ctx, files)); err != nil {
				return err
			}
			fmt.Fprintln(w, "Written:")
			for _, f := range files {
				fmt.Fprintln(w, "  "+filepath.ToSlash(filepath.Join(string(out), f.Name)))
				old = slices.DeleteFunc(old, func(name string) bool { return name == f.Name })
			}
			if len(old) > 0 {
				fmt.Fprintln(w, "Left from an earlier build, and no part of this one:")
				for _, name := range old {
					fmt.Fprintln(w, "  "+filepath.ToSlash(filepath.Join(string(out), name)))
				}
			}
			if kit.Err() != nil {
				return errFound
			}
			return nil
		}),
	}
	in.flags(c)
	c.Flags().VarP(&out, "out", "o", "write into the folder `DIR` (needed)")
	c.Flags().BoolVar(&anyway, "anyway", false, "write the files even where errors are found")
	return c
}

// cutBefore returns the cut files that the kit.json in dir speaks of and that
// are still there.
func cutBefore(dir string) []string {
	data, err := os.ReadFile(filepath.Join(dir, "kit.json"))
	if err != nil {
		return nil // a first build
	}
	var kit struct {
		Format    string
		Materials []struct{ Name string }
	}
	if json.Unmarshal(data, &kit) != nil || kit.Format != export.Format {
		return nil
	}
	var out []string
	for _, m := range kit.Materials {
		name := export.Slug(m.Name) + ".svg"
		if _, err := os.Stat(filepath.Join(dir, name)); err == nil {
			out = append(out, name)
		}
	}
	return out
}

// heeding returns files that fail as soon as ctx is done, before anything is
// replaced.
func heeding(ctx context.Context, files []export.File) []export.File {
	out := make([]export.File, len(files))
	for i, f := range files {
		out[i] = export.File{Name: f.Name, Encode: func(w io.Writer) error {
			if err := f.Encode(heedful{ctx, w}); err != nil {
				return err
			}
			return ctx.Err()
		}}
	}
	return out
}

type heedful struct {
	ctx context.Context
	io.Writer
}

func (h heedful) Write(p []byte) (int, error) {
	if err := h.ctx.Err(); err != nil {
		return 0, err
	}
	return h.Writer.Write(p)
}
