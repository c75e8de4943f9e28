package bench

import (
	"strings"

	"example.org/meniscus/tui"
)

// questionRows wrap a question. Where there is no room for all of it, whole sentences go from its middle: what is asked about
// stands in the first, and what is asked in the last.
func questionRows(a area, say string, most int) []row {
	parts := sentences(say)
	lines := a.wrap(say, a.w)
	for len(parts) > 2 && len(lines) > most {
		n := len(parts)
		parts = append(parts[:n-2:n-2], parts[n-1])
		lines = a.wrap(strings.Join(parts, " "), a.w)
	}
	if n := len(parts); n > 1 && len(lines) > most {
		last := a.wrap(parts[n-1], a.w)
		lines = append(a.wrapIn(parts[0], a.w, most-len(last)), last...)
	}
	var rows []row
	for _, line := range lines[:min(len(lines), max(most, 1))] {
		rows = append(rows, row{role: tui.Ask, text: line})
	}
	return rows
}
