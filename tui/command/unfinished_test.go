package command

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.org/meniscus/tui/rehearsal"
)

// TestUnsoundRuns: a run that cannot be taken up stands in the list, with what is wrong and what to do. Where it was worked on
// last, nothing older is taken in its place unasked; where it was not, it is told beside the one that is.
func TestUnsoundRuns(t *testing.T) {
	const sound, bad = "2026-02-27-0900-burn-test", "2026-02-28-0900-burn-test"
	for name, tt := range map[string]struct {
		spoil func(path string, text []byte) error
		title string
		wrong []string
	}{
		"altered": {func(path string, text []byte) error {
			return os.WriteFile(path, bytes.Replace(text, []byte(`"n":2,"at":"2026`), []byte(`"n":2,"at":"2027`), 1), 0o600)
		}, "Burn test with reference burns", []string{":2: the line was altered", "nothing is written to it, and meniscus verify "}},
		"garbage": {func(path string, _ []byte) error { return os.WriteFile(path, []byte("Dear Sir\n"), 0o600) },
			"", []string{":1: this is no line of a journal", "meniscus verify "}},
		"emptied": {func(path string, _ []byte) error { return os.Truncate(path, 0) }, "", []string{":1: there is no run in this file", "meniscus verify "}},
		"newer": {func(path string, text []byte) error {
			return os.WriteFile(path, bytes.Replace(text, []byte(`{"format":1,`), []byte(`{"format":7,`), 1), 0o600)
		}, "", []string{"written in format 7", "use a newer meniscus"}},
		"a link": {func(path string, _ []byte) error {
			return errors.Join(os.Rename(path, path+".kept"), os.Symlink(path+".kept", path))
		}, "", []string{"it is no journal but something else; move it out of the folder of runs"}},
	} {
		t.Run(name, func(t *testing.T) {
			var errs bytes.Buffer
			e := &env{runs: t.TempDir(), now: time.Now, errs: &errs}
			keep(t, e, sound, rehearsal.Day.AddDate(0, 0, -3))
			path := keep(t, e, bad, rehearsal.Day.AddDate(0, 0, -2))
			text, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if err := tt.spoil(path, text); err != nil {
				t.Fatal(err)
			}
			rows := e.waiting()
			if len(rows) != 2 || rows[0].Run != bad || rows[0].Title != tt.title || rows[1].Run != sound || rows[1].Wrong != "" {
				t.Fatalf("the list is %+v, want %s and %s", rows, bad, sound)
			}
			id, err := e.lastWorkedOn()
			if err == nil || !strings.Contains(err.Error(), bad) || !strings.Contains(err.Error(), "meniscus resume "+sound) {
				t.Errorf("without a name %q is taken, %v; want an error that names %s and says how to go on with %s", id, err, bad, sound)
			}
			for _, want := range tt.wrong {
				if !strings.Contains(rows[0].Wrong, want) || !strings.Contains(err.Error(), want) {
					t.Errorf("no %q in the list, %q, and in the error, %v", want, rows[0].Wrong, err)
				}
			}
			if strings.HasPrefix(name, "a ") {
				return // its own time cannot be set everywhere
			}
			if err := os.Chtimes(path, time.Time{}, rehearsal.Day.AddDate(0, 0, -9)); err != nil {
				t.Fatal(err)
			}
			if name == "altered" { // its whole lines tell a later time: an hour before those of the other
				keep(t, e, "2026-03-01-0900-burn-test", rehearsal.Day.AddDate(0, 0, -1))
			}
			if id, err := e.lastWorkedOn(); err != nil || id == bad || !strings.Contains(errs.String(), bad+" cannot be taken up: ") {
				t.Errorf("an older unsound run: %q is taken, %v, and told is %q", id, err, errs.String())
			}
		})
	}
}

// TestUnsoundAlone: without another run the only one is told all the same; one that was closed before its damage, and what some
// systems put beside a file, is none.
func TestUnsoundAlone(t *testing.T) {
	e := &env{runs: t.TempDir(), now: time.Now, errs: &bytes.Buffer{}}
	put := func(name string, text []byte) {
		t.Helper()
		if err := os.WriteFile(filepath.Join(e.runs, name), text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	closed, err := os.ReadFile("../../testdata/journal/rehearsal-burn-test.journal")
	if err != nil {
		t.Fatal(err)
	}
	put("closed.journal", append(closed, "Dear Sir\n"...))
	put("._x.journal", []byte("Mac OS X\x00"))
	if _, err := e.lastWorkedOn(); err == nil || !strings.Contains(err.Error(), "no unfinished run is kept in ") {
		t.Errorf("no unfinished run: %v", err)
	}
	put("bad.journal", []byte("Dear Sir\n"))
	if _, err := e.lastWorkedOn(); err == nil || !strings.HasPrefix(err.Error(), "the unfinished run bad cannot be taken up: ") {
		t.Errorf("one that is damaged: %v", err)
	}
}
