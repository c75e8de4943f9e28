package bench

import (
	"fmt"
	"strings"
	"testing"
)

// TestWholeQueue: no vessel is missing in the queue while rows stand empty; on a small screen it is told how many more there are.
func TestWholeQueue(t *testing.T) {
	p := newPlayer(t, 8)
	p.play("")
	for _, v := range "ABCDEFGH" {
		p.play(string(v), "", "+10s")
	}
	p.size(120, 40)
	text := p.text()
	for _, v := range "ABCDEFGH" {
		if !strings.Contains(text, fmt.Sprintf("  %c  ▶ Weigh", v)) && !strings.Contains(text, fmt.Sprintf(" [%c] ▶ Weigh", v)) {
			t.Errorf("%c is not in the queue:\n%s", v, text)
		}
	}
	p.size(48, 20)
	if text := p.text(); !strings.HasSuffix(strings.Split(text, "\n")[1], "  +3") {
		t.Errorf("nothing tells that there are more:\n%s", text)
	}
}
