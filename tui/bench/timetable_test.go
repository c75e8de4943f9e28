package bench

import (
	"slices"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// newPlanned returns a player at the briefing of a run of so many vessels that has a timetable.
func newPlanned(t testing.TB, vessels int) *player {
	p := &player{t: t}
	o := p.options()
	o.Operator = tui.NewOperator(p.engine(vessels, &run.Bench{}))
	p.model = New(o)
	return p
}

// rest gives the model back what its own work beside the screen came to.
func (p *player) rest() {
	p.t.Helper()
	for task := p.now().making; task != nil; task = p.now().making {
		p.send(foundMsg{task, task.Plan()})
	}
}

// playPlanned types lines; after each of them the timetable is made.
func (p *player) playPlanned(lines ...string) {
	p.t.Helper()
	for _, line := range lines {
		p.play(line)
		p.rest()
	}
}

// charge leads through the first stage, to the wait of the second.
var charge = []string{"", "+30s", "50", "+30s", "1", "+30s", "", "+30s"}

func TestTimetableScreens(t *testing.T) {
	tests := []struct {
		name    string
		vessels int
		lines   []string
	}{
		{"begin", 3, []string{""}},
		{"to-begin", 3, []string{"", "", "C"}},
		{"too-early", 3, []string{"", "", "+20s", "B", ""}},
		{"moved", 3, []string{"", "", "+9m"}},
		{"coming", 3, []string{"", "", "+1m", "p"}},
		{"far", 2, []string{"", "", "B", "f"}},
		{"held", 3, slices.Concat([]string{""}, charge, []string{"B"}, charge, []string{"C"}, charge, []string{"C"})},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := newPlanned(t, tt.vessels)
			p.playPlanned(tt.lines...)
			if p.now().Run().Timetable() == nil {
				t.Fatal("there is no timetable")
			}
			if m := p.now(); tt.name == "held" && !m.frame().view().HeldBack() {
				t.Fatalf("no wait is held back:\n%s", p.text())
			}
			checkScreen(t, p)
		})
	}
}

// A timetable is made beside the screen: a key that comes meanwhile is taken at once, and what was found for a run that
// stands otherwise by then is not recorded, but made again.
func TestKeysDoNotWaitForTheTimetable(t *testing.T) {
	p := newPlanned(t, 2)
	var cmd tea.Cmd
	for _, k := range Keys("") {
		cmd = p.send(k)
	}
	stale := foundOf(t, cmd)
	p.play("", "+1m") // A is begun before the answer comes
	n := len(p.events)
	next := foundOf(t, p.send(stale))
	if len(p.events) != n {
		t.Fatalf("a timetable for what is past was recorded: %+v", p.events[n:])
	}
	p.send(next)
	if len(p.events) != n+1 || p.now().Run().Timetable() == nil {
		t.Fatalf("the timetable was not made again: %+v", p.events[n:])
	}
	if text := p.text(); !strings.Contains(text, "Timetable:") {
		t.Errorf("the screen does not tell the timetable:\n%s", text)
	}
}

// The bell is silent when the first timetable has a vessel begin at once, and calls when the time of the next one comes.
func TestBellAtABegin(t *testing.T) {
	p := newPlanned(t, 2)
	calls := func(vessel string) bool {
		c := p.now().bell.calls[vessel]
		return c != nil && !c.answered
	}
	p.playPlanned("")
	if calls("A") || calls("B") {
		t.Error("the bell calls for the first begin")
	}
	p.playPlanned("", "+1m")
	if calls("B") {
		t.Error("the bell calls before B is to begin")
	}
	p.playPlanned("+2m5s")
	if !calls("B") {
		t.Error("the bell does not call when B is to begin")
	}
}

// foundOf runs a command, or the parts of a batch, and returns the timetable that was found.
func foundOf(t *testing.T, cmd tea.Cmd) foundMsg {
	t.Helper()
	if cmd == nil {
		t.Fatal("nothing is made")
	}
	switch msg := cmd().(type) {
	case foundMsg:
		return msg
	case tea.BatchMsg:
		for _, c := range msg {
			if c == nil {
				continue
			}
			if found, ok := c().(foundMsg); ok {
				return found
			}
		}
	}
	t.Fatal("no timetable is made")
	return foundMsg{}
}
