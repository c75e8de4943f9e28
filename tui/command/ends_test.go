//go:build !windows

package command_test

import (
	"os"
	"strings"
	"testing"
)

// TestHalfTyped: what was typed and not entered when the program is told to go is offered again, and can be entered.
func TestHalfTyped(t *testing.T) {
	for name, leave := range orders {
		t.Run(name, func(t *testing.T) {
			x := atTheBench(t)
			x.press("n half a note")
			x.until("half a note")
			x.told(leave, "is kept, and will be offered again: n half a note")
			y := inTerminal(t, []string{"XDG_DATA_HOME=" + x.home}, "resume")
			y.home = x.home
			y.until("typed and not entered")
			y.pressUntil("\r", "Noted.")
			y.press("q")
			y.until(restored)
			y.wait()
			y.whole()
			if out, err := x.beside("summary", y.runID()); err != nil || !strings.Contains(out, "half a note") {
				t.Errorf("the summary has no such note: %v\n%s", err, out)
			}
		})
	}
}

// TestHalfTypedAndGone: the same when the window is closed.
func TestHalfTypedAndGone(t *testing.T) {
	x := atTheBench(t)
	x.press("n half a note")
	x.until("half a note")
	x.file.Close()
	x.wait()
	y := inTerminal(t, []string{"XDG_DATA_HOME=" + x.home}, "resume")
	y.until("typed and not entered")
	y.press("q")
	y.until(restored)
	y.wait()
}

// runID is the id of the one run of the home.
func (x *terminal) runID() string {
	x.t.Helper()
	entries, err := os.ReadDir(x.home + "/meniscus/runs")
	if err != nil {
		x.t.Fatal(err)
	}
	for _, e := range entries {
		if id, ok := strings.CutSuffix(e.Name(), ".journal"); ok {
			return id
		}
	}
	x.t.Fatal("no run is kept")
	return ""
}
