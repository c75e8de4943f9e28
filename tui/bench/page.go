package bench

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/bubbles/key"

	"example.org/meniscus/tui"
)

// A page is a text that may be longer than the screen.
type page struct {
	title string
	rows  []row
	enter string     // what Enter does
	below string     // stands above the keys: where something is kept
	talk  []row      // stands below the text, whatever is shown of it
	entry func(area) // draws the line that is typed, in place of what Enter does
	hints []key.Binding
	last  []key.Binding
}

// pageEnds are the lines of a page that do not scroll: title and rule above, rule, Enter and keys below.
const pageEnds = 5

func bodyRows(h int) int { return max(1, h-pageEnds) }

// drawPage shows a page from a line on; it says how many lines are above and below.
func drawPage(p page, from, w, h int, l look) string {
	c := newCanvas(w, h, l)
	a := c.all()
	p = p.settled(a)
	talk := p.talk[:min(len(p.talk), max(0, bodyRows(h)-1))]
	body := a.sub(1, 2, w-2, bodyRows(h)-len(talk))
	if w < 12 || h < pageEnds+2 { // the text matters more than its frame
		body = a.sub(0, 0, w, max(1, h-1))
		panel{area: body}.rows(0, p.rows[min(from, len(p.rows)):])
		switch {
		case p.entry != nil:
			p.entry(a.sub(0, h-1, w, 1))
		case h > 1:
			a.fitted(0, h-1, w, tui.Key, "Enter "+p.enter)
		}
		return c.finish()
	}
	rule := strings.Repeat(l.edge, w)
	_, name, _ := strings.Cut(p.title, ": ")
	title := l.first(w-2, p.title, p.title[:max(0, strings.LastIndex(p.title, ", "))], name)
	if title == "" {
		title = l.fit(p.title, w-2)
	}
	a.put(1, 0, tui.Strong, title)
	a.put(0, 1, tui.Glass, rule)
	from = max(0, min(from, len(p.rows)-body.h))
	shown := p.rows[from:min(len(p.rows), from+body.h)]
	panel{area: body}.rows(0, shown)
	edge := h - 3 - len(talk)
	a.put(0, edge, tui.Glass, rule)
	panel{area: a.sub(1, edge+1, w-2, len(talk))}.rows(0, talk)
	drawFoot(a.sub(1, h-2, w-2, 1), p)
	if from > 0 {
		a.put(w-16, 1, tui.Strong, fmt.Sprintf(" %s %d above ", l.less, from))
	}
	if more := len(p.rows) - from - len(shown); more > 0 {
		a.put(w-16, edge, tui.Strong, fmt.Sprintf(" %s %d below ", l.more, more))
	}
	drawHints(a.sub(1, h-1, w-2, 1), p.hints, p.last)
	return c.finish()
}

// settled moves what stands beside Enter into rows of its own where it does not fit there.
func (p page) settled(a area) page {
	beside := a.width("Enter "+a.prompt+" "+p.enter) + 2
	if p.below == "" || p.entry == nil && beside+a.width(p.below) <= a.w-2 {
		return p
	}
	p.talk = append(p.talk[:len(p.talk):len(p.talk)], wrapped(a.sub(1, 0, a.w-2, a.h), tui.Faint, p.below, max(1, a.h/4))...)
	p.below = ""
	return p
}

// drawFoot writes the line that is typed, or what Enter does.
func drawFoot(a area, p page) {
	if p.entry != nil {
		p.entry(a)
		return
	}
	x := a.put(0, 0, tui.Key, "Enter ")
	x = a.put(x, 0, tui.Glass, a.prompt+" ")
	x = a.fitted(x, 0, a.w-x, tui.Strong, p.enter)
	a.put(x+2, 0, tui.Faint, p.below)
}

// scrollKeys are what moves a page.
func scrollKeys(k tui.Keys) []key.Binding { return []key.Binding{k.PageDown, k.PageUp, k.Up, k.Down} }

// pageRows is how far a page key goes.
func (m *Model) pageRows() int { return max(1, bodyRows(m.Height)-1) }

// lastScroll is the first line shown when the end of the page that is open is in sight.
func (m *Model) lastScroll() int {
	var p page
	switch {
	case m.aside == helping:
		p = m.helpPage()
	case m.aside == planned:
		p = m.timetablePage()
	case m.screen == briefing:
		p = m.briefingPage()
	case m.screen == finished:
		p = m.summaryPage()
	}
	p = p.settled(area{canvas: &canvas{look: m.look}, w: m.Width, h: m.Height})
	return max(0, len(p.rows)-max(1, bodyRows(m.Height)-len(p.talk)))
}

// A writer gathers the rows of a page.
type writer struct {
	*glyphs
	w    int
	rows []row
}

// wrapped adds a text, its later lines indented.
func (t *writer) wrapped(role tui.Role, before string, sign tui.Role, text string) {
	indent := strings.Repeat(" ", t.width(before))
	for i, line := range t.wrap(text, max(1, t.w-t.width(before))) {
		if i > 0 {
			before = indent
		}
		t.rows = append(t.rows, row{role: role, text: line, before: before, sign: sign})
	}
}

func (t *writer) text(role tui.Role, text string) { t.wrapped(role, "", role, text) }

// heading adds an empty line and a heading.
func (t *writer) heading(text string) {
	if len(t.rows) > 0 {
		t.rows = append(t.rows, row{})
	}
	t.text(tui.Key, text)
}

// pair adds a name and its value at the right of a column.
func (t *writer) pair(name string, values []string, column, each int) {
	line := name
	if t.width(line) > column {
		t.text(tui.Ink, line)
		line = ""
	}
	line += strings.Repeat(" ", column-t.width(line))
	for _, v := range values {
		line += strings.Repeat(" ", max(1, each-t.width(v))) + v
	}
	t.rows = append(t.rows, row{role: tui.Ink, text: line})
}
