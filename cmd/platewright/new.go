package main

import (
	"embed"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"unicode"

	"github.com/spf13/cobra"

	"github.com/platewright/platewright/export"
)

//go:embed starter
var starter embed.FS

func newNew() *cobra.Command {
	return &cobra.Command{
		Use:   "new DIR",
		Short: "Start a product: a commented file and a small drawing",
		Long: `New writes a small product that builds as it stands, with comments that explain
it, and the drawing it uses. It is named after DIR and overwrites nothing.`,
		Example: `  platewright new harbour`,
		Args:    one("DIR"),
		RunE: job(func(c *cobra.Command, args []string) error {
			dir := args[0]
			if info, err := os.Stat(dir); err == nil && !info.IsDir() {
				return fmt.Errorf("%s: is a file, not a folder; choose another name", filepath.ToSlash(dir))
			}
			full, err := filepath.Abs(dir)
			if err != nil {
				return err
			}
			name := export.Slug(filepath.Base(full))
			if name == "" {
				return fmt.Errorf("%s: the folder's name must hold a letter or a digit, since the product is named after it", dir)
			}
			var files []export.File
			for _, f := range []struct{ from, to string }{{"product.yaml", name + ".yaml"}, {"art.svg", "art.svg"}} {
				data, err := starter.ReadFile("starter/" + f.from)
				if err != nil {
					return err
				}
				if _, err := os.Lstat(filepath.Join(dir, f.to)); !errors.Is(err, fs.ErrNotExist) {
					if err == nil {
						err = errors.New("is there already; choose another folder")
					}
					return fmt.Errorf("%s: %w", filepath.ToSlash(filepath.Join(dir, f.to)), err)
				}
				text := strings.ReplaceAll(string(data), "NAME", name)
				files = append(files, export.File{Name: f.to, Encode: func(w io.Writer) error {
					_, err := io.WriteString(w, text)
					return err
				}})
			}
			if err := export.Save(dir, files); err != nil {
				return err
			}
			at := filepath.Join(dir, name+".yaml")
			fmt.Fprintf(c.OutOrStdout(), "%s is ready to change. Next:\n  platewright build %s -o %s\n", filepath.ToSlash(at), word(at), word(filepath.Join(dir, "out")))
			return nil
		}),
	}
}

// word returns a path as one word for a shell.
func word(path string) string {
	path = filepath.ToSlash(path)
	if strings.ContainsFunc(path, func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && !strings.ContainsRune("/._-:", r)
	}) {
		return "'" + strings.ReplaceAll(path, "'", `'\''`) + "'"
	}
	return path
}
