package command

import (
	"bytes"
	"os"
	"strings"
	"testing"
	"time"

	"example.org/meniscus/protocol/run"
)

// TestTwoLaptops: two that begin a run of one protocol in one minute have a name each, so that neither journal takes the
// place of the other in a shared folder.
func TestTwoLaptops(t *testing.T) {
	noon := time.Date(2026, 3, 2, 12, 0, 0, 0, time.UTC)
	for drawn, want := range map[string]string{
		"\x00\x01\x1e\x1f": "2026-03-02-1200-burn-test-01yz",
		"\x20\x41\x8a\xff": "2026-03-02-1200-burn-test-01az",
	} {
		e := &env{runs: t.TempDir(), config: t.TempDir(), now: func() time.Time { return noon }, random: strings.NewReader(drawn)}
		s, err := e.begin("burn-test", cast{n: 1, plan: planning{operators: 1}})
		if err != nil {
			t.Fatal(err)
		}
		defer s.close()
		if got := s.engine.State.ID; got != want || e.runName(s) != want+" --runs "+e.runs {
			t.Errorf("drawn % x: the run is %s, to be taken up as %s; want %s", drawn, got, e.runName(s), want)
		}
	}
	e := &env{runs: t.TempDir(), config: t.TempDir(), now: func() time.Time { return noon }, random: bytes.NewReader(nil)}
	if _, err := e.begin("burn-test", cast{n: 1, plan: planning{operators: 1}}); err == nil || e.runIDs() != nil {
		t.Errorf("nothing was drawn, and the run has a name all the same: %v, %v", err, e.runIDs())
	}
}

// TestUnreadIsNotKept: of a run whose briefing was not acknowledged nothing stays, and of one that was, the journal alone.
func TestUnreadIsNotKept(t *testing.T) {
	e := &env{runs: t.TempDir(), config: t.TempDir(), now: time.Now, random: strings.NewReader("onetwo--")}
	for _, read := range []bool{false, true} {
		s, err := e.begin("burn-test", cast{n: 1, plan: planning{operators: 1}})
		if err != nil {
			t.Fatal(err)
		}
		if read {
			if _, err := s.engine.Do(run.Command{Do: run.Acknowledge{}}); err != nil {
				t.Fatal(err)
			}
		}
		if err := s.close(); err != nil {
			t.Fatal(err)
		}
		left, err := os.ReadDir(e.runs)
		if err != nil || (len(left) == 1) != read || len(left) > 1 {
			t.Errorf("acknowledged %v: the folder has %v, %v", read, left, err)
		}
	}
}

// TestDrawable: what is drawn is as likely each, and none of it looks like another sign of it.
func TestDrawable(t *testing.T) {
	if 256%len(drawable) != 0 {
		t.Errorf("%d signs do not share 256 bytes evenly", len(drawable))
	}
	for _, alike := range []string{"0o", "1il", "uv"} {
		n := 0
		for _, sign := range alike {
			n += strings.Count(drawable, string(sign))
		}
		if n != 1 {
			t.Errorf("%d of the signs %q are drawn, want 1", n, alike)
		}
	}
}
