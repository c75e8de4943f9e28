package command

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/summary"
	"example.org/meniscus/tui"
	"example.org/meniscus/tui/bench"
	"example.org/meniscus/tui/print"
)

// grace is how long the screen has to put the terminal right after it was asked to go.
const grace = 2 * time.Second

// sitAtBench shows the run on the screen.
func (e *env) sitAtBench(s *sitting) error {
	o := e.benchOptions(s.hash)
	o.ReadThrough = true // in a rehearsal one line of the script acknowledges
	o.MoveTo = s.mover()
	o.Operator = tui.NewOperator(s.engine)
	o.Place = func(string) string { return s.path }
	o.Typing = s.typing
	err := e.screen(bench.New(o), nil)
	e.farewell(s)
	return err
}

// benchOptions are those that hold for every screen; hash tells that of the journal's last line.
func (e *env) benchOptions(hash func() string) bench.Options {
	return bench.Options{
		Summary: func(s *run.State, width int) string {
			var b strings.Builder
			out := summary.FromState(s)
			out.Run.Hash = hash()
			if err := print.Text(&b, out, print.Options{Width: width, Ascii: e.look.ascii}); err != nil {
				return err.Error()
			}
			return b.String()
		},
		Bell: func() error {
			io.WriteString(e.out, "\a")
			return e.sound.play()
		},
		Debounce: tui.Guard,
		Ascii:    e.look.ascii,
		Palette:  e.palette(),
	}
}

// palette is what the flags say, else what the terminal's own hint says, else a dark ground.
func (e *env) palette() tui.Palette {
	dark := e.look.dark || !lightGround(os.Getenv("COLORFGBG"))
	return tui.Palette{Dark: dark && !e.look.light, NoColor: os.Getenv("NO_COLOR") != ""}
}

// lightGround reads COLORFGBG, in which the last number is the colour of the ground: 7 and 9 to 15 are light ones.
func lightGround(hint string) bool {
	switch hint[strings.LastIndexByte(hint, ';')+1:] {
	case "7", "9", "10", "11", "12", "13", "14", "15":
		return true
	}
	return false
}

// screen runs m until it ends, the operator leaves it, or a signal asks the program to go. feed, if any, sends messages
// meanwhile until stop is closed. Whatever happened, the terminal is as it was before.
func (e *env) screen(m tea.Model, feed func(p *tea.Program, stop <-chan struct{})) error {
	leave, forget := onSignal()
	defer forget()
	var p *tea.Program
	aside := tea.WithFilter(func(_ tea.Model, msg tea.Msg) tea.Msg {
		if _, ok := msg.(tea.SuspendMsg); !ok {
			return msg
		}
		return goAside(p, e.in, leave)
	})
	p = tea.NewProgram(m, tea.WithAltScreen(), tea.WithInput(e.in), tea.WithOutput(e.out), tea.WithoutSignalHandler(), aside)
	defer redrawOnContinue(func() { p.Send(bench.Redraw{}) })()
	over := make(chan struct{})
	defer close(over)
	go quitWhenAsked(p, leave, over)
	if feed != nil {
		go feed(p, over)
	}
	_, err := p.Run()
	switch {
	case errors.Is(err, tea.ErrProgramPanic):
		return errors.New("the screen broke down; everything that it had confirmed is kept")
	case errors.Is(err, tea.ErrProgramKilled):
		return nil // it was asked to go and could not draw its last screen
	case err != nil:
		return fmt.Errorf("the terminal cannot be used: %w; --plain does without a screen", err)
	}
	return nil
}

// quitWhenAsked ends the program when a signal came: in good order, or by force where the terminal does not answer.
func quitWhenAsked(p *tea.Program, leave, over <-chan struct{}) {
	select {
	case <-leave:
	case <-over:
		return
	}
	go p.Quit()
	select {
	case <-time.After(grace):
		p.Kill()
	case <-over:
	}
}

// farewell keeps a line that was typed and not entered, and says how to go on with the run, or where its results are.
// What is to be typed stands in a line of its own, so that a terminal does not break it.
func (e *env) farewell(s *sitting) {
	if s.unread() {
		e.remark("The briefing was not acknowledged: nothing was begun, and no run is kept.")
		return
	}
	if line := s.typed; line.text != "" && s.engine.State.Ended == nil {
		if err := s.engine.KeepDraft(line.vessel, line.text, line.at); err != nil {
			e.remark("What was typed and not entered could not be kept: %v. It was: %s", err, line.text)
		} else {
			e.remark("What was typed and not entered is kept, and will be offered again: %s", line.text)
		}
	}
	if s.engine.State.Ended == nil {
		e.remark("Run %s goes on; everything so far is kept.\nTo take it up again: %s", s.id, e.goOnLine(s))
		return
	}
	e.remark("Run %s is closed and kept in\n  %s\nTo print its results:\n  %s summary %s\nTo correct a reading:\n  %s",
		s.id, s.path, e.call(), e.runName(s), e.goOnLine(s))
}
