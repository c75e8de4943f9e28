package command_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"example.org/meniscus/tui/command"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"meniscus": func() { os.Exit(command.Run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) },
		"bare":     bare,
	})
}

// TestScripts runs the commands as a shell would, each script in a folder and a home of its own.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "../../testdata/script",
		RequireExplicitExec: true,
		Setup: func(env *testscript.Env) error {
			for name, folder := range map[string]string{"XDG_DATA_HOME": "data", "XDG_CONFIG_HOME": "config", "HOME": "home"} {
				env.Setenv(name, filepath.Join(env.WorkDir, folder))
			}
			recorded, err := filepath.Abs("../../testdata/journal/rehearsal-burn-test.journal")
			env.Setenv("RECORDED", recorded)
			env.Setenv("TZ", "UTC")
			env.Setenv("GORACE", "atexit_sleep_ms=0") // under the race detector a program else ends a second late
			return err
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits, "glob": glob, "replace": replace, "addline": addline, "cutlines": cutlines,
		},
	})
}

// exits CODE COMMAND... runs a command that must end with just that code.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE COMMAND...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		exit, ok := err.(*exec.ExitError)
		if !ok {
			ts.Fatalf("%v: %v", args[1:], err)
		}
		got = exit.ExitCode()
	}
	if got != want {
		ts.Fatalf("%v: exit code %d, want %d", args[1:], got, want)
	}
}

// glob PATTERN sets FOUND to the one file that fits.
func glob(ts *testscript.TestScript, neg bool, args []string) {
	found, err := filepath.Glob(ts.MkAbs(args[0]))
	ts.Check(err)
	if neg || len(found) != 1 {
		ts.Fatalf("%s: found %v, want one file", args[0], found)
	}
	ts.Setenv("FOUND", found[0])
}

// replace OLD NEW FILE changes a text in a file that has it.
func replace(ts *testscript.TestScript, neg bool, args []string) {
	path := ts.MkAbs(args[2])
	text := ts.ReadFile(args[2])
	if neg || !strings.Contains(text, args[0]) {
		ts.Fatalf("%s: no %q in it", args[2], args[0])
	}
	ts.Check(os.WriteFile(path, []byte(strings.ReplaceAll(text, args[0], args[1])), 0o600))
}

// addline TEXT FILE writes text to the end of a file, without a newline.
func addline(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: addline TEXT FILE")
	}
	path := ts.MkAbs(args[1])
	ts.Check(os.WriteFile(path, []byte(ts.ReadFile(args[1])+args[0]), 0o600))
}

// cutlines N FILE NEW copies the first N lines of a file.
func cutlines(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: cutlines N FILE NEW")
	}
	n, err := strconv.Atoi(args[0])
	ts.Check(err)
	lines := strings.SplitAfter(ts.ReadFile(args[1]), "\n")
	ts.Check(os.WriteFile(ts.MkAbs(args[2]), []byte(strings.Join(lines[:n], "")), 0o600))
}
