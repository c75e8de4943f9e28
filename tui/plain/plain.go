package plain

import (
	"fmt"
	"io"
	"time"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// Options are how a face is set up. The zero value says everything once and announces nothing while it waits.
type Options struct {
	// Ticks tells when to look whether something came due; each value is the run's elapsed time. nil: never.
	Ticks <-chan time.Duration
	// Leave is closed when the program must go: a signal came. nil: never.
	Leave <-chan struct{}
	// GoOn is how the run is taken up again, as it is typed: "meniscus resume RUN"; asked at the end. nil leaves it
	// unsaid.
	GoOn func() string
	// Debounce is how soon after a line an empty one does nothing; 0: no hands type, and none is too soon.
	Debounce time.Duration
	// Width tells how many columns a line may have, anew for each: the terminal may be made wider or narrower. Longer
	// ones are broken between words. 0, or no function: none is.
	Width func() int
	Ascii bool // no character beyond ASCII
	Bell  bool // announcements ring the bell
	// Sound is called with every announcement, beside the run; its error is said. nil: none.
	Sound func() error
	Echo  bool // repeat each line taken, for an input that shows nothing itself
	// Summary writes the summary where the conversation goes, when the run is over and anew when that changed it. nil:
	// none is written, and nothing more is taken once the run is over.
	Summary func() error
}

// An Outcome is how Run came to its end.
type Outcome uint8

// The outcomes.
const (
	Left     Outcome = iota // the program was left, the run goes on
	Finished                // the run is closed
)

// face is one conversation.
type face struct {
	o    *tui.Operator
	out  io.Writer
	opts Options
	err  error // the first fault of out; after it nothing is written

	prompted   bool                      // the prompt stands, its line not ended
	told       map[string]string         // the situation of the vessel as last said, by subject
	vessel     string                    // the vessel that told is about
	heard      map[string]*announcements // by vessel
	deviations int                       // how many of the state's were told
	mute       chan error                // why there was no sound
	unsaved    bool                      // the last line could not be saved
	lost       *time.Duration            // elapsed time of the last line, if it meant nothing or came in one go with such a line
}

// Run leads the operator through the run until it is closed, the input ends, or the program is left. The error is that
// of in or out; everything taken until then is in the journal.
func Run(o *tui.Operator, in io.Reader, out io.Writer, opts Options) (Outcome, error) {
	f := &face{o: o, out: out, opts: opts, told: map[string]string{}, heard: map[string]*announcements{},
		deviations: len(o.Engine.State.Deviations), mute: make(chan error, 1)}
	done := make(chan struct{})
	defer close(done)
	lines := read(in, done)
	f.greet()
	f.plan()
	for f.err == nil {
		f.now()
		if f.state().Ended != nil {
			if err := f.closed(lines); f.state().Ended != nil || err != nil {
				return Finished, err
			}
			continue
		}
		line, ok := f.wait(lines)
		if !ok {
			f.keep(line)
			return Left, f.left(line.err)
		}
		if f.take(line) {
			return Left, f.left(nil)
		}
	}
	return Left, f.err
}

// Ticks sends the elapsed time of clock at every beat, until done is closed.
func Ticks(clock run.Clock, beat <-chan time.Time, done <-chan struct{}) <-chan time.Duration {
	ticks := make(chan time.Duration)
	go func() {
		for {
			select {
			case <-beat:
			case <-done:
				return
			}
			select {
			case ticks <- clock.Now().Elapsed:
			case <-done:
				return
			}
		}
	}()
	return ticks
}

func (f *face) state() *run.State { return f.o.Engine.State }

// wait returns the next line, announcing what comes due meanwhile. ok is false when there will be none.
func (f *face) wait(lines *reader) (line typed, ok bool) {
	f.prompt()
	lines.want <- struct{}{}
	for {
		select {
		case line := <-lines.got:
			f.echo(line)
			return line, !line.last
		case elapsed := <-f.opts.Ticks:
			f.watch()
			f.review(elapsed)
			f.announce(elapsed)
			f.prompt()
		case err := <-f.mute:
			f.say("", sentence(err.Error()))
			f.prompt()
		case <-f.opts.Leave:
			return typed{}, false
		}
	}
}

// take carries out a line and tells what came of it; it reports whether the program is to be left.
func (f *face) take(line typed) (leave bool) {
	if line.long {
		f.say("", fmt.Sprintf("Not taken: the line is longer than %d characters. Type a shorter one.", longest))
		return false
	}
	if f.isLost() {
		return false
	}
	if line.text != "" {
		f.o.Strike()
	} else if f.isTooSoon() {
		return false
	}
	a := f.o.Enter(line.text, 0)
	f.unsaved = a.NotSaved != nil
	if line.text != "" && (a.Refused != "" || a.NotSaved != nil) {
		now := f.o.Engine.Now().Elapsed
		f.lost = &now
	}
	f.tell(a)
	if len(a.Events) > 0 {
		f.plan()
	}
	return a.Leave
}

// keep keeps a last line that had no end as a draft: it may be half of what was meant.
func (f *face) keep(line typed) {
	if line.text == "" || line.text == "q" || f.state().Ended != nil {
		return
	}
	if !f.state().Acknowledged {
		f.say("", "The last line has no end, so it was not entered: "+line.text)
		return
	}
	if err := f.o.Engine.KeepDraft(f.o.About(line.text), line.text, 0); err != nil {
		f.say("Not saved: ", sentence(err.Error())+" The last line was: "+line.text)
		return
	}
	f.say("", "The last line has no end, so it was not entered; it is kept as a draft: "+line.text)
}

// watch tells when time did not go its ordinary way. What fell due meanwhile is told with it, and not once more.
func (f *face) watch() {
	said := f.o.Watch()
	if said == nil {
		return
	}
	elapsed := f.o.Engine.Now().Elapsed
	for _, s := range said {
		f.say("["+run.Hms(elapsed)+"] ", s)
	}
	for _, vessel := range f.state().Vessels {
		v := f.state().Look(vessel.Label, elapsed)
		f.listen(v).update(v, elapsed)
	}
}

// isLost tells, and says, that a line came in one go with one that was not taken: in a block that was pasted, what
// follows such a line was not meant for here either.
func (f *face) isLost() bool {
	now := f.o.Engine.Now().Elapsed
	if f.lost == nil || now-*f.lost >= f.opts.Debounce {
		f.lost = nil
		return false
	}
	*f.lost = now
	f.say("Not done: ", "It came in one go with a line that was not taken. Wait a moment, then type it again.")
	return true
}

// review tells where time has changed what the open question means.
func (f *face) review(elapsed time.Duration) {
	about := f.o.Review(elapsed)
	if about == "" {
		return
	}
	f.say("", about)
	if ask := f.o.Open(); ask != nil {
		f.ask(ask)
	}
}

// isTooSoon tells, and says with an open question once more, that an empty line came so soon after the line before it
// that it does nothing.
func (f *face) isTooSoon() bool {
	if f.opts.Debounce == 0 {
		return false
	}
	say, soon := f.o.TooSoon(f.opts.Debounce)
	if !soon || say == "" {
		return soon
	}
	f.say("Not done: ", say)
	if q := f.o.Open(); q != nil {
		f.ask(q)
	}
	return true
}

// left says how the run is taken up again and passes on err.
func (f *face) left(err error) error {
	switch {
	case f.state().Ended != nil:
	case !f.state().Acknowledged:
		f.say("", "The briefing was not acknowledged: nothing was begun, and no run is kept.")
	case f.opts.GoOn != nil:
		f.say("", "The run goes on; everything so far is kept. To take it up again: "+f.opts.GoOn())
	default:
		f.say("", "The run goes on; everything so far is kept.")
	}
	if err != nil {
		return fmt.Errorf("reading the input: %w", err)
	}
	return f.err
}
