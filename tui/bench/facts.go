package bench

import (
	"strings"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// A weight is how much a fact counts where there is no room for all of them; the lightest goes first.
type weight uint8

const (
	rest weight = iota
	reminds
	held // by others
	figure
	later
	gated
	isDue
)

// A fact is something to know beside the clock, in a row or more.
type fact struct {
	weight weight
	rows   []row
}

// facts are the gate, the reminders, the figures so far, what others hold, and the pause, in at most so many rows, of
// which the pause has at most its own.
func (p panel) facts(most, pause int) []row {
	all := p.allFacts(pause)
	total := 0
	for _, f := range all {
		total += len(f.rows)
	}
	for w := rest; total > most && w <= isDue; w++ {
		for i := len(all) - 1; i >= 0 && total > most; i-- {
			if all[i].weight == w {
				total -= len(all[i].rows)
				all[i].rows = nil
			}
		}
	}
	out := make([]row, 0, total)
	for _, f := range all {
		out = append(out, f.rows...)
	}
	return out
}

func (p panel) allFacts(pause int) []fact {
	v := p.view
	var out []fact
	add := func(w weight, rows []row) { out = append(out, fact{w, rows}) }
	if g := v.Gate; g != nil && g.Met {
		add(gated, p.told(row{before: p.met + " ", sign: tui.Strong}, g.Say))
	} else if g != nil && v.Wants == "" { // otherwise it is told above the clock
		add(gated, p.told(row{before: p.unmet + " ", sign: tui.Strong}, "not yet: "+g.Lacks))
	}
	if v.Needed != "" {
		add(isDue, p.told(row{role: tui.Warn, before: p.caution + " ", sign: tui.Warn}, v.Needed))
	}
	if v.HeldBack() {
		at, closes := "hands here at "+p.now.Add(*v.Planned).Format("15:04"), closesIn(v.Clock)
		add(later, p.told(row{before: p.dot + " ", sign: tui.Strong}, at+" by the timetable"+closes, at+closes))
	}
	for _, d := range v.Due {
		add(isDue, p.told(row{role: tui.Ask, before: p.due + " ", sign: tui.Ask}, dueWordings(d)...))
	}
	if n := v.NextReminder; n != nil && len(v.Due) == 0 {
		in := " in " + run.Hms(upToSecond(n.In))
		add(reminds, p.told(row{before: p.unmet + " ", sign: tui.Faint}, n.Say+in, clause(n.Say)+in))
	}
	for _, f := range v.Live {
		add(figure, p.figure(f.Say, tui.Live(f, p.now)))
		if f.Over != "" {
			add(isDue, p.told(row{role: tui.Warn, before: p.caution + " ", sign: tui.Warn}, f.Over, clause(f.Over)))
		}
	}
	for _, busy := range v.Busy {
		add(held, p.told(row{before: p.cross + " ", sign: tui.Strong}, busy))
	}
	if v.Pause != "" && pause > 0 {
		add(rest, p.pause(pause))
	}
	return out
}

// told is a fact in the first wording that fits a row, or in the last one wrapped.
func (p panel) told(r row, wordings ...string) []row {
	wide := p.w - p.width(r.before)
	if r.text = p.first(wide, wordings...); r.text != "" {
		return []row{r}
	}
	var out []row
	for _, r.text = range p.wrapIn(wordings[len(wordings)-1], wide, 3) {
		out = append(out, r)
		r.before = strings.Repeat(" ", p.width(r.before))
	}
	return out
}

// figure is a value so far at the right of its name; a moment goes without how far off it is, or below the name, before
// the name is cut.
func (p panel) figure(name, value string) []row {
	r := row{text: name, right: value, before: p.dot + " ", sign: tui.Strong}
	room := p.w - p.width(r.before) - 2 - p.width(name)
	if _, at, ok := strings.Cut(value, ", "); ok && p.width(value) > room {
		r.right = at
	}
	if p.width(r.right) <= room {
		return []row{r}
	}
	r.right = ""
	return append(p.told(r, name), row{right: value})
}

// pause tells that the work may rest, and how: in whole sentences, as many as so many rows have room for.
func (p panel) pause(most int) []row {
	parts := sentences(p.view.Pause)
	if parts == nil {
		return nil
	}
	parts[0] = "may rest here: " + parts[0]
	lines, whole := p.sentencesIn(parts, " ", p.w, most)
	if whole == 0 {
		lines = []string{p.first(p.w, "may rest here, how: "+p.help)}
	}
	var out []row
	for _, line := range lines {
		out = append(out, row{role: tui.Faint, text: line})
	}
	return out
}
