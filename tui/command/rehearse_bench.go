package command

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/meniscus/protocols"
	"example.org/meniscus/tui"
	"example.org/meniscus/tui/bench"
	"example.org/meniscus/tui/rehearsal"
)

// The messages by which the feeder types at the screen. Only the screen's own loop may look at the operator, so it is
// asked for the keys of a line.
type (
	lineDue struct {
		line protocols.Line
		keys chan<- []tea.KeyMsg
	}
	keyFed struct {
		key  tea.KeyMsg
		seen chan<- struct{}
	}
	allFed struct{}
)

// audience shows a screen whose keys are pressed by a feeder; its own can only leave, until the feeder is done.
type audience struct {
	screen tea.Model
	o      *tui.Operator
	free   bool
}

func (a audience) Init() tea.Cmd { return a.screen.Init() }
func (a audience) View() string  { return a.screen.View() }

func (a audience) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	switch m := msg.(type) {
	case lineDue:
		var keys []tea.KeyMsg
		for _, typed := range rehearsal.Typed(a.o, m.line) {
			keys = append(keys, bench.Keys(typed)...)
		}
		m.keys <- keys
		return a, nil
	case keyFed:
		var cmd tea.Cmd
		a.screen, cmd = a.screen.Update(m.key)
		close(m.seen)
		return a, cmd
	case allFed:
		a.free = true
		return a, nil
	case tea.KeyMsg:
		switch {
		case m.String() == "q" || m.String() == "ctrl+c":
			return a, tea.Quit
		case !a.free && m.String() != "ctrl+z":
			return a, nil
		}
	}
	var cmd tea.Cmd
	a.screen, cmd = a.screen.Update(msg)
	return a, cmd
}

// rehearseAtBench plays the script on the screen.
func (e *env) rehearseAtBench(o *tui.Operator, clock *rehearsal.Clock, script protocols.Script, speed float64, s *sitting) error {
	options := e.benchOptions(s.hash)
	options.Operator, options.Debounce, options.PlanAtOnce = o, 0, true
	options.Tick = 50 * time.Millisecond
	options.Place = func(string) string { return s.path }
	f := feeder{clock: clock, speed: speed}
	return e.screen(audience{screen: bench.New(options), o: o}, func(p *tea.Program, stop <-chan struct{}) {
		f.play(p, script.Lines, stop)
	})
}

// A feeder types the lines of a script at a screen, each when its time comes on a clock that it moves itself: time runs
// between two lines and stands still while one is typed, so the readings fall on the script's own times.
type feeder struct {
	clock *rehearsal.Clock
	speed float64
}

const (
	frame    = 50 * time.Millisecond // of life, between two moves of the clock
	shortest = 45 * time.Second      // of the run's time: no line comes sooner after the last, or it could not be read
	briefing = 8 * time.Minute       // of the run's time, for which the first screen is left standing
	perKey   = 4 * time.Second       // of the run's time, between two keys of a line
)

func (f feeder) play(p *tea.Program, lines []protocols.Line, stop <-chan struct{}) {
	least := briefing
	for _, line := range lines {
		if !f.pass(line.At, least, stop) {
			return
		}
		least = shortest
		keys := make(chan []tea.KeyMsg, 1)
		p.Send(lineDue{line, keys})
		select {
		case typed := <-keys:
			if !f.press(p, typed, stop) {
				return
			}
		case <-stop:
			return
		}
	}
	p.Send(allFed{})
}

// pass lets the clock run on to the next line's time, and takes no less of life than least of the run's.
func (f feeder) pass(until, least time.Duration, stop <-chan struct{}) bool {
	from := f.clock.Now().Elapsed
	life := f.inLife(max(until-from, least))
	for gone := frame; gone < life; gone += frame {
		if !rest(frame, stop) {
			return false
		}
		f.clock.Set(from + time.Duration(float64(until-from)*float64(gone)/float64(life)))
	}
	f.clock.Set(until)
	return true
}

// press types the keys and waits until the screen has taken each.
func (f feeder) press(p *tea.Program, keys []tea.KeyMsg, stop <-chan struct{}) bool {
	for _, key := range keys {
		seen := make(chan struct{})
		p.Send(keyFed{key, seen})
		select {
		case <-seen:
		case <-stop:
			return false
		}
		if !rest(f.inLife(perKey), stop) {
			return false
		}
	}
	return true
}

func (f feeder) inLife(d time.Duration) time.Duration { return time.Duration(float64(d) / f.speed) }

// rest waits for d; false when the rehearsal was stopped meanwhile.
func rest(d time.Duration, stop <-chan struct{}) bool {
	select {
	case <-time.After(d):
		return true
	case <-stop:
		return false
	}
}
