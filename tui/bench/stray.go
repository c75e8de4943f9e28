package bench

import "time"

// A stray is a sign that means nothing where it is typed. What comes in one go with it belongs to it and does nothing
// either: the rest of a line that somebody began on the wrong screen would run on as keys.
type stray struct {
	text  []rune
	why   string        // what is said of the sign
	at    time.Duration // when the last sign came, by pause's clock
	press int           // the key message that it came in
	ended bool          // its Enter came, where no hands type: the line was all of it
}

// pause is how long nothing is struck before what comes next is meant for itself: within a line, hands strike sooner.
const pause = 400 * time.Millisecond

// strays says why a sign does nothing, and has the rest of the burst do nothing.
func (m *Model) strays(r rune, why string) {
	m.hint = why
	m.stray = &stray{text: []rune{r}, why: why, at: m.clock(), press: m.presses}
}

// lateShape is how a reading that was missed is entered.
const lateShape = "@13:39 NAME 10.02 WHY"

// noKey is said of a sign that is no key here.
func noKey(r rune) string { return "the key " + string(r) + " does nothing here; ? shows the keys" }

// isLost tells, and says, that a sign came in one go with one that meant nothing.
func (m *Model) isLost(r rune, enter bool) bool {
	s := m.stray
	if s == nil {
		return false
	}
	now := m.clock()
	if s.press != m.presses && (s.ended || now-s.at >= pause) {
		m.stray = nil
		return false
	}
	s.at, s.press = now, m.presses
	if enter {
		s.ended = m.Debounce == 0
	} else if len(s.text) < lineMost {
		s.text = append(s.text, r)
	}
	m.hint = "nothing done with “" + string(s.text) + "”"
	if s.why != "" {
		m.hint += ": " + s.why
	}
	return true
}

// clock tells the time between keys: of the run, or as the looks at the clock tell it where there is no run yet.
func (m *Model) clock() time.Duration {
	if m.Operator == nil {
		return time.Duration(m.ticks) * m.Tick
	}
	return m.Operator.Engine.Now().Elapsed
}
