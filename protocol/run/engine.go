package run

// A Recorder keeps events where they survive. Append returns when all of them are safe; after an error none of them
// counts, so that what was not kept can be tried again and is never kept twice.
type Recorder interface{ Append(events ...Event) error }

// An Engine is a run that goes on: a state, the place where its events are kept, and the clock.
type Engine struct {
	State *State
	rec   Recorder
	clock Clock

	noticed []Fact // by Watch, and not recorded yet
}

// NewEngine returns an engine for a state that rec already holds.
func NewEngine(s *State, rec Recorder, clock Clock) *Engine {
	return &Engine{State: s, rec: rec, clock: clock}
}

// Now returns the clock's moment.
func (g *Engine) Now() Moment { return g.clock.Now() }

// Do carries out a command: decided, recorded, then applied, in that order. It returns the events, or why there are
// none: a *Question, a *Refusal, or the recorder's error, after which nothing was recorded and nothing applied.
func (g *Engine) Do(c Command) ([]Event, error) {
	events, err := Decide(g.State, c, g.clock.Now())
	if err != nil {
		return nil, err
	}
	return g.keep(events)
}

// KeepResumed records that the run is gone on with; GoOn gives the fact.
func (g *Engine) KeepResumed(f Resumed) error {
	_, err := g.record(f)
	return err
}

// record keeps facts of the whole run that no command asks for.
func (g *Engine) record(facts ...Fact) ([]Event, error) {
	now := g.clock.Now()
	now.Elapsed = max(now.Elapsed, g.State.Last.Elapsed)
	events := make([]Event, len(facts))
	for i, f := range facts {
		events[i] = Event{N: g.State.Last.N + 1 + i, Moment: now, What: f}
	}
	return g.keep(events)
}

// keep records events and then applies them. It returns those that were applied: nil when nothing was recorded.
func (g *Engine) keep(events []Event) ([]Event, error) {
	if err := g.rec.Append(events...); err != nil {
		return nil, err
	}
	for i, e := range events {
		if err := g.State.Apply(e); err != nil {
			return events[:i], err
		}
	}
	return events, nil
}
