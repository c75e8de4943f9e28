package bench

import (
	"testing"
	"time"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
)

// TestLateComesBeforeAReminder: in the panel, the far view and the queue, what is past its latest end is ended first.
func TestLateComesBeforeAReminder(t *testing.T) {
	window := protocol.Window{Aim: 12 * time.Minute, AtMost: 25 * time.Minute}
	tests := []struct {
		name    string
		tone    run.Tone
		elapsed time.Duration
		due     bool
		far     string
		ending  string
		wants   string
	}{
		{"waits", run.Waiting, 5 * time.Minute, false, "Leave it.", "", ""},
		{"reminded", run.Hands, 6 * time.Minute, true, "Swirl", "", ""},
		{"up", run.Hands, 13 * time.Minute, false, "Time is up: end the wait.", "end the wait", ""},
		{"up and reminded", run.Hands, 14 * time.Minute, true, "Swirl", "", ""},
		{"late and reminded", run.Late, 26 * time.Minute, true, "Time is up: end the wait.", "end the wait", ""},
		{"up and not shown", run.Waiting, 13 * time.Minute, false, "12:00 are over, oil at 53.6 °C: wait for 54.0 °C.", "",
			"12:00 are over, oil at 53.6 °C: wait for 54.0 °C."},
		{"late and not shown", run.Late, 26 * time.Minute, true, "Past the latest end, oil at 53.6 °C: wait for 54.0 °C, or end the wait.", "",
			"Past the latest end, oil at 53.6 °C: wait for 54.0 °C, or end the wait."},
	}
	for _, tt := range tests {
		v := run.View{Tone: tt.tone, Stage: &protocol.Stage{}, Do: "Leave it.", Enter: "end the wait", Wants: tt.wants,
			Clock: &run.ClockView{Window: window, Elapsed: tt.elapsed, Left: window.Aim - tt.elapsed}}
		if tt.due {
			v.Due = []run.DueReminder{{Say: "Swirl"}}
			if tt.tone != run.Late { // TestLateIsKeptAndNeverBlocked of package run holds this
				v.Enter = "done: Swirl"
			}
		}
		if got := farSentence(v); got != tt.far {
			t.Errorf("%s: far view says %q, want %q", tt.name, got, tt.far)
		}
		if got := ending(v); got != tt.ending {
			t.Errorf("%s: to be ended by %q, want %q", tt.name, got, tt.ending)
		}
	}
}
