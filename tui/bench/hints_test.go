package bench

import (
	"strings"
	"testing"
)

// TestNeededKeys: on the smallest screen too, the line of keys has what a slip or a remark needs.
func TestNeededKeys(t *testing.T) {
	p := newPlayer(t, 2)
	p.size(48, 20)
	p.play("", "")
	lines := strings.Split(p.text(), "\n")
	if got, want := lines[len(lines)-1], " x not taken  c correct  n note ? help  q leave"; got != want {
		t.Errorf("the keys are %q, want %q", got, want)
	}
}
