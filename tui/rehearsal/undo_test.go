package rehearsal_test

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/summary"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui"
	"example.org/meniscus/tui/rehearsal"
)

// TestEachActUndoneAndDoneAgain plays a whole batch, undoes each of its acts and does it again at the same moment: the summary
// is that of the batch with nothing undone, but for the list of what was.
func TestEachActUndoneAndDoneAgain(t *testing.T) {
	for _, id := range protocols.IDs() {
		t.Run(id, func(t *testing.T) {
			script, ok := protocols.Demo(id)
			if !ok {
				t.Fatal("no demo readings")
			}
			want, _ := undoing(t, script, false)
			got, undone := undoing(t, script, true)
			if undone < len(script.Lines)*2/3 {
				t.Errorf("only %d acts of %d lines were undone", undone, len(script.Lines))
			}
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("(- never undone, + undone and done again):\n%s", diff)
			}
			t.Logf("%d acts of %d lines undone", undone, len(script.Lines))
		})
	}
}

// undoing plays a script, with each act undone and done again, and returns the summary without what was undone.
func undoing(t *testing.T, script protocols.Script, undo bool) (form string, undone int) {
	t.Helper()
	b, err := rehearsal.Begun(script, "r", "test")
	if err != nil {
		t.Fatal(err)
	}
	clock, kept := rehearsal.NewClock(rehearsal.Day), &rehearsal.Memory{}
	s, first, err := run.Begin(b, clock.Now())
	if err != nil {
		t.Fatal(err)
	}
	kept.Events = []run.Event{first}
	o := tui.NewOperator(run.NewEngine(s, kept, clock))
	type line struct {
		typed string
		at    time.Duration
	}
	var asked []line // what led to the open question, and now answers it
	enter := func(lines ...line) {
		for _, l := range lines {
			if a := o.Enter(l.typed, l.at); a.Refused != "" || a.NotSaved != nil {
				t.Fatalf("undone and done again, %q: %s", l.typed, a.Refused)
			}
		}
	}
	for i, l := range script.Lines {
		clock.Set(l.At + time.Duration(i)*time.Millisecond) // no two acts in one moment
		for _, typed := range rehearsal.Typed(o, l) {
			vessel := o.Vessel
			a := o.Enter(typed, 0)
			if a.Refused != "" || a.NotSaved != nil {
				t.Fatalf("line %d, %q: %s", l.Number, typed, a.Refused)
			}
			asked = append(asked, line{typed, o.Engine.Now().Elapsed})
			if a.Ask != nil {
				continue
			}
			again := asked
			if asked = nil; !undo || !isAct(a.Events) {
				continue
			}
			undone++
			of := vessel
			for _, e := range a.Events {
				if e.Vessel != "" {
					of = e.Vessel
				}
			}
			enter(line{typed: of}, line{typed: "u"})
			if o.Open() != nil {
				enter(line{})
			}
			enter(line{typed: vessel})
			enter(again...)
		}
	}
	again, err := run.Fold(kept.Events)
	if err != nil {
		t.Fatal(err)
	}
	out := summary.FromState(again)
	for i := range out.Vessels {
		if (len(out.Vessels[i].Undone) > 0) != undo {
			t.Errorf("vessel %s: %d acts are told as undone", out.Vessels[i].Label, len(out.Vessels[i].Undone))
		}
		out.Vessels[i].Undone = nil
	}
	text, err := json.MarshalIndent(out, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return string(text), undone
}

// isAct tells whether events are of an act that can be undone.
func isAct(events []run.Event) bool {
	for _, e := range events {
		switch e.What.(type) {
		case run.Noted, run.Acknowledged, run.CalledAway, run.CameBack, run.Ended, run.GuardSpoke:
		default:
			return e.Vessel != ""
		}
	}
	return false
}
