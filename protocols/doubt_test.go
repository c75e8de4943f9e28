package protocols_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocols"
)

// questioned types a value into a demo at a time of its script, in the place of what stands there, and returns what is asked
// about it. A slip was made before it.
func questioned(t *testing.T, id, vessel, at, typed string, before slip) string {
	t.Helper()
	until := clock(t, at)
	s, err := play(t, id, func(lines []protocols.Line) []protocols.Line {
		for i, l := range lines {
			if before.typed != "" && l.Typed != "" && l.Vessel == vessel && l.At == clock(t, before.at) {
				lines[i].Typed = before.typed
			}
		}
		return slices.DeleteFunc(lines, func(l protocols.Line) bool { return l.At >= until })
	})
	if err != nil {
		t.Fatal(err)
	}
	now := run.Moment{At: s.Begun.At.Add(until), Elapsed: until}
	_, err = run.Decide(s, run.Command{Vessel: vessel, Do: run.Take{Typed: typed}}, now)
	var q *run.Question
	if !errors.As(err, &q) && err != nil {
		t.Fatal(err)
	}
	if q == nil {
		return ""
	}
	return q.Say
}

// TestQuestions: what is asked about a slip in the procedures that ship, and what is not.
func TestQuestions(t *testing.T) {
	for _, tt := range []struct {
		name, id, vessel, at, typed string
		before                      slip
		want                        string // the end of the question; "" where there is none
	}{
		{"the first point was the slip", burn, "A", "11m35s", "15.8", slip{at: "11m5s", typed: "18.4"},
			"is a faster fall than expected (to 17.8 °C). Or was the one before 14.8 °C, not 18.4 °C? c burn_temperature.1 14.8 corrects that one. Keep it?"},
		{"a decimal mark at the second weighing", burn, "A", "24m40s", "1417.0", slip{}, "A decimal mark one place off? That would be 141.70 g. Keep it?"},
		{"the lid was left off", burn, "A", "24m40s", "134.86", slip{}, "was it left off for the second weighing? Keep it?"},
		{"a whole score", burn, "A", "25m30s", "2", slip{}, ""},
		{"half a score", burn, "A", "25m30s", "1.5", slip{}, "finer than Score by eye is read, in steps of 1. Keep it?"},
		{"a weighing for a score", burn, "A", "25m30s", "140.17", slip{}, "above what is expected (0 to 3). Keep it?"},
		{"the empty can was the slip", burn, "A", "8m10s", "276.72", slip{at: "2m40s", typed: "69.42"}, "c can 96.42 corrects that one. Keep it?"},
	} {
		if got := questioned(t, tt.id, tt.vessel, tt.at, tt.typed, tt.before); !strings.HasSuffix(got, tt.want) || (tt.want == "") != (got == "") {
			t.Errorf("%s:\n got %q\nwant %q", tt.name, got, tt.want)
		}
	}
}
