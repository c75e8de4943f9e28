package tui_test

import (
	"strings"
	"testing"
	"time"

	"example.org/meniscus/protocol/run"
)

// FuzzLines: whatever lines are typed, nothing panics, each gets an answer, and what was recorded replays.
func FuzzLines(f *testing.F) {
	for _, lines := range []string{"", "50.04\n\nu slip", "@9:29 1\n@-1\n@ \n@24:00 1", "c taking_place @9:30 why\nc @x\nc", "n \x1b[2J\u202e\nx why\ns why\n\nd why\n\nz why\n",
		"A\nB\na\n-\n?\nq\ne 5\ne 1e9 x\ne -1", "t\nt \u009b\nk\n200.5 g\n1,234\n5:00\n@9:31 nothing.2 4", "v fuel=ester\nv\nv x\nC\n\n\n\nB\n\nn x\nd why\n\n"} {
		f.Add(lines)
	}
	f.Fuzz(func(t *testing.T, lines string) {
		s := beginSitting(t)
		for _, line := range strings.Split(lines, "\n") {
			s.wake(20 * time.Second)
			if a := s.o.Enter(line, 0); a.NotSaved != nil {
				t.Fatalf("%q cannot be applied: %v", line, a.NotSaved)
			}
			s.o.Follow()
			s.o.Watch()
			s.o.View()
		}
		if _, err := run.Fold(s.events); err != nil {
			t.Fatal(err)
		}
	})
}
