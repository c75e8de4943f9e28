package command

import (
	"os"
	"time"

	"example.org/meniscus/protocol/summary"
	"example.org/meniscus/tui"
	"example.org/meniscus/tui/plain"
)

// beat is how often the plain face looks whether something came due.
const beat = time.Second

// sitPlain leads through the run line by line, and prints the summary when it is closed.
func (e *env) sitPlain(s *sitting) error {
	done := make(chan struct{})
	defer close(done)
	ticker := time.NewTicker(beat)
	defer ticker.Stop()
	leave, forget := onSignal()
	defer forget()
	o := tui.NewOperator(s.engine)
	outcome, err := plain.Run(o, e.in, e.out, plain.Options{
		Ticks: plain.Ticks(o.Engine, ticker.C, done),
		Leave: leave,
		GoOn:  e.goOnLine(s),
		Ascii: e.look.ascii,
		Bell:  isTerminal(e.out) && os.Getenv("TERM") != "dumb",
		Echo:  !isTerminal(e.in),
	})
	if err != nil || outcome == plain.Left {
		return err
	}
	return e.print(summary.FromState(s.engine.State), form{format: "text"})
}
