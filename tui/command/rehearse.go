package command

import (
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui"
	"example.org/meniscus/tui/plain"
	"example.org/meniscus/tui/rehearsal"
)

// rehearsed is the protocol of a rehearsal that names none.
const rehearsed = "ester-batch"

// rehearsalBeat is how much of the run's time a plain rehearsal lets pass between two looks at what came due.
const rehearsalBeat = 5 * time.Second

// rehearsing is how a rehearsal goes.
type rehearsing struct {
	speed   float64
	keep    bool
	vessels int // 0: as many as the readings are for
}

// apart is how much later the next vessel of a rehearsal begins.
const apart = 10 * time.Minute

// rehearseCommand plays the whole job on invented readings.
func (e *env) rehearseCommand() *cobra.Command {
	var r rehearsing
	c := &cobra.Command{
		Use:   "rehearse [PROTOCOL]",
		Short: "Play the whole job on invented readings with a fast clock",
		Long: "Plays the whole job on the invented readings that ship with a protocol (" + rehearsed + " if none is named), with a fast" +
			" clock. In a terminal it is shown on the screen; q leaves it. Without one, or with --plain, it is told line by line, and" +
			" the summary is printed. Nothing of it is kept unless --keep is given.",
		Example:           "  meniscus rehearse\n  meniscus rehearse burn-test --speed 300\n  meniscus rehearse --vessels 4\n  meniscus rehearse acid-and-catalyst --plain",
		Args:              between(0, 1, "one protocol that ships"),
		ValidArgsFunction: e.completeProtocol,
		RunE: func(_ *cobra.Command, args []string) error {
			id := rehearsed
			if len(args) == 1 {
				id = args[0]
			}
			return e.rehearse(id, r)
		},
	}
	c.Flags().Float64Var(&r.speed, "speed", 120, "on the screen it goes `N` times faster than life")
	c.Flags().IntVar(&r.vessels, "vessels", 0, "play the readings of one vessel for `N`, each 10 min after the one before")
	c.Flags().BoolVar(&r.keep, "keep", false, "keep a journal of it among the runs")
	c.Flags().BoolVar(&e.look.plain, "plain", false, "line by line, without a screen")
	return c
}

func (e *env) rehearse(id string, r rehearsing) (err error) {
	if !(r.speed > 0 && r.speed <= 1e6) {
		return wrong("--speed is %v; write a number above 0, up to 1000000", r.speed)
	}
	script, ok := protocols.Demo(id)
	if !ok {
		return fmt.Errorf("there are no demo readings for %q; %s", id, nearest(id, rehearsable()))
	}
	if r.vessels != 0 {
		if script, err = rehearsal.Stagger(script, r.vessels, apart); err != nil {
			return callError{err}
		}
	}
	clock := rehearsal.NewClock(rehearsal.Day)
	s, err := e.stage(script, clock, r.keep)
	if err != nil {
		return err
	}
	defer func() {
		if closing := s.close(); err == nil {
			err = closing
		}
	}()
	o := tui.NewOperator(s.engine)
	if e.look.plain || !e.terminal() {
		return e.rehearsePlain(o, clock, script, s.hash)
	}
	err = e.rehearseAtBench(o, clock, script, r.speed, s)
	if r.keep {
		e.farewell(s)
	}
	return err
}

// rehearsable are the protocols that have demo readings.
func rehearsable() []string {
	var ids []string
	for _, id := range protocols.IDs() {
		if _, ok := protocols.Demo(id); ok {
			ids = append(ids, id)
		}
	}
	return ids
}

// stage begins the run of a script, in memory alone or with a journal.
func (e *env) stage(script protocols.Script, clock *rehearsal.Clock, keep bool) (*sitting, error) {
	id := "rehearsal-" + script.Protocol
	if keep {
		id = e.unused(id)
	}
	b, err := rehearsal.Begun(script, id, program)
	if err != nil {
		return nil, err
	}
	if keep {
		return e.open(id, b, clock)
	}
	state, first, err := run.Begin(b, clock.Now())
	if err != nil {
		return nil, err
	}
	memory := &rehearsal.Memory{Events: []run.Event{first}}
	return &sitting{engine: run.NewEngine(state, memory, clock), id: id}, nil
}

// rehearsePlain plays the script line by line and prints the summary.
func (e *env) rehearsePlain(o *tui.Operator, clock *rehearsal.Clock, script protocols.Script, hash func() string) error {
	ticks, done := make(chan time.Duration), make(chan struct{})
	defer close(done)
	in := &rehearsal.Reader{Operator: o, Clock: clock, Lines: script.Lines, Beat: rehearsalBeat, Ticks: ticks, Done: done}
	leave, forget := onSignal()
	defer forget()
	fmt.Fprintf(e.out, "Rehearsal on invented readings: %s\n", tui.Clean(script.Title))
	outcome, err := plain.Run(o, in, e.out, plain.Options{Ticks: ticks, Leave: leave, Ascii: e.look.ascii, Echo: true})
	if err != nil {
		return err
	}
	if outcome == plain.Left {
		return fmt.Errorf("the rehearsal came to no end: %s", strings.TrimSpace(o.View().Do))
	}
	fmt.Fprintln(e.out)
	return e.sumUp(o.Engine.State, form{format: "text", hash: hash()})
}
