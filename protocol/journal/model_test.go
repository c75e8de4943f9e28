package journal

import (
	"fmt"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"example.org/meniscus/protocol/run"
)

// TestModel holds a journal on a disk that fails and loses power against a list in memory.
func TestModel(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := newFakeDisk()
		draw := func(n int) int { return rapid.IntRange(0, n-1).Draw(rt, "choice") }
		sure := []run.Event{sample()[0]} // confirmed
		var tried [][]run.Event          // what was tried since and not confirmed: one of these may be there, as a whole
		attempt := 0
		w, err := create(d, place, sure[0])
		if err != nil {
			rt.Fatal(err)
		}
		again := func(onlyProgram bool) {
			d = d.after(onlyProgram, draw)
			var c *Content
			if w, c, err = open(d, place); err != nil {
				rt.Fatalf("opened again: %v", err)
			}
			if len(c.Events) < len(sure) || !isOne(c.Events, sure, append(tried, nil)) {
				rt.Fatalf("there are\n%v\nconfirmed were\n%v\ntried\n%v", c.Events, sure, tried)
			}
			sure, tried = c.Events, nil
		}
		for range rapid.IntRange(1, 40).Draw(rt, "steps") {
			switch rapid.SampledFrom([]string{"append", "append", "append", "program dies", "power fails", "reopen"}).Draw(rt, "step") {
			case "append":
				attempt++
				batch := notes(attempt, len(sure)+1, rapid.IntRange(1, 3).Draw(rt, "events"))
				for range 3 {
					d.faults[d.calls+rapid.IntRange(1, 4).Draw(rt, "in")] = fault(rapid.IntRange(int(none), int(crashAfter)).Draw(rt, "fault"))
				}
				tried = append(tried, batch)
				if err := w.Append(batch...); err == nil {
					sure, tried = append(sure, batch...), nil
				}
				clear(d.faults)
				if d.dead {
					again(false)
				}
			case "program dies":
				again(true)
			case "power fails":
				again(false)
			case "reopen":
				w.Close()
				again(true)
			}
		}
	})
}

// isOne tells whether got is what is sure with one of the batches behind it.
func isOne(got, sure []run.Event, batches [][]run.Event) bool {
	for _, b := range batches {
		if cmp.Equal(got, append(sure[:len(sure):len(sure)], b...)) {
			return true
		}
	}
	return false
}

// notes are so many events from a number on.
func notes(attempt, from, n int) (out []run.Event) {
	for i := range n {
		out = append(out, at(from+i, time.Duration(from+i)*time.Second, run.Noted{Text: fmt.Sprint("attempt ", attempt, ", note ", from+i)}))
	}
	return out
}
