package command

import (
	"fmt"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/meniscus/protocol/regular"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui"
	"example.org/meniscus/tui/bench"
	"example.org/meniscus/tui/rehearsal"
)

// glance is how often a clock that stands in a file is looked at, and the screen drawn after it.
const glance = 10 * time.Millisecond

// A held screen is one whose clock is moved by messages, so between two keys and never while one is taken.
type held struct {
	tea.Model
	clock *rehearsal.Clock
}

// setMsg moves the clock on.
type setMsg time.Duration

func (h held) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	if at, ok := msg.(setMsg); ok {
		h.clock.Set(time.Duration(at))
		return h, nil
	}
	var cmd tea.Cmd
	h.Model, cmd = h.Model.Update(msg)
	return h, cmd
}

// rehearseByHand shows a rehearsal whose keys are pressed by somebody else, a person or a program. Its clock stands at
// what a file says, a time such as 1:05:20, and is moved by writing another one; so what is typed falls on exactly that
// time, however long the typing takes.
func (e *env) rehearseByHand(o *tui.Operator, clock *rehearsal.Clock, file string, s *sitting) error {
	if _, err := timeIn(file); err != nil {
		return callError{err}
	}
	options := e.benchOptions(s.hash)
	options.Operator, options.Debounce, options.Tick, options.PlanAtOnce = o, 0, glance, true
	options.Place = func(string) string { return s.path }
	return e.screen(held{bench.New(options), clock}, func(p *tea.Program, stop <-chan struct{}) {
		for rest(glance, stop) {
			if at, err := timeIn(file); err == nil && at > clock.Now().Elapsed { // a file that is half written is read again
				p.Send(setMsg(at))
			}
		}
	})
}

// timeIn reads the time that stands in a file.
func timeIn(file string) (time.Duration, error) {
	text, err := regular.Read(file)
	if err != nil {
		return 0, err
	}
	at, ok := run.ParseHms(strings.TrimSpace(string(text)))
	if !ok {
		return 0, fmt.Errorf("%s: %q is no time; write one such as 0:00", file, tui.Clean(string(text)))
	}
	return at, nil
}

// tellActs prints what is typed in a rehearsal: the time, the vessel or -, and the line, with tabs between.
func (e *env) tellActs(script protocols.Script) error {
	for _, line := range script.Lines {
		vessel := line.Vessel
		if vessel == "" {
			vessel = "-"
		}
		if _, err := fmt.Fprintf(e.out, "%s\t%s\t%s\n", run.Hms(line.At), vessel, line.Typed); err != nil {
			return err
		}
	}
	return nil
}
