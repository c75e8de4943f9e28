package command

import (
	"os"
	"time"

	"example.org/meniscus/tui"
	"example.org/meniscus/tui/plain"
)

// beat is how often the plain face looks whether something came due.
const beat = time.Second

// sitPlain leads through the run line by line, to the summary when it is closed.
func (e *env) sitPlain(s *sitting) error {
	done := make(chan struct{})
	defer close(done)
	ticker := time.NewTicker(beat)
	defer ticker.Stop()
	leave, forget := onSignal()
	defer forget()
	o := tui.NewOperator(s.engine)
	o.MoveTo = s.mover()
	var debounce time.Duration
	if isTerminal(e.in) { // a pipe sends its lines at once
		debounce = bounce
	}
	_, err := plain.Run(o, e.in, e.out, plain.Options{
		Debounce: debounce,
		Ticks:    plain.Ticks(o.Engine, ticker.C, done),
		Leave:    leave,
		GoOn:     func() string { return e.goOnLine(s) },
		Ascii:    e.look.ascii,
		Bell:     isTerminal(e.out) && os.Getenv("TERM") != "dumb",
		Echo:     !isTerminal(e.in),
		Sound:    e.sound.play,
		Summary:  func() error { return e.sumUp(s.engine.State, form{format: "text", hash: s.hash()}) },
	})
	return err
}
