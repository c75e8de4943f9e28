package command

import (
	"os"
	"time"

	"github.com/spf13/cobra"

	"example.org/meniscus/tui"
	"example.org/meniscus/tui/plain"
)

// plainFlags let the command line choose the plain face.
func (e *env) plainFlags(c *cobra.Command) {
	c.Flags().BoolVar(&e.look.plain, "plain", false, "line by line, without a screen; in a terminal, long lines are broken between words")
	c.Flags().BoolVar(&e.look.longLines, "long-lines", false, "with --plain, break no line: one for each thing that is told, as a screen reader likes it")
}

// plainWidth is how many columns a line of the plain face may have; 0: any number, where the output is no terminal. The
// last column stays free, since some terminals go to the next line once it is taken.
func (e *env) plainWidth() int {
	if e.look.longLines {
		return 0
	}
	return max(0, widthOf(e.out)-1)
}

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
		debounce = tui.Guard
	}
	_, err := plain.Run(o, e.in, e.out, plain.Options{
		Debounce: debounce,
		Ticks:    plain.Ticks(o.Engine, ticker.C, done),
		Leave:    leave,
		Width:    e.plainWidth,
		GoOn:     func() string { return e.goOnLine(s) },
		Ascii:    e.look.ascii,
		Bell:     isTerminal(e.out) && os.Getenv("TERM") != "dumb",
		Echo:     !isTerminal(e.in),
		Sound:    e.sound.play,
		Summary:  func() error { return e.sumUp(s.engine.State, form{format: "text", hash: s.hash()}) },
	})
	return err
}
