package rehearsal_test

import (
	"testing"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui"
	"example.org/meniscus/tui/rehearsal"
)

// A run whose journal breaks off after any of its events can be gone on with: something is asked, or Enter does something,
// or the run can be ended.
func TestEveryEventHasAWayOn(t *testing.T) {
	for _, id := range protocols.IDs() {
		script, ok := protocols.Demo(id)
		if !ok {
			continue
		}
		b, err := rehearsal.Begun(script, "r", "meniscus test")
		if err != nil {
			t.Fatal(err)
		}
		clock := rehearsal.NewClock(rehearsal.Day)
		state, first, err := run.Begin(b, clock.Now())
		if err != nil {
			t.Fatal(err)
		}
		memory := &rehearsal.Memory{}
		if err := rehearsal.Play(tui.NewOperator(run.NewEngine(state, memory, clock)), clock, script.Lines); err != nil {
			t.Fatal(err)
		}
		again, err := run.Fold([]run.Event{first})
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range memory.Events {
			if err := again.Apply(e); err != nil {
				t.Fatal(err)
			}
			if again.Ended == nil && !hasAWayOn(again) {
				t.Errorf("%s: after event %d, %s, there is no way on", id, e.N, e.What.Kind())
			}
		}
	}
}

func hasAWayOn(s *run.State) bool {
	now := run.Moment{At: s.Last.At, Elapsed: s.Last.Elapsed}
	for _, v := range s.Vessels {
		w := s.Look(v.Label, now.Elapsed)
		if w.Enter != "" || w.Asked != nil {
			return true
		}
	}
	_, err := run.Decide(s, run.Command{Do: run.End{}}, now)
	return err == nil
}
