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
	"syscall"

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
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	root := newRoot()
	out := &output{to: os.Stdout}
	root.SetOut(out)
	err := root.ExecuteContext(ctx)
	if out.err != nil && (err == nil || errors.Is(err, errFound)) {
		err = failure{fmt.Errorf("the findings and names could not be shown: %w", out.err)}
	}
	status := exitStatus(err)
	if err != nil && !errors.Is(err, errFound) {
		complain(os.Stderr, err)
		if status == exitUsage {
			fmt.Fprintln(os.Stderr, "Run platewright --help, or a command with --help, for how it is used.")
		}
	}
	return status
}

// output remembers that something could not be written, so that what went
// nowhere does not look like success.
type output struct {
	to  io.Writer
	err error
}

func (o *output) Write(p []byte) (int, error) {
	n, err := o.to.Write(p)
	if o.err == nil {
		o.err = err
	}
	return n, err
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
			var at *written.Error
			switch {
			case m.Source.File != "":
				fmt.Fprintln(w, m)
			case errors.As(m.Err, &at): // in the file, but about the product as a whole
				fmt.Fprintln(w, at)
			default:
				fmt.Fprintln(w, "platewright:", m)
			}
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
		Args: func(c *cobra.Command, args []string) error {
			if len(args) == 0 {
				return nil
			}
			var names []string
			for _, sub := range c.Commands() {
				if sub.IsAvailableCommand() {
					names = append(names, sub.Name())
				}
			}
			return fmt.Errorf("there is no command %q; %s", args[0], written.Hint(args[0], names))
		},
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
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

// one returns the check that a command is given one argument, which is called
// what in its help.
func one(what string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) != 1 {
			return fmt.Errorf("%s: expected one %s, found %s", c.Name(), what, list(args))
		}
		if args[0] == "" {
			return fmt.Errorf("%s: expected one %s, found an empty name", c.Name(), what)
		}
		return nil
	}
}

// list writes arguments for a message.
func list(args []string) string {
	if len(args) == 0 {
		return "none"
	}
	quoted := make([]string, len(args))
	for i, a := range args {
		quoted[i] = fmt.Sprintf("%q", a)
	}
	return strings.Join(quoted, " and ")
}

// pathFlag is the value of a flag that names a file or a folder. An empty one
// is refused: it is what a script passes on whose variable is not set.
type pathFlag string

func (p *pathFlag) String() string { return string(*p) }
func (p *pathFlag) Type() string   { return "path" }

func (p *pathFlag) Set(s string) error {
	if s == "" {
		return errors.New("it is empty")
	}
	*p = pathFlag(s)
	return nil
}
