package command

import (
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/meniscus/protocol"
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
	vessels int      // 0: as many as the readings are for
	set     []string // --given
	clock   string   // a file in which the time stands; the keys are then somebody else's; "" for none
	acts    bool     // only tell what is typed
}

// rehearseCommand plays the whole job on invented readings.
func (e *env) rehearseCommand() *cobra.Command {
	var r rehearsing
	c := &cobra.Command{
		Use:   "rehearse [PROTOCOL]",
		Short: "Play the whole job on invented readings with a fast clock",
		Long: "Plays the whole job on the invented readings that ship with a protocol (" + rehearsed + " if none is named), with a fast" +
			" clock. In a terminal it is shown on the screen; q leaves it. Without one, or with --plain, it is told line by line, and" +
			" the summary is printed. Nothing of it is kept unless --keep is given.\nThe readings stay the same whatever --given sets. Those" +
			" that do not suit it are asked about; the played hands keep them, and the summary marks them.",
		Example:           "  meniscus rehearse\n  meniscus rehearse burn-test --speed 300\n  meniscus rehearse --vessels 4\n  meniscus rehearse --given oil_mass=60\n  meniscus rehearse acid-and-catalyst --plain",
		Args:              between(0, 1, "one protocol that ships"),
		ValidArgsFunction: e.completeProtocol,
		RunE: func(c *cobra.Command, args []string) error {
			if c.Flags().Changed("vessels") && r.vessels < 1 {
				return wrong("--vessels is %d; write a number from 1 to %d", r.vessels, protocols.MaxVessels)
			}
			id := rehearsed
			if len(args) == 1 {
				id = args[0]
			}
			return e.rehearse(id, r)
		},
	}
	c.Flags().Float64Var(&r.speed, "speed", 120, "on the screen it goes `N` times faster than life")
	c.Flags().IntVar(&r.vessels, "vessels", 0, "play the readings of one vessel for `N` vessels, each begun by the timetable")
	givenFlag(c.Flags(), &r.set)
	c.Flags().BoolVar(&r.keep, "keep", false, "keep a journal of it among the runs")
	e.plainFlags(c)
	c.Flags().StringVar(&r.clock, "clock", "", "press no key; the time stands in `FILE`, as 0:00")
	c.Flags().BoolVar(&r.acts, "acts", false, "only tell what is typed, and when")
	for _, forTests := range []string{"clock", "acts"} {
		c.Flags().Lookup(forTests).Hidden = true
	}
	return c
}

func (e *env) rehearse(id string, r rehearsing) (err error) {
	if !(r.speed > 0 && r.speed <= 1e6) {
		return wrong("--speed is %v; write a number above 0, up to 1000000", r.speed)
	}
	script, ok := protocols.Demo(id)
	if _, err := e.find(id); !ok && err == nil {
		return fmt.Errorf("only %s have readings to be rehearsed on. To try %s, run it on values that you make up, in a folder that you"+
			" throw away: meniscus run %s --runs try", strings.Join(rehearsable(), ", "), id, quoted(id))
	}
	if !ok {
		return fmt.Errorf("there are no demo readings for %q; %s", id, nearest(id, rehearsable()))
	}
	if script, err = r.cast(script); err != nil {
		return err
	}
	if path, own := e.own(id); own {
		e.remark("The protocol %s that ships is rehearsed, and not your own: %s", id, path)
	}
	switch {
	case r.acts:
		return e.tellActs(script)
	case r.clock != "" && (e.look.plain || !e.terminal()):
		return wrong("--clock is for the screen, and this is no terminal")
	}
	clock := rehearsal.NewClock(rehearsal.Day)
	s, err := e.stage(script, clock, r)
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
	if r.clock != "" {
		err = e.rehearseByHand(o, clock, r.clock, s)
	} else {
		err = e.rehearseAtBench(o, clock, script, r.speed, s)
	}
	if r.keep {
		e.farewell(s)
	}
	return err
}

// cast returns the script for the vessels and the givens that are asked for.
func (r rehearsing) cast(script protocols.Script) (protocols.Script, error) {
	givens, err := r.givens(script)
	if err != nil {
		return script, err
	}
	switch {
	case r.vessels != 0:
		script, err = rehearsal.Several(script, r.vessels, givens)
	case givens != nil:
		script, err = rehearsal.With(script, givens)
	}
	if err != nil {
		return script, callError{err}
	}
	return script, nil
}

// givens are those of each vessel, what --given sets above what the script has; nil when it sets nothing.
func (r rehearsing) givens(script protocols.Script) (map[string]map[string]string, error) {
	if len(r.set) == 0 {
		return nil, nil
	}
	if err := (cast{set: r.set}).onceEach(); err != nil {
		return nil, err
	}
	text, _ := protocols.Text(script.Protocol)
	p, err := protocol.Load(script.Protocol+".toml", text)
	if err != nil {
		return nil, err
	}
	vessels := make([]run.VesselBegun, max(min(r.vessels, protocols.MaxVessels), len(script.Vessels)))
	for i := range vessels {
		label := string(rune('A' + i))
		vessels[i] = run.VesselBegun{Label: label, Givens: script.GivensOf(label)}
	}
	if err := giveAll(p, vessels, r.set); err != nil {
		return nil, err
	}
	givens := map[string]map[string]string{}
	for _, v := range vessels {
		givens[v.Label] = v.Givens
	}
	return givens, nil
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
func (e *env) stage(script protocols.Script, clock *rehearsal.Clock, r rehearsing) (*sitting, error) {
	id := rehearsal.Name(script.Protocol)
	if r.keep {
		id = e.unused(id)
	}
	b, err := rehearsal.Begun(script, id, program)
	if err != nil {
		return nil, err
	}
	if r.vessels > 1 {
		b.Bench = &run.Bench{}
	}
	if r.keep {
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
	title := "Rehearsal on invented readings: " + tui.Clean(script.Title)
	if w := e.plainWidth(); w > 0 {
		title = fold(title, "", w)
	}
	fmt.Fprintln(e.out, title)
	outcome, err := plain.Run(o, in, e.out, plain.Options{Ticks: ticks, Leave: leave, Width: e.plainWidth, Ascii: e.look.ascii, Echo: true})
	if err != nil {
		return err
	}
	if outcome == plain.Left {
		return fmt.Errorf("the rehearsal came to no end: %s", strings.TrimSpace(o.View().Do))
	}
	fmt.Fprintln(e.out)
	return e.sumUp(o.Engine.State, form{format: "text", hash: hash()})
}
