package bench

import (
	"strings"
	"testing"
	"time"
)

// water is a series that was read every half minute.
func water(values ...float64) curve {
	c := curve{title: "Water", unit: "°C"}
	for i, v := range values {
		c.points = append(c.points, point{time.Duration(i) * 30 * time.Second, v})
	}
	return c
}

func (c curve) aimedAt(v float64) curve {
	c.aim, c.aimed = v, true
	return c
}

// TestAimOfCurve: an aim within reach is a line with its value beside it, on a row that no other value shares; one far
// off is told with the way to it, and leaves the readings the height that they have without it.
func TestAimOfCurve(t *testing.T) {
	tests := []struct {
		name   string
		c      curve
		head   string
		row    int // of the aim's line; -1: there is none
		before string
		last   int // row of the last reading
	}{
		{"above", water(10, 12, 14, 16, 18).aimedAt(20), "Water in degC", 1, "20 |", 2},
		{"nearly there", water(10, 12, 14, 16, 19.9).aimedAt(20), "Water in degC", 1, "20 |", 2},
		{"reached", water(10, 12, 14, 16, 20).aimedAt(20), "Water in degC", 1, "20 |", 1},
		{"passed", water(10, 15, 20, 25, 30).aimedAt(20), "Water in degC", 4, "20 |", 1},
		{"just passed", water(10, 15, 20, 20.5, 21).aimedAt(20), "Water in degC", 2, "20 |", 1},
		{"below", water(30, 28, 26, 24, 22).aimedAt(20), "Water in degC", 7, "20 |", 6},
		{"far above", water(10, 11, 12).aimedAt(40), "Water in degC      ^ aim 40", -1, "", 1},
		{"far below", water(12, 11, 10).aimedAt(-40), "Water in degC     v aim -40", -1, "", 7},
		{"none", water(10, 11, 12), "Water in degC", -1, "", 1},
	}
	for _, tt := range tests {
		got := drawn(27, 9, true, func(a area) { drawCurve(a, tt.c) })
		picture := strings.Join(got, "\n")
		if got[0] != tt.head {
			t.Errorf("%s: the head is %q, want %q", tt.name, got[0], tt.head)
		}
		for y, line := range got[1:8] {
			if isAim := strings.Contains(line, "- aim -"); isAim != (y+1 == tt.row) {
				t.Errorf("%s: row %d, want the aim in row %d:\n%s", tt.name, y+1, tt.row, picture)
			}
		}
		if tt.row > 0 && !strings.HasPrefix(got[tt.row], tt.before) {
			t.Errorf("%s: the aim's row is %q, want it to begin with %q", tt.name, got[tt.row], tt.before)
		}
		if !strings.HasSuffix(got[tt.last], "*") {
			t.Errorf("%s: the last reading is not in row %d:\n%s", tt.name, tt.last, picture)
		}
	}
}

// TestAimOnTheBench: the aim that the protocol declares stands on the curve and where the reading is asked for.
func TestAimOnTheBench(t *testing.T) {
	p := newPlayer(t, 1)
	p.size(120, 40)
	p.play(after(warmed, "+1m", "54.4")...)
	text := p.text()
	for _, want := range []string{"· aim 54 °C", "54 │╌ aim ╌"} {
		if !strings.Contains(text, want) {
			t.Errorf("the screen has no %q:\n%s", want, text)
		}
	}
}
