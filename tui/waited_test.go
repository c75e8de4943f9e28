package tui_test

import (
	"strings"
	"testing"
	"time"
)

// The end of a wait is confirmed with what it lasted and what was otherwise than planned, and so is that a vessel is given up.
func TestWaitEnded(t *testing.T) {
	for _, tt := range []struct {
		lines string // "+" and a time lets it go by
		want  string // of the last line
	}{
		{"+12m||54.2|", "A Prewarm: wait ended after 12:00; Swirl the flask: 1 of 3 times"},
		{"+4m1s||+4m1s||54.2|", "A Prewarm: wait ended after 8:02"},
		{"+4m1s||54.2|+21m39s|", "A Prewarm: wait ended after 25:40, late, planned 8:00 to 20:00; Swirl the flask: 1 of 6 times"},
		{"+4m1s||+1m|54.2|y cold", "A Prewarm: wait ended after 5:01, early, planned 8:00 to 20:00: cold"},
		{"+4m1s||+4m1s||+4m1s||50|y cold", "A Prewarm: wait ended after 12:03; not shown: the oil has reached 54 °C: cold"},
		{"d the flask broke|", "A is given up"},
	} {
		o, m := atBatch(t, "AB")
		for _, line := range []string{"", "50", "1", "A"} {
			o.Enter(line, 0)
		}
		o.Enter("A", 0)
		got := ""
		for _, line := range strings.Split(tt.lines, "|") {
			if by, ok := strings.CutPrefix(line, "+"); ok {
				d, err := time.ParseDuration(by)
				if err != nil {
					t.Fatal(err)
				}
				m.now += d
				continue
			}
			if o.Open() == nil {
				o.Enter("A", 0)
			}
			got = heard(o.Enter(line, 0))
		}
		if !strings.HasPrefix(got, tt.want) {
			t.Errorf("%s: %q, want %q", tt.lines, got, tt.want)
		}
	}
}
