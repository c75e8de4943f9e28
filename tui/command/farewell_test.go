package command

import (
	"bytes"
	"path/filepath"
	"testing"

	"example.org/meniscus/protocol/run"
)

// TestFarewell: what is to be typed after a run stands in a line of its own.
func TestFarewell(t *testing.T) {
	runs := t.TempDir()
	path := filepath.Join(runs, "2026-03-02-0830-burn-test.journal")
	const id = "2026-03-02-0830-burn-test"
	for name, tt := range map[string]struct {
		ended  *run.Ending
		unread bool
		want   string
	}{
		"unread":  {nil, true, "The briefing was not acknowledged: nothing was begun, and no run is kept.\n"},
		"goes on": {nil, false, "Run " + id + " goes on; everything so far is kept.\nTo take it up again: meniscus resume " + id + " --runs " + runs + "\n"},
		"closed": {&run.Ending{}, false, "Run " + id + " is closed and kept in\n  " + path + "\nTo print its results:\n  meniscus summary " + id + " --runs " + runs +
			"\nTo correct a reading:\n  meniscus resume " + id + " --runs " + runs + "\n"},
	} {
		var told bytes.Buffer
		e := &env{errs: &told, runs: runs}
		e.farewell(&sitting{id: id, path: path, engine: &run.Engine{State: &run.State{Ended: tt.ended, Acknowledged: !tt.unread}}})
		if told.String() != tt.want {
			t.Errorf("%s:\n%s\nwant\n%s", name, told.String(), tt.want)
		}
	}
}

// TestCalledAs: what is told to be typed is a command that exists where the program was started.
func TestCalledAs(t *testing.T) {
	for path, want := range map[string]string{
		"meniscus":                            "meniscus", // found by its name
		"/tmp/go-build2714/b001/exe/meniscus": "go run .",
		"./meniscus":                          "./meniscus",
		"../my tools/meniscus":                "'../my tools/meniscus'",
		"/tmp/x/command.test":                 "meniscus",
	} {
		if got := calledAs(path); got != want {
			t.Errorf("started as %s: %s, want %s", path, got, want)
		}
	}
	e := &env{called: calledAs("/tmp/go-build2714/b001/exe/meniscus"), runs: t.TempDir()}
	if got := e.goOnLine(&sitting{path: filepath.Join(e.runs, "r.journal")}); got != "go run . resume r --runs "+e.runs {
		t.Errorf("after go run: %s", got)
	}
}
