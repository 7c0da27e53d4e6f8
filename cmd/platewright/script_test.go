package main

import (
	"os"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"platewright": main})
}

// The scripts in testdata/script are the tests of the command: see
// github.com/rogpeppe/go-internal/testscript for their form. "exits N command"
// runs a command that must end with that status.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:           "testdata/script",
		UpdateScripts: os.Getenv("UPDATE_SCRIPTS") != "",
		Cmds:          map[string]func(*testscript.TestScript, bool, []string){"exits": exits},
	})
}

// exits runs a command and looks at its exit status, which "!" does not tell.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits status command [args]")
	}
	status := "0"
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		e, ok := err.(interface{ ExitCode() int })
		if !ok {
			ts.Fatalf("%v", err)
		}
		status = string(rune('0' + e.ExitCode()))
	}
	if status != args[0] {
		ts.Fatalf("%s ends with status %s, want %s", args[1], status, args[0])
	}
}
