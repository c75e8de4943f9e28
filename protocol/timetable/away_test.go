package timetable_test

import (
	"testing"
	"time"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/timetable"
)

// absent is a day on which the first vessels were loaded, three minutes apart, and the hands then went away for a while.
func absent(t *testing.T, vessels, loaded int, minutes float64) *bench {
	t.Helper()
	d := newBench(t, batch, vessels, &run.Bench{})
	d.plan()
	for i := range loaded {
		d.clock.now = max(d.clock.now, time.Duration(3*i)*time.Minute)
		d.act(string(rune('A'+i)), exactly)
		d.plan()
	}
	d.do("", run.GoAway{})
	d.pass(minutes)
	d.do("", run.ComeBack{})
	d.plan()
	return d
}

// TestClearOfTheLastMinute: where the hands come back in time, no window is missed for what was due meanwhile, and none is
// used to its last minute, save by the wait that is taken up at once.
func TestClearOfTheLastMinute(t *testing.T) {
	const most = 14 * time.Minute // that a loaded vessel may wait
	for vessels := 2; vessels <= 4; vessels++ {
		for loaded := 1; loaded <= min(vessels, 3); loaded++ {
			for minutes := 2.0; minutes < 14; minutes += 0.5 {
				d := absent(t, vessels, loaded, minutes)
				missed := d.state().Timetable().Missed
				if loaded == 1 && d.clock.now <= 2*time.Minute+most && len(missed) > 0 {
					t.Errorf("%d vessels, back after %v min, in time for A: %+v are missed", vessels, minutes, missed)
				}
				for _, v := range d.state().Vessels {
					if v.Phase != protocol.WaitPhase || len(missed) > 0 {
						continue
					}
					turn := time.Duration(d.starts(v.Label)[0] * float64(time.Minute))
					if left := v.Since + most - turn; left < run.CallsBefore && turn > d.clock.now {
						t.Errorf("%d vessels, back after %v min: %s has its turn at %v, %v before its window closes", vessels, minutes, v.Label, turn, left)
					}
				}
			}
		}
	}
}

// TestPlannedOnReturn: when the hands are back the rest is planned, however short they were away; before that a task of the
// time before holds no more.
func TestPlannedOnReturn(t *testing.T) {
	d := newBench(t, batch, 2, &run.Bench{})
	d.plan()
	d.act("A", exactly)
	d.plan()
	d.pass(9)
	task := d.keeper.Ask(d.state(), d.clock.now, d.inHand)
	if task == nil {
		t.Fatal("B is overdue by 8 min, and nothing is planned")
	}
	d.do("", run.GoAway{})
	if task.Stands(d.state()) {
		t.Error("the hands are away, and what was to be planned before stands")
	}
	d.pass(0.5)
	d.do("", run.ComeBack{})
	if task.Stands(d.state()) {
		t.Error("the hands were away, and what was to be planned before stands")
	}
	if d.keeper.Ask(d.state(), d.clock.now, d.inHand) == nil {
		t.Error("the hands are back, and the rest is not planned")
	}
	again, err := run.Fold(d.events)
	if err != nil {
		t.Fatal(err)
	}
	var fresh timetable.Keeper
	if fresh.Ask(again, d.clock.now, d.inHand) == nil {
		t.Error("a run that is taken up is not planned")
	}
}
