package journal

import (
	"bytes"
	"fmt"
	"io"
	"os"

	"example.org/meniscus/protocol/regular"
	"example.org/meniscus/protocol/run"
)

// A Report is what Verify found in a whole journal.
type Report struct {
	End
	Run   string // the run's id
	Ended bool   // the run was closed
	// Printed is the last line whose chain value begins with the one that was asked for; 0 when there is none.
	Printed int
}

// Verify holds every line of a journal against the chain, in memory that does not grow with it. printed is the
// beginning of a chain value to look for, in lower-case hex; "" for none. Damage is a *DamageError whose Kind and
// message come from a look at the lines behind it.
//
// The chain tells that nothing before its end was changed since it was written. It does not tell that lines are missing
// at the end, nor that somebody wrote the whole chain anew: for that a chain value is needed that was printed before.
func Verify(path, printed string) (Report, error) {
	f, err := regular.OpenOwn(path, os.O_RDONLY)
	if err != nil {
		return Report{}, err
	}
	defer f.Close()
	return verify(f, path, printed)
}

func verify(in io.Reader, name, printed string) (Report, error) {
	var r Report
	s := newScanner(in, name)
	for s.next() {
		switch f := s.event.What.(type) {
		case run.Begun:
			r.Run = f.Run
		case run.Ended:
			r.Ended = true
		}
		if printed != "" && len(printed) <= len(s.chain) && string(s.chain[:len(printed)]) == printed {
			r.Printed = s.event.N
		}
	}
	r.End = s.end()
	if d, ok := s.err.(*DamageError); ok && s.line != nil {
		s.diagnose(d)
	}
	return r, s.err
}

// A suspect is a line at which the chain breaks.
type suspect struct {
	n     int // the number it says it has; 0 for none
	chain link
	body  []byte
}

// diagnose looks at the lines behind the damage to tell what was done, as far as they tell.
func (s *scanner) diagnose(d *DamageError) {
	want, before := s.lines+1, s.last
	body, chain, ok := split(s.line)
	if !ok {
		if d.Msg == errNoLine.Error() {
			s.lookAhead(d, suspect{}, want, before)
		}
		return
	}
	if before.next(body) == chain {
		return // the checksum fits, the line is wrong in itself
	}
	s.lookAhead(d, suspect{number(body), chain, bytes.Clone(body)}, want, before)
}

// lookAhead searches the rest of the journal for the line that follows the last whole one.
func (s *scanner) lookAhead(d *DamageError, bad suspect, want int, before link) {
	follows := false // the next line follows the suspect's own chain value
	for at := want + 1; ; at++ {
		whole, err := s.readLine()
		if err != nil || !whole {
			break
		}
		body, chain, ok := split(s.line)
		if !ok {
			continue
		}
		if at == want+1 {
			follows = bad.chain.next(body) == chain
		}
		if number(body) == want && before.next(body) == chain {
			d.Kind, d.Msg = found(bad, want, at, chain)
			return
		}
	}
	d.Kind, d.Msg = missing(bad, want, follows)
}

// found tells what was done when the line that should stand here stands further down.
func found(bad suspect, want, at int, chain link) (Damage, string) {
	switch {
	case bad.n == want+1 && at == want+1 && chain.next(bad.body) == bad.chain:
		return Moved, fmt.Sprintf("lines %d and %d have changed places", want, at)
	case bad.n > want:
		return Moved, fmt.Sprintf("the line that belongs here stands as line %d: lines were moved", at)
	case at == want+1:
		return Inserted, "the line was put in: the one behind it is the one that belongs here"
	}
	return Inserted, fmt.Sprintf("the lines %d to %d were put in: line %d is the one that belongs here", want, at-1, at)
}

// missing tells what was done when the line that should stand here is nowhere.
func missing(bad suspect, want int, follows bool) (Damage, string) {
	switch {
	case bad.n == 0:
		return Altered, "the line was altered: it is no line of a journal any more"
	case bad.n == want+1:
		return Removed, fmt.Sprintf("line %d was removed: the one that stands here says that it is number %d", want, bad.n)
	case bad.n > want:
		return Removed, fmt.Sprintf("the lines %d to %d were removed: the one that stands here says that it is number %d", want, bad.n-1, bad.n)
	case bad.n < want:
		return Inserted, fmt.Sprintf("a line that says it is number %d stands where number %d belongs, which is nowhere", bad.n, want)
	case follows:
		return Altered, "the line was altered: its checksum does not match, and the line behind it goes on from that checksum"
	}
	return Altered, "the line or its checksum was altered"
}
