package rehearsal

import (
	"io"
	"strings"
	"time"

	"example.org/meniscus/protocols"
	"example.org/meniscus/tui"
)

// A Reader is an input at which the lines are typed when their time comes. Each Read moves the clock on to the next
// line, so it must be read by someone who takes one line at a time, as package plain does.
type Reader struct {
	Operator *tui.Operator
	Clock    *Clock
	Lines    []protocols.Line
	Beat     time.Duration        // how much of the run's time lies between two ticks
	Ticks    chan<- time.Duration // gets the elapsed times between two lines; nil: none
	Done     <-chan struct{}      // closed when nobody takes ticks any more

	rest string // typed and not read yet
}

// Read returns what is typed next, and io.EOF after the last line.
func (r *Reader) Read(p []byte) (int, error) {
	if r.rest == "" {
		if len(r.Lines) == 0 {
			return 0, io.EOF
		}
		line := r.Lines[0]
		r.Lines = r.Lines[1:]
		r.pass(line.At)
		r.rest = strings.Join(Typed(r.Operator, line), "\n") + "\n"
	}
	n := copy(p, r.rest)
	r.rest = r.rest[n:]
	return n, nil
}

// pass lets the time go by until the next line.
func (r *Reader) pass(until time.Duration) {
	if r.Ticks != nil && r.Beat > 0 {
		for at := r.Clock.Now().Elapsed + r.Beat; at < until; at += r.Beat {
			select {
			case r.Ticks <- at:
			case <-r.Done:
				return
			}
		}
	}
	r.Clock.Set(until)
}
