// Platewright builds layered, laser-cut plates that click together: it reads a
// product, fits it to the sheets as measured, checks it and writes the files to
// cut it from.
//
// Run platewright --help for its commands. The exit status is 0 where all is
// well, 1 where errors were found or the input is wrong, and 2 where the
// command was used wrongly.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"

	"github.com/spf13/cobra"

	"github.com/platewright/platewright/assembly"
	"github.com/platewright/platewright/layers/written"
)

func main() { os.Exit(run()) }

// Exit statuses.
const (
	exitWell  = 0
	exitBad   = 1 // errors found, or bad input
	exitUsage = 2
)

func run() int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	root := newRoot()
	err := root.ExecuteContext(ctx)
	status := exitStatus(err)
	if err != nil && !errors.Is(err, errFound) {
		complain(os.Stderr, err)
		if status == exitUsage {
			fmt.Fprintln(os.Stderr, "Run platewright --help, or a command with --help, for how it is used.")
		}
	}
	return status
}

// errFound tells that the checks found errors, which have been shown already.
var errFound = errors.New("errors were found")

// failure marks what went wrong while a command ran; every other error is one
// of usage.
type failure struct{ error }

func (f failure) Unwrap() error { return f.error }

func exitStatus(err error) int {
	var f failure
	switch {
	case err == nil:
		return exitWell
	case errors.As(err, &f):
		return exitBad
	}
	return exitUsage
}

// complain writes err for a person: mistakes in a file each on a line that
// starts with its place, as editors know it, everything else after the
// command's name.
func complain(w io.Writer, err error) {
	if errors.Is(err, context.Canceled) {
		fmt.Fprintln(w, "platewright: interrupted, nothing was written")
		return
	}
	var mistakes written.Errors
	var declared *assembly.DeclarationError
	switch {
	case errors.As(err, &mistakes):
		fmt.Fprintln(w, mistakes)
	case errors.As(err, &declared):
		for _, m := range declared.Mistakes {
			line := m.Error()
			if m.Source.File == "" {
				line = "platewright: " + line
			}
			fmt.Fprintln(w, line)
		}
	default:
		fmt.Fprintln(w, "platewright:", strings.TrimSpace(err.Error()))
	}
}

func newRoot() *cobra.Command {
	root := &cobra.Command{
		Use:   "platewright",
		Short: "Layered, laser-cut plates that click together",
		Long: `Platewright reads a product of layered plates, fits every joint to the sheets
as measured, checks that it can be cut and put together, and writes the files
to cut it from.

Never cut chlorinated plastics, never leave a running laser, and ventilate.
Figures for strength are estimates; a test cut decides.`,
		Example: `  platewright new harbour
  platewright check harbour/harbour.yaml
  platewright build harbour/harbour.yaml -o harbour/out`,
		SilenceErrors:     true,
		SilenceUsage:      true,
		CompletionOptions: cobra.CompletionOptions{HiddenDefaultCmd: true},
		Args:              cobra.NoArgs,
		RunE:              func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	root.AddCommand(newBuild(), newCheck(), newNew(), newMaterials(), newSchema())
	return root
}

// job makes a cobra function of f, whose errors are failures.
func job(f func(c *cobra.Command, args []string) error) func(*cobra.Command, []string) error {
	return func(c *cobra.Command, args []string) error {
		err := f(c, args)
		var u usage
		if err == nil || errors.As(err, &u) {
			return err
		}
		return failure{err}
	}
}

// usage is a wrong use that cobra does not see.
type usage struct{ error }
