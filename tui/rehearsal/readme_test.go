package rehearsal_test

import (
	"os"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"example.org/meniscus/protocols"
	"example.org/meniscus/tui/bench"
	"example.org/meniscus/tui/rehearsal"
)

// The README's picture is what the bench screen shows 55 min 25 s into the ester batch's rehearsal, at 80x24.
func TestReadmeShowsTheScreen(t *testing.T) {
	script, _ := protocols.Demo("ester-batch")
	o, clock, _ := start(t, script)
	var m tea.Model = bench.New(bench.Options{Operator: o})
	m, _ = m.Update(tea.WindowSizeMsg{Width: 80, Height: 24})
	const moment = 55*time.Minute + 25*time.Second
	for _, line := range script.Lines {
		if line.At > moment {
			break
		}
		clock.Set(line.At)
		for _, typed := range rehearsal.Typed(o, line) {
			for _, key := range bench.Keys(typed) {
				m, _ = m.Update(key)
			}
		}
	}
	clock.Set(moment)
	m, _ = m.Update(bench.Redraw{})
	page, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	var drawn []string
	for line := range strings.Lines(ansi.Strip(m.View())) {
		drawn = append(drawn, strings.TrimRight(line, " \n"))
	}
	if shown := strings.Join(drawn, "\n"); !strings.Contains(string(page), "```\n"+shown+"\n```") {
		t.Errorf("the page shows another screen than this one:\n%s", shown)
	}
}
