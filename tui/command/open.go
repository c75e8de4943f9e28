package command

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/journal"
	"example.org/meniscus/protocol/run"
)

// sitting is a run that is open for writing.
type sitting struct {
	engine  *run.Engine
	journal *journal.Writer
	id      string
	path    string
	typed   openLine
}

// openLine is what stands in the line that is typed at the screen.
type openLine struct {
	vessel, text string
	at           time.Duration // elapsed time at its first sign
}

// typing takes note of the open line.
func (s *sitting) typing(vessel, line string, at time.Duration) {
	if s != nil {
		s.typed = openLine{vessel, line, at}
	}
}

func (s *sitting) close() error {
	if s == nil || s.journal == nil {
		return nil
	}
	if s.unread() {
		return s.journal.Discard()
	}
	return s.journal.Close()
}

// unread reports whether the run was left before its briefing was acknowledged: nothing was done, and nothing is kept
// of it.
func (s *sitting) unread() bool {
	return !s.engine.State.Acknowledged && s.engine.State.Ended == nil
}

// begin starts a run of the named protocol and opens its journal.
func (e *env) begin(name string, cast cast) (*sitting, error) {
	p, src, lab, err := e.equip(name)
	if err != nil {
		return nil, err
	}
	vessels, err := cast.vessels(p)
	if err != nil {
		return nil, err
	}
	b := run.Begun{Unfit: strings.TrimSpace(cast.unfit), Program: program, File: filepath.Base(src.file), Protocol: string(src.text), Instruments: lab,
		Vessels: vessels, Zone: e.now().Format("-07:00")}
	if b.Bench, err = cast.bench(p, e.now()); err != nil {
		return nil, err
	}
	clock := run.Start(machine{})
	b.Anchor = clock.Anchor()
	id, err := e.newRun(p)
	if err != nil {
		return nil, err
	}
	return e.open(id, b, clock)
}

// open begins a run under a name and writes the first line of its journal.
func (e *env) open(id string, b run.Begun, clock run.Clock) (*sitting, error) {
	b.Run = id
	state, first, err := run.Begin(b, clock.Now())
	if err != nil {
		return nil, err
	}
	path := e.journalPath(id)
	w, err := journal.Create(path, first)
	if err != nil {
		return nil, fmt.Errorf("%w; --runs DIR begins the run in another folder", err)
	}
	return &sitting{engine: run.NewEngine(state, w, clock), journal: w, id: id, path: path}, nil
}

// newRun returns a name for a run that begins now: the place's date and time, the protocol, and what was drawn, so that
// two laptops that begin in one minute do not make one name.
func (e *env) newRun(p *protocol.Protocol) (string, error) {
	drawn := make([]byte, 4)
	if _, err := io.ReadFull(e.random, drawn); err != nil {
		return "", fmt.Errorf("no random part of a run's name could be drawn: %w", err)
	}
	for i, b := range drawn {
		drawn[i] = drawable[b%byte(len(drawable))]
	}
	return e.unused(e.now().Format(minute) + "-" + p.ID + "-" + string(drawn)), nil
}

const (
	minute   = "2006-01-02-1504"                  // with which the name of a run begins
	drawable = "0123456789abcdefghjkmnpqrstvwxyz" // no i, l, o or u: each looks like another sign
)

// unused returns name, with a number after it where a run of that name is kept already.
func (e *env) unused(name string) string {
	id := name
	for n := 2; ; n++ {
		if _, err := os.Lstat(e.journalPath(id)); err != nil {
			return id
		}
		id = fmt.Sprintf("%s-%d", name, n)
	}
}

// goOn takes up a run again.
func (e *env) goOn(path string) (*sitting, error) {
	w, content, err := journal.Open(path)
	if err != nil {
		return nil, e.notOpened(path, err)
	}
	s, err := e.takeUp(w, content)
	if err != nil {
		return nil, errors.Join(err, w.Close())
	}
	s.path = path
	return s, nil
}

func (e *env) takeUp(w *journal.Writer, content *journal.Content) (*sitting, error) {
	state, err := run.Fold(content.Events)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", w.Path(), err)
	}
	clock, fact := run.GoOn(machine{}, state)
	s := &sitting{engine: run.NewEngine(state, w, clock), journal: w, id: state.ID}
	if state.Ended != nil && content.Torn == "" { // what only looks on leaves no trace
		e.remark("Run %s was closed at %s; notes and corrections can still be added.", state.ID, wall(state.Ended.At, state.Zone))
		return s, nil
	}
	fact.Program, fact.Torn = program, content.Torn
	return s, s.engine.KeepResumed(fact)
}

// wall writes a moment by the wall clock of the run's place.
func wall(m run.Moment, zone string) string {
	at := m.At
	if t, err := time.Parse("-07:00", zone); err == nil {
		at = at.In(t.Location())
	}
	return at.Format("2006-01-02 15:04")
}

// standing names the stage that the first vessel which is not through stands in.
func standing(s *run.State) string {
	for _, v := range s.Vessels {
		if look := s.Look(v.Label, s.Last.Elapsed); look.Stage != nil {
			return look.Stage.Title
		}
	}
	return ""
}
