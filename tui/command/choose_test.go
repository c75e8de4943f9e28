package command

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui/rehearsal"
)

// keep keeps an unfinished run that was begun on a day, and returns its journal.
func keep(t *testing.T, e *env, id string, day time.Time) (path string) {
	t.Helper()
	script, _ := protocols.Demo("burn-test")
	b, err := rehearsal.Begun(script, id, program)
	if err != nil {
		t.Fatal(err)
	}
	s, err := e.open(id, b, rehearsal.NewClock(day))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.engine.Do(run.Command{Do: run.Acknowledge{}}); err != nil {
		t.Fatal(err)
	}
	if err := s.close(); err != nil {
		t.Fatal(err)
	}
	return s.path
}

// TestRehearsalsStandLast: what was rehearsed and kept is told as a rehearsal, and stands after every run at the bench, however
// late its invented day.
func TestRehearsalsStandLast(t *testing.T) {
	e := &env{runs: t.TempDir(), now: time.Now}
	for _, kept := range []struct {
		id  string
		day time.Time
	}{
		{rehearsal.Name("burn-test"), rehearsal.Day},
		{"2026-02-27-0900-burn-test", rehearsal.Day.AddDate(0, 0, -3)},
		{"2026-02-28-0900-burn-test", rehearsal.Day.AddDate(0, 0, -2)},
	} {
		keep(t, e, kept.id, kept.day)
	}
	want := []string{"2026-02-28-0900-burn-test", "2026-02-27-0900-burn-test", "rehearsal-burn-test"}
	got := e.waiting()
	if len(got) != len(want) {
		t.Fatalf("%d runs are waiting, want %d", len(got), len(want))
	}
	for i, u := range got {
		if u.Run != want[i] || u.Rehearsed != (i == 2) {
			t.Errorf("row %d is %s, rehearsed %v; want %s", i+1, u.Run, u.Rehearsed, want[i])
		}
	}
}

// TestOwnIsOffered: a protocol of the user's own with the id of one that ships is the one that is offered, and says so.
func TestOwnIsOffered(t *testing.T) {
	e := &env{protocols: t.TempDir()}
	const own = "format = 1\n[protocol]\nid = \"burn-test\"\ntitle = \"My burn test\"\nversion = \"7\"\n[[stage]]\nid = \"burn\"\ntitle = \"The burn\"\n"
	if err := os.WriteFile(filepath.Join(e.protocols, "burn-test.toml"), []byte(own), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, o := range e.offers() {
		title, remark := "My burn test", "your own, in the place of the one that ships"
		if o.ID != "burn-test" {
			title, remark = o.Title, ""
		}
		if o.Title != title || o.Remark != remark {
			t.Errorf("%s is offered as %q, %q; want %q, %q", o.ID, o.Title, o.Remark, title, remark)
		}
	}
}
