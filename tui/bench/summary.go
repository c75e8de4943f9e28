package bench

import (
	"strings"

	"github.com/charmbracelet/bubbles/key"

	"example.org/meniscus/tui"
)

// write has the summary written for the width there is, once the run is over.
func (m *Model) write() {
	if m.screen != finished {
		return
	}
	text := strings.TrimRight(m.Summary(m.Run(), max(20, m.Width-2)), "\n")
	m.summary = strings.Split(text, "\n")
	m.scroll = max(0, min(m.scroll, m.lastScroll()))
}

// summaryPage is shown when the run is over.
func (m *Model) summaryPage() page {
	s := m.Run()
	title := "Summary: " + s.Protocol.Title
	if s.Ended != nil && s.Ended.Abandoned {
		title += " (abandoned)"
	}
	f := m.frame()
	p := page{title: title, enter: "leave", hints: m.summaryHints(f), last: f.always(), talk: m.summaryTalk(f)}
	for _, line := range m.summary {
		p.rows = append(p.rows, row{role: tui.Ink, text: strings.ReplaceAll(line, "\t", "    ")})
	}
	if place := m.Place(s.ID); place != "" {
		p.below = "journal: " + place
	}
	if f.line != "" || f.question != nil {
		p.entry = func(a area) { drawEntry(a, f) }
	}
	return p
}

// summaryTalk tells what came of the last line: a slip that is seen only in the summary is corrected there.
func (m *Model) summaryTalk(f *frame) []row {
	if f.question == nil {
		rows := newsRows(m.talkArea(), f, m.talkMost())
		if f.refused == "" && f.notSaved == "" {
			rows = append(rows, m.talkRows(tui.Ink, "A reading that was missed: "+lateShape+" enters it; ? lists the names.")...)
		}
		return rows
	}
	rows := questionRows(m.talkArea(), f.question.Say, max(m.talkMost(), m.Height-pageEnds-4))
	if m.hint != "" {
		rows = append(rows, m.talkRows(tui.Warn, m.hint)...)
	}
	return rows
}

// talkRows break a sentence below a page; talkArea is as wide as they may be, talkMost how many there is room for.
func (m *Model) talkRows(role tui.Role, text string) []row {
	return wrapped(m.talkArea(), role, text, m.talkMost())
}

func (m *Model) talkArea() area { return area{canvas: &canvas{look: m.look}, w: max(1, m.Width-2)} }

func (m *Model) talkMost() int { return max(1, m.Height/3) }

func (m *Model) summaryHints(f *frame) []key.Binding {
	k := m.keys
	switch {
	case f.line != "":
		return f.hints()
	case f.question != nil:
		return []key.Binding{labelled(k.Forward, "yes"), labelled(k.Clear, "no"), labelled(k.Correct, "type it again")}
	}
	hints := []key.Binding{k.Correct, labelled(k.Late, "missed"), k.PageDown, k.TakeBack, k.Note, k.PageUp}
	if len(m.views) > 1 {
		hints = append(hints, k.Vessel)
	}
	return hints
}

// afterwards takes a rune for what can still be done when the run is over: notes, corrections and readings that were
// missed. It tells whether the rune was for that.
func (m *Model) afterwards(r rune, enter bool) bool {
	open := len(m.line) > 0 || m.Operator.Open() != nil
	switch {
	case enter && open:
		m.enter()
		m.write()
	case enter:
		return false
	case open && len(m.line) == 0 && !strings.ContainsRune("cunw@-", r):
		m.strays(r, "a question is open: Enter is yes, Esc is no")
	case len(m.line) > 0, strings.ContainsRune("cunw@", r), r == '-' && open, m.isVessel(r):
		m.atBench(r, false)
	case r == ' ', r == 'q', r == '?':
		return false
	case tui.StartsReading(r):
		m.strays(r, "the run is closed: c corrects a reading, "+lateShape+" enters one that was missed")
	default:
		m.strays(r, noKey(r))
	}
	return true
}
