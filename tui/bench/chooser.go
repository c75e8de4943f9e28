package bench

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/bubbles/key"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// entries is how many things there are to choose from: unfinished runs, then protocols.
func (m *Model) entries() int { return len(m.Unfinished) + len(m.Protocols) }

// pick moves the choice to an entry.
func (m *Model) pick(i int) {
	if n := m.entries(); n > 0 {
		m.picked = max(0, min(i, n-1))
	}
}

// choose begins or resumes what is picked.
func (m *Model) choose() {
	var g *run.Engine
	var err error
	switch i := m.picked - len(m.Unfinished); {
	case m.entries() == 0:
		return
	case i < 0 && m.Resume != nil:
		g, err = m.Resume(m.Unfinished[m.picked].Run)
	case i >= 0 && m.Begin != nil:
		g, err = m.Begin(m.Protocols[i].ID)
	}
	if err != nil {
		m.hint = err.Error()
		return
	}
	if g != nil {
		m.open(tui.NewOperator(g))
	}
}

// chooserRows are the rows of the chooser, and the row below the entry that is picked.
func chooserRows(m *Model, w int) (rows []row, end int) {
	t := &writer{glyphs: m.look.glyphs, w: w}
	n := 0
	entry := func(title, right, below string) {
		role, mark := tui.Ink, "  "
		if n == m.picked {
			role, mark = tui.Strong, m.look.chosen+" "
		}
		before := mark + fmt.Sprintf("%2d  ", n+1)
		room := w - t.width(before) - t.width(right) - 2
		if t.width(title) > room { // the title is what is chosen by: the times make room for it
			room, below, right = w-t.width(before), right+" "+t.dot+" "+below, ""
		}
		if title = t.fit(title, room); right != "" {
			title += strings.Repeat(" ", max(1, room-t.width(title)+2)) + right
		}
		t.rows = append(t.rows, row{role: role, text: title, before: before, sign: tui.Key})
		t.wrapped(tui.Faint, "      ", tui.Faint, below)
		if n == m.picked {
			end = len(t.rows)
		}
		n++
	}
	if len(m.Unfinished) > 0 {
		t.heading("Go on with")
		for _, u := range m.Unfinished {
			below := u.Run
			if u.Where != "" {
				below = u.Where + " " + t.dot + " " + below
			}
			right := tui.About(u.Ago) + " ago"
			if u.Rehearsed {
				right = "rehearsal"
			}
			title := u.Title
			if title == "" {
				title = u.Run
			}
			if u.Wrong != "" {
				right, below = "cannot go on", u.Wrong
			}
			entry(title, right, below)
		}
	}
	if len(m.Protocols) > 0 {
		t.heading("Begin")
		for _, p := range m.Protocols {
			below := p.Purpose
			if p.Remark != "" {
				below = p.Remark + " " + t.dot + " " + below
			}
			entry(p.Title, tui.About(p.Planned)+", hands "+tui.About(p.Hands), below)
		}
	}
	if n == 0 {
		t.text(tui.Ink, "There is no protocol to choose.")
	}
	return t.rows, end
}

// drawChooser shows what can be done; the entry that is picked is always in sight.
func drawChooser(m *Model) string {
	rows, end := chooserRows(m, m.Width-2)
	p := page{
		title: "meniscus",
		rows:  rows,
		enter: "begin",
		hints: []key.Binding{labelled(m.keys.Down, "and up, or its number")},
		last:  []key.Binding{m.keys.Help, m.keys.Leave},
	}
	if m.picked < len(m.Unfinished) {
		p.enter = "go on"
	}
	if m.hint != "" {
		p.talk = m.talkRows(tui.Warn, m.hint)
		if m.stray == nil {
			p.enter = "try again"
		}
	}
	body := max(1, bodyRows(m.Height)-len(p.talk))
	return drawPage(p, max(0, end-body), m.Width, m.Height, m.look)
}
