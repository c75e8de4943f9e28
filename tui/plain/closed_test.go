package plain_test

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"example.org/meniscus/tui/plain"
	"example.org/meniscus/tui/rehearsal"
)

// closing plays lines on a run whose only readings are 40.1 g and that is given up then, with a summary that tells the
// newest value of the first.
func closing(t *testing.T, memory *rehearsal.Memory, lines string) (said string, outcome plain.Outcome) {
	t.Helper()
	o, _ := start(t, memory, "A")
	var out bytes.Buffer
	opts := plain.Options{Summary: func() error {
		fmt.Fprintf(&out, "SUMMARY: %s g\n", o.Engine.State.Vessels[0].Taken[0].Typed)
		return nil
	}}
	outcome, err := plain.Run(o, strings.NewReader("\n\n40.1\nz fire drill\n\n"+lines), &out, opts)
	if err != nil {
		t.Fatal(err)
	}
	_, said, ended := strings.Cut(out.String(), "The run has ended.")
	if !ended {
		t.Fatalf("the run goes on:\n%s", out.String())
	}
	return said, outcome
}

// TestClosed: when the run is over, notes and corrections are taken, and the summary that stands last has them.
func TestClosed(t *testing.T) {
	for _, tt := range []struct{ lines, want string }{
		{"", "SUMMARY: 40.1 g|This run is closed; Enter leaves."},
		{"\nc 40.2 misread\n", "SUMMARY: 40.1 g|closed"},
		{"c 40.2 misread\n\n\nc 40.3 misread\n", "SUMMARY: 40.1 g|closed|40.20 g instead of 40.1|SUMMARY: 40.2 g"},
		{"c 40.2 misread\n", "SUMMARY: 40.1 g|closed|40.20 g instead of 40.1|SUMMARY: 40.2 g"},
		{"c 40.2 misread\nq\n", "SUMMARY: 40.1 g|closed|40.20 g instead of 40.1|SUMMARY: 40.2 g"},
		{"c 4020 misread\n\n\n", "SUMMARY: 40.1 g|closed|Question: |SUMMARY: 4020 g"},
		{"@-0 look 1 on paper\n", "SUMMARY: 40.1 g|closed; Enter leaves.|One that was missed: @13:39 NAME 10.02 WHY enters it.|Not done: Vessel A was not in"},
		{"u display misread\n-\n", "SUMMARY: 40.1 g|closed|Question: Take Mass of the solvent (40.10 g) back, for the reason “display misread”?|Nothing was changed"},
		{"40.2\nc 40.2 mis", "SUMMARY: 40.1 g|closed|Not done: This run has ended|has no end, so it was not entered: c 40.2 mis"},
	} {
		said, outcome := closing(t, &rehearsal.Memory{}, tt.lines)
		rest := said
		for _, part := range strings.Split(tt.want, "|") {
			_, after, found := strings.Cut(rest, part)
			if !found {
				t.Errorf("%q: no %q at its place in\n%s", tt.lines, part, said)
			}
			rest = after
		}
		if n := strings.Count(tt.want, "SUMMARY"); strings.Count(said, "SUMMARY") != n {
			t.Errorf("%q: the summary is not told %d times:\n%s", tt.lines, n, said)
		}
		if outcome != plain.Finished {
			t.Errorf("%q: outcome %v", tt.lines, outcome)
		}
	}
}

// TestUnseenSigns: a sign that cannot be seen is refused in a reading, and does not reach the terminal.
func TestUnseenSigns(t *testing.T) {
	memory := &rehearsal.Memory{}
	o, _ := start(t, memory, "A")
	var out bytes.Buffer
	if _, err := plain.Run(o, strings.NewReader("\n\n4\x000.1\n\x1b[A40.1\nn wet\x1b[2J neck\n\t40.1\t\r\n"), &out, plain.Options{Echo: true}); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"A> 40.1\nNot done: A sign that cannot be seen (U+0000) came in after “4”: type it again.",
		"A> [A40.1\nNot done: A sign that cannot be seen (U+001B) came in after “”", "A> 40.1\nMass of the solvent: 40.10 g"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("not said: %s\nin\n%s", want, out.String())
		}
	}
	if taken := o.Engine.State.Vessels[0].Taken; len(taken) != 1 || taken[0].Typed != "40.1" {
		t.Errorf("taken: %+v", taken)
	}
	if strings.ContainsAny(out.String(), "\x00\x1b") {
		t.Errorf("it reaches the terminal: %q", out.String())
	}
}

// TestSummaryThatFails: where the summary cannot be written, the error is handed on and nothing hangs.
func TestSummaryThatFails(t *testing.T) {
	o, _ := start(t, &rehearsal.Memory{}, "A")
	broken := errors.New("no paper")
	_, err := plain.Run(o, strings.NewReader("\n\n40.1\nz fire drill\n\n"), &bytes.Buffer{}, plain.Options{Summary: func() error { return broken }})
	if !errors.Is(err, broken) {
		t.Errorf("error %v, want the summary's", err)
	}
}

// TestHelpFits: no line of the help is broken by a terminal of 80 columns.
func TestHelpFits(t *testing.T) {
	o, _ := start(t, &rehearsal.Memory{}, "A")
	var out bytes.Buffer
	if _, err := plain.Run(o, strings.NewReader("\n?\n"), &out, plain.Options{}); err != nil {
		t.Fatal(err)
	}
	_, help, found := strings.Cut(out.String(), "  Enter alone ")
	if !found || !strings.Contains(help, "c NAME.2 12.6") {
		t.Fatalf("no help in\n%s", out.String())
	}
	for _, line := range strings.Split(help, "\n") {
		if strings.HasPrefix(line, "  ") && utf8.RuneCountInString(line) > 80 {
			t.Errorf("%d characters: %s", utf8.RuneCountInString(line), line)
		}
	}
}
