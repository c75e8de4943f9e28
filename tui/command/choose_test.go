package command

import (
	"testing"
	"time"

	"example.org/meniscus/protocols"
	"example.org/meniscus/tui/rehearsal"
)

// TestRehearsalsStandLast: what was rehearsed and kept is told as a rehearsal, and stands after every run at the bench, however
// late its invented day.
func TestRehearsalsStandLast(t *testing.T) {
	script, _ := protocols.Demo("burn-test")
	e := &env{runs: t.TempDir(), now: time.Now}
	for _, kept := range []struct {
		id  string
		day time.Time
	}{
		{rehearsal.Name("burn-test"), rehearsal.Day},
		{"2026-02-27-0900-burn-test", rehearsal.Day.AddDate(0, 0, -3)},
		{"2026-02-28-0900-burn-test", rehearsal.Day.AddDate(0, 0, -2)},
	} {
		b, err := rehearsal.Begun(script, kept.id, program)
		if err != nil {
			t.Fatal(err)
		}
		s, err := e.open(kept.id, b, rehearsal.NewClock(kept.day))
		if err != nil {
			t.Fatal(err)
		}
		if err := s.close(); err != nil {
			t.Fatal(err)
		}
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
