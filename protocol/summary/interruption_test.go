package summary_test

import (
	"strings"
	"testing"
	"time"

	"example.org/meniscus/protocol/run"
)

// TestInterruptionsAndLateEntriesAreKept: what was not as it should have been stands in the summary with both times.
func TestInterruptionsAndLateEntriesAreKept(t *testing.T) {
	tp := begun(t)
	tp.add("", run.Slept{For: run.Span(10 * time.Minute)})
	tp.add("", run.Stopped{For: run.Span(5 * time.Minute)})
	tp.add("", run.ClockSet{By: run.Span(-time.Hour)})
	tp.add("", run.ZoneChanged{Zone: "+02:00"})
	tp.add("", run.Resumed{Gap: run.Span(time.Minute), Rebooted: true, ClockSet: run.Span(time.Hour)})
	of1 := tp.take("A", "weigh", "empty", 1, "112.36", 112.36)
	tp.add("A", run.ReadingTakenBack{Of: of1, Reading: "empty", Why: "wrong pan"})
	of2 := tp.add("A", run.ReadingNotTaken{Stage: "weigh", Portion: 1, Reading: "full", Why: "busy"})
	read := run.Span(3 * time.Minute)
	tp.add("A", run.ReadingCorrected{Of: of2, Reading: "full", Typed: "122.35", Value: 122.35, At: &read, Why: "entered later"})
	s := of(t, tp.events)
	var said []string
	for _, b := range s.Breaks {
		said = append(said, b.Say)
	}
	want := "the machine slept for 10:00; counted as elapsed | the program was stopped for 5:00; counted as elapsed | " +
		"the wall clock was set back by 1:00:00; not counted | the place's time was at +02:00 from UTC from then on; times of day stay in the offset of the begin"
	if got := strings.Join(said, " | "); got != want {
		t.Errorf("breaks:\n%s\nwant\n%s", got, want)
	}
	if r := s.Restarts[0]; !r.Rebooted || r.ClockSetS != 3600 {
		t.Errorf("the restart is %+v", r)
	}
	empty, full := s.Vessels[0].Readings[0], s.Vessels[0].Readings[1]
	if !empty.NotTaken || !empty.TakenBack || empty.Why != "wrong pan" || len(empty.Corrections) != 1 || *empty.Corrections[0].Value != 112.36 {
		t.Errorf("taken back, it is %+v", empty)
	}
	if full.NotTaken || full.ElapsedS != 180 || full.At != "2026-03-02T08:33:00.000Z" || full.EnteredAt != "2026-03-02T08:39:00.000Z" {
		t.Errorf("entered later, it is %+v", full)
	}
}
