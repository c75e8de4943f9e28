package bench

import (
	"strings"

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
	p := page{title: title, enter: "leave", hints: scrollKeys(m.keys)}
	for _, line := range m.summary {
		p.rows = append(p.rows, row{role: tui.Ink, text: strings.ReplaceAll(line, "\t", "    ")})
	}
	if place := m.Place(s.ID); place != "" {
		p.below = "journal: " + place
	}
	return p
}
