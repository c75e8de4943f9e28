package bench

import (
	"reflect"
	"strings"
	"testing"
	"time"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui/rehearsal"
)

// TestCourse: on few rows the readings are an area between their bounds; what is short of the aim leaves its line to be
// seen, and what has reached it covers the row.
func TestCourse(t *testing.T) {
	tests := []struct {
		name  string
		c     curve
		plain bool
		w, h  int
		want  []string
	}{
		{"rising", water(10, 12, 14, 16, 18), false, 18, 3, []string{
			"18 │         ▁▃▄▆█",
			"   │     ▂▄▅▇█████",
			"10 │▁▃▅▆██████████"}},
		{"short of the aim", water(10, 12, 14, 16, 19.9).aimedAt(20), false, 18, 3, []string{
			"20 │╌ aim ╌╌╌╌╌▂▅▇",
			"   │      ▁▃▄▆▇███",
			"10 │▁▂▄▅▇█████████"}},
		{"reached", water(10, 12, 14, 16, 20).aimedAt(20), false, 18, 3, []string{
			"20 │╌ aim ╌╌╌╌╌▂▅█",
			"   │      ▁▃▄▆████",
			"10 │▁▂▄▅▇█████████"}},
		{"down to the aim", water(30, 28, 26, 24, 20).aimedAt(20), false, 18, 3, []string{
			"30 │█▇▅▄▂▁",
			"   │███████▆▅▃▁▁▁",
			"20 │█ aim ████████"}},
		{"far above", water(10, 11, 12).aimedAt(40), false, 18, 3, []string{
			"12 │↑ aim 40 ▁▃▄▆█",
			"   │     ▂▄▅▇█████",
			"10 │▁▃▅▆██████████"}},
		{"far below", water(12, 11, 10).aimedAt(-40), false, 18, 3, []string{
			"12 │█▆▄▃▁",
			"   │█████▇▅▄▂",
			"10 │↓ aim -40 ▆▅▃▁"}},
		{"level", water(20, 20, 20), false, 18, 3, []string{
			"20 │██████████████",
			"   │██████████████",
			"   │██████████████"}},
		{"plain", water(10, 12, 14, 16, 19.9).aimedAt(20), true, 18, 3, []string{
			"20 |- aim -----.::",
			"   |      ..::####",
			"10 |..::##########"}},
		{"with its times", water(10, 12, 14, 16, 18), false, 25, 4, []string{
			"18 │              ▁▂▃▅▆▇█",
			"   │       ▁▂▃▅▆▇████████",
			"10 │▁▂▃▄▆▇███████████████",
			"   ╰0:00 ─────────── 2:00"}},
		{"a row, short of the aim", water(10, 12, 14, 16, 19.9).aimedAt(20), false, 24, 1, []string{
			"10 ▁▁▂▂▃▃▄▄▄▅▅▆▇▇ aim 20"}},
		{"a row, the aim far above", water(10, 11, 12).aimedAt(40), false, 24, 1, []string{
			"10 ▁▂▂▃▄▄▅▅▆▇▇█ ↑ aim 40"}},
		{"a row, no aim", water(10, 12, 14), true, 24, 1, []string{
			"10 .....::::::::##### 14"}},
		{"an aim wider than the plot", water(10.5, 11.5, 12.5).aimedAt(32.8), false, 13, 3, []string{
			"↑ aim 32.8",
			"12.5 │   ▁▃▅█",
			"10.5 │▁▄▆████"}},
		{"an aim below, wider than the plot", water(12.5, 11.5, 10.5).aimedAt(-32.8), false, 13, 3, []string{
			"12.5 │█▅▃▁",
			"10.5 │████▆▄▁",
			"↓ aim -32.8"}},
		{"no row for the aim", water(10.5, 11.5, 12.5).aimedAt(32.8), false, 13, 2, []string{
			"12.5 │   ▁▃▅█",
			"10.5 │▁▄▆████"}},
		{"a row with no room for the aim", water(10.5, 11.5, 12.5).aimedAt(32.8), false, 13, 1, []string{
			"10.5 ▁▅█ 12.5"}},
		{"two readings", water(10, 12), false, 18, 3, []string{"", "", ""}},
		{"too narrow", water(10, 12, 14), false, 12, 3, []string{"", "", ""}},
	}
	for _, tt := range tests {
		got := drawn(tt.w, tt.h, tt.plain, func(a area) { drawCurve(a, tt.c) })
		if !reflect.DeepEqual(got, tt.want) {
			t.Errorf("%s: the course is\n%s\nwant\n%s", tt.name, strings.Join(got, "\n"), strings.Join(tt.want, "\n"))
		}
	}
}

// TestValueAt: between two readings on a straight line; through readings of one moment, and level after the last one.
func TestValueAt(t *testing.T) {
	c := curve{points: []point{{0, 10}, {0, 12}, {time.Minute, 14}, {time.Minute, 15}}}
	for at, want := range map[time.Duration]float64{0: 12, 30 * time.Second: 13, time.Minute: 14, 2 * time.Minute: 15} {
		if got := c.valueAt(at); got != want {
			t.Errorf("at %s: %g, want %g", at, got, want)
		}
	}
}

// TestCurveOnSmallScreens: whenever the stage at hand has readings enough in any rehearsal, 80 by 24 shows them between
// their bounds, and so does 48 by 20, in a row at least.
func TestCurveOnSmallScreens(t *testing.T) {
	two, err := rehearsal.Several(shipped(t, "ester-batch"), 2, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, script := range []protocols.Script{shipped(t, "ester-batch"), two, shipped(t, "burn-test")} {
		shown := 0
		walk(t, script, len(script.Vessels) > 1, func(m Model) {
			c := m.frame().curve
			if m.screen != working || !c.isWorth() {
				return
			}
			shown++
			s := c.span()
			for _, size := range sizes[:2] {
				m.Width, m.Height, m.look = size[0], size[1], bare(false)
				text := m.View()
				top := shownAs(s.high) + " │"
				if c.aimsInside(s) {
					top = shownAs(c.aim) + " │╌ aim "
				}
				whole := strings.Contains(text, top) && strings.Contains(text, "╰"+run.Hms(s.from)+" ")
				small := size[0] < slimmest && (strings.Contains(text, top) || strings.Contains(text, shownAs(s.low)+" ▁"))
				if !whole && !small {
					t.Errorf("%s, %s: no curve at %dx%d:\n%s", script.Title, m.now.Truncate(time.Second), m.Width, m.Height, text)
				}
			}
		})
		if shown < 10 {
			t.Errorf("%s: %d moments with a curve, want more", script.Title, shown)
		}
	}
}

// TestCurveLeavesTheSentence: on no screen, however low, does a curve take the place of what the hands do.
func TestCurveLeavesTheSentence(t *testing.T) {
	for _, n := range []int{1, 3} {
		f := busyFrame(n, 72*time.Minute, &protocol.Stage{Title: "Settle"})
		for w := 30; w <= 110; w += 5 {
			for h := 10; h <= 32; h++ {
				if text := drawBench(f, w, h, bare(false)); !strings.Contains(text, "Time is up") {
					t.Fatalf("%d vessels at %dx%d are not told what to do:\n%s", n, w, h, text)
				}
			}
		}
	}
}
