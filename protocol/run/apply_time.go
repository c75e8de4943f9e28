package run

func (s *State) noticed(f Fact, e Event) error {
	s.Breaks = append(s.Breaks, Break{e.Moment, f})
	return nil
}

func (f Slept) apply(s *State, _ *Vessel, e Event) error    { return s.noticed(f, e) }
func (f Stopped) apply(s *State, _ *Vessel, e Event) error  { return s.noticed(f, e) }
func (f ClockSet) apply(s *State, _ *Vessel, e Event) error { return s.noticed(f, e) }

func (f ZoneChanged) apply(s *State, _ *Vessel, e Event) error {
	s.Here = f.Zone
	return s.noticed(f, e)
}

func (f Drafted) apply(s *State, _ *Vessel, _ Event) error {
	s.Draft = nil
	if f.Line != "" {
		s.Draft = &f
	}
	return nil
}

// leavesDraft tells a fact that is no act of the hands: a draft is still to be come back to after it.
func leavesDraft(f Fact) bool {
	switch f.(type) {
	case Drafted, Planned, Resumed, Slept, Stopped, ClockSet, ZoneChanged:
		return true
	}
	return false
}
