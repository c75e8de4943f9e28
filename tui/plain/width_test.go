package plain_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"

	"example.org/meniscus/tui/plain"
	"example.org/meniscus/tui/rehearsal"
)

// TestBrokenBetweenWords: whatever the width, the same words come in the same order, none of them broken, and no line is wider;
// without a width each thing that is told is one line.
func TestBrokenBetweenWords(t *testing.T) {
	const helped = "\n0:00:00\t-\t?" + wholeRun
	told := func(width func() int) string {
		o, clock := start(t, &rehearsal.Memory{}, "A")
		got, _ := talk(t, o, clock, helped, plain.Options{Width: width})
		return got
	}
	whole := told(nil)
	longest := 0
	for line := range strings.Lines(whole) {
		longest = max(longest, len(line))
	}
	if longest < 120 {
		t.Errorf("without a width the longest line has %d characters", longest)
	}
	for _, width := range []int{45, 60, 79, 131} {
		got := told(func() int { return width })
		for line := range strings.Lines(got) {
			line = strings.TrimRight(line, "\n")
			if n := utf8.RuneCountInString(line); n > width && !strings.Contains(line, "> ") { // what was typed stays as it is
				t.Errorf("%d columns: %d in %q", width, n, line)
			}
		}
		if diff := cmp.Diff(strings.Fields(whole), strings.Fields(got)); diff != "" {
			t.Errorf("%d columns: other words (- want, + got):\n%s", width, diff)
		}
	}
}

// TestBrokenLinesAreIndented: what follows of a line stands two blanks further in, and of a list below what it belongs to.
func TestBrokenLinesAreIndented(t *testing.T) {
	o, clock := start(t, &rehearsal.Memory{}, "A")
	got, _ := talk(t, o, clock, "\n0:00:00\t-\t?", plain.Options{Width: func() int { return 60 }})
	for _, want := range []string{
		"\n  c NAME 12.6         the same for the newest reading of\n                      that name\n",
		"\nType a line and press Enter; ? tells what can be typed.\n",
	} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in\n%s", want, got)
		}
	}
}

// TestWidthIsAskedForAnew: a terminal that is made narrower meanwhile breaks the lines that follow.
func TestWidthIsAskedForAnew(t *testing.T) {
	o, clock := start(t, &rehearsal.Memory{}, "A")
	calls := 0
	got, _ := talk(t, o, clock, wholeRun, plain.Options{Width: func() int {
		if calls++; calls < 10 {
			return 0
		}
		return 50
	}})
	lines := strings.Split(got, "\n")
	for i, line := range lines[len(lines)/2:] {
		if len(line) > 50 && !strings.Contains(line, "> ") {
			t.Errorf("line %d has %d characters: %q", i, len(line), line)
		}
	}
}
