package bench

import (
	"strings"

	"example.org/meniscus/tui"
)

// A slip is the reading that a correction without a name is about.
type slip struct {
	vessel, title, value string // title "": the vessel has none
	becomes              string // what Enter makes of it
	undoes               string // the act that u alone undoes
}

func slipOf(s tui.Slip) *slip {
	if s.Taken == nil {
		return &slip{vessel: s.Vessel, undoes: s.Undoes}
	}
	return &slip{vessel: s.Vessel, title: titleOf(s.Taken.Reading), value: s.Taken.Shown(), becomes: s.Becomes}
}

// asks are the words before the line, the fullest first: the reading stands before the comma of "take back, because",
// and "to" after it where there is none.
func (s *slip) asks(whose, opener string) []string {
	act, because, found := strings.Cut(opener, ",")
	after := " to"
	if found {
		after = "," + because
	}
	if s.undoes != "" {
		return []string{whose + "undo " + s.undoes + ", or why", whose + "undo " + s.undoes, whose + "undo"}
	}
	if s.title == "" {
		return []string{whose + opener}
	}
	return []string{whose + act + " " + s.title + " " + s.value + after, whose + act + " " + s.value + after, whose + opener}
}
