package bench

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

const screens = "../../testdata/screens"

// A player is an operator with a model, and with a clock and a recorder that the test holds.
type player struct {
	t      testing.TB
	model  tea.Model
	at     time.Duration
	events []run.Event
	fails  error // what the recorder says
	bells  int
	deaf   error // what the bell says
}

func (p *player) Now() run.Moment {
	return run.Moment{At: time.Date(2026, 3, 2, 8, 30, 0, 0, time.UTC).Add(p.at), Elapsed: p.at}
}

func (p *player) Append(events ...run.Event) error {
	if p.fails != nil {
		return p.fails
	}
	p.events = append(p.events, events...)
	return nil
}

// engine begins a run of the invented procedure with so many vessels, at a bench if it is to have a timetable.
func (p *player) engine(vessels int, bench *run.Bench) *run.Engine {
	p.t.Helper()
	text, err := os.ReadFile(filepath.Join(screens, "small-batch.toml"))
	if err != nil {
		p.t.Fatal(err)
	}
	b := run.Begun{Run: "run-1", Program: "meniscus test", File: "small-batch.toml", Protocol: string(text), Zone: "+00:00", Bench: bench}
	for i := range vessels {
		b.Vessels = append(b.Vessels, run.VesselBegun{Label: string(rune('A' + i))})
	}
	s, _, err := run.Begin(b, p.Now())
	if err != nil {
		p.t.Fatal(err)
	}
	return run.NewEngine(s, p, p)
}

// options are what every test of the model starts from.
func (p *player) options() Options {
	return Options{
		Palette: tui.Palette{Bare: true},
		Bell:    func() error { p.bells++; return p.deaf },
		Place:   func(id string) string { return "runs/" + id + ".journal" },
		Summary: func(s *run.State, w int) string {
			return fmt.Sprintf("%s at a width of %d\n\tOil used  %s\n", s.Protocol.Title, w, strings.Repeat("line\n", 40))
		},
	}
}

// newPlayer returns a player at the briefing of a run.
func newPlayer(t testing.TB, vessels int) *player {
	p := &player{t: t}
	o := p.options()
	o.Operator = tui.NewOperator(p.engine(vessels, nil))
	p.model = New(o)
	return p
}

// send gives the model messages, and follows no command.
func (p *player) send(msgs ...tea.Msg) tea.Cmd {
	var cmd tea.Cmd
	for _, m := range msgs {
		p.model, cmd = p.model.Update(m)
	}
	return cmd
}

func (p *player) size(w, h int) { p.send(tea.WindowSizeMsg{Width: w, Height: h}) }

// play types lines; "+4m" lets time go by and looks at the clock.
func (p *player) play(lines ...string) {
	p.t.Helper()
	for _, line := range lines {
		if by, err := time.ParseDuration(strings.TrimPrefix(line, "+")); err == nil && strings.HasPrefix(line, "+") {
			p.at += by
			p.send(tickMsg{})
			continue
		}
		for _, k := range Keys(line) {
			p.send(k)
		}
	}
}

func (p *player) text() string { return ansi.Strip(p.model.View()) }

func (p *player) now() Model { return p.model.(Model) }
