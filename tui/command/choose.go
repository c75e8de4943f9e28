package command

import (
	"errors"
	"time"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui/bench"
)

// choose opens the screen on which a protocol, or a run that is not finished, is chosen.
func (e *env) choose() error {
	if !e.terminal() {
		return wrong("choosing needs a terminal; without one, meniscus protocols lists what there is, meniscus run PROTOCOL" +
			" begins a run line by line, meniscus resume goes on with one, and meniscus --help tells the rest")
	}
	var s *sitting
	sit := func(begun *sitting, err error) (*run.Engine, error) {
		if err != nil {
			return nil, err
		}
		if closing := s.close(); closing != nil {
			return nil, errors.Join(closing, begun.close())
		}
		s = begun
		return s.engine, nil
	}
	o := e.benchOptions(func() string { return s.hash() })
	o.ReadThrough = true
	o.MoveTo = func(folder string) (string, string, error) { return s.mover()(folder) }
	o.Protocols, o.Unfinished = e.offers(), e.waiting()
	o.Begin = func(id string) (*run.Engine, error) {
		return sit(e.begin(id, cast{n: 1, plan: planning{operators: 1}}))
	}
	o.Resume = func(id string) (*run.Engine, error) {
		path, _, err := e.newest(e.journalPath(id), false)
		if err != nil {
			return nil, err
		}
		return sit(e.goOn(path))
	}
	o.Typing = func(vessel, line string, at time.Duration) { s.typing(vessel, line, at) }
	o.Place = func(string) string { return s.path }
	err := e.screen(bench.New(o), nil)
	if s == nil {
		return err
	}
	e.farewell(s)
	return errors.Join(err, s.close())
}

// offers are the protocols that can be chosen; one that is not sound is told by meniscus protocols.
func (e *env) offers() []bench.Offer {
	var out []bench.Offer
	for _, id := range e.protocolIDs() {
		if p, _, err := e.load(id); err == nil {
			o := bench.Offer{ID: id, Title: p.Title, Purpose: p.Purpose, Planned: p.Planned(), Hands: p.HandsOn()}
			if e.inPlace(id) {
				o.Remark = standsIn
			}
			out = append(out, o)
		}
	}
	return out
}

// waiting are the runs that can be gone on with.
func (e *env) waiting() []bench.Unfinished {
	var out []bench.Unfinished
	for _, u := range e.unfinished() {
		row := bench.Unfinished{Run: u.id, Title: u.title, Ago: max(0, e.now().Sub(u.last)), Where: u.where, Rehearsed: u.rehearsed}
		if u.wrong != nil {
			row.Wrong = u.wrong.Error()
		}
		out = append(out, row)
	}
	return out
}
