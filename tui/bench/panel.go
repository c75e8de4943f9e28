package bench

import (
	"fmt"
	"strings"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// A row is a line of the panel.
type row struct {
	role   tui.Role
	text   string
	before string   // a sign with a role of its own before the text
	sign   tui.Role // the role of before
}

// A panel is what stands beside the vessels: where the vessel is, what the hands do, the clock, and the tape.
type panel struct {
	area
	view   run.View
	others []run.View
	tape   []strip
}

// A cut leaves out what may be missed where the clock would otherwise be too small to read from across the bench.
type cut uint8

const (
	cutNothing  cut = iota
	cutTape         // all but the newest line
	cutNext         // what comes next
	cutCautions     // all but one line; the help has them all
)

// A plan is how the rows of the panel are shared out.
type plan struct {
	upper, words, lower []row
	face                face
	big                 bool
	gaps                int
}

// draw fills the area from the top.
func (p panel) draw() {
	p.title()
	wish := 3
	if p.h >= 16 {
		wish = 5
	}
	what := p.share(cutNothing)
	for c := cutTape; c <= cutCautions && p.view.Clock != nil && what.face.height() < wish; c++ {
		what = p.share(c)
	}
	y := p.rows(2+what.gaps/3, what.upper)
	if p.view.Clock != nil {
		y = p.digits(y+min(1, what.gaps), what.face, what.big)
		y = p.rows(y, what.words)
	}
	y = p.rows(y, what.lower) + what.gaps/2
	drawTape(p.sub(0, y, p.w, p.h-y), p.tape)
}

// share gives the clock the largest face that leaves the tape a few lines, and sets the parts apart with what is left.
func (p panel) share(c cut) plan {
	what := plan{upper: p.task(c), lower: p.facts()}
	free := p.h - 2 - len(what.upper) - len(what.lower)
	tapeLeast := min(len(p.tape), max(0, (p.h-8)/3))
	if c >= cutTape {
		tapeLeast = min(tapeLeast, 1)
	}
	if clock := p.view.Clock; clock != nil {
		what.words = p.clockWords()
		free -= len(what.words)
		if what.face, what.big = p.faceFor(clockDigits(clock), p.w, free-tapeLeast); what.big {
			free -= what.face.height()
		} else {
			free--
		}
	}
	what.gaps = max(0, min(3, free-tapeLeast))
	return what
}

// title writes the tone as a chip, the stage, and the place in the protocol.
func (p panel) title() {
	v := p.view
	x := p.put(0, 0, tui.Chip(v.Tone), " "+v.Vessel+"  "+p.tone(v.Tone)+" "+toneWord(v)+" ")
	if v.Stage == nil {
		return
	}
	if place := fmt.Sprintf("stage %d of %d", v.Number, v.Stages); p.width(place)+x+2 <= p.w {
		p.right(0, tui.Faint, place)
	}
	end := p.w
	if place := placeWords(v); place != "" && p.width(place)+p.width(v.Stage.Title)+2 <= p.w {
		p.right(1, tui.Faint, place)
		end -= p.width(place) + 2
	}
	title := v.Stage.Title
	if stay := title + " · stay with it"; v.Attended && p.width(stay) <= end {
		title = stay
	}
	p.fitted(0, 1, end, tui.Strong, title)
}

// task is what the hands do now, what comes next, and what to beware of.
func (p panel) task(c cut) []row {
	v := p.view
	out := p.said(tui.Strong, v.Do, max(1, min(4, p.h/5)))
	if v.Next != "" && v.Stage != nil && c < cutNext {
		out = append(out, row{role: tui.Faint, text: p.fit("then: "+v.Next, p.w)})
	}
	most := max(2, (p.h-2)/5)
	if c >= cutCautions || p.h < 12 {
		most = 1
	}
	for i, line := range p.wrapIn(strings.Join(v.Cautions, " "), p.w-2, most) {
		r := row{role: tui.Ink, text: line, before: "  ", sign: tui.Warn}
		if i == 0 {
			r.before = p.caution + " "
		}
		out = append(out, r)
	}
	return out
}

func (p panel) said(role tui.Role, text string, most int) []row {
	var out []row
	for _, line := range p.wrapIn(text, p.w, most) {
		out = append(out, row{role: role, text: line})
	}
	return out
}

// digits writes the clock, in a big face if there is room, and returns the row after.
func (p panel) digits(y int, f face, big bool) int {
	role, text := tui.Shade(p.view.Tone), clockDigits(p.view.Clock)
	if !big {
		p.put(0, y, role, text)
		return y + 1
	}
	p.sub(0, y, p.w, p.h-y).bigText(f, role, text)
	return y + f.height()
}

// clockWords tell what the digits mean.
func (p panel) clockWords() []row {
	role := tui.Ink
	if p.view.Tone == run.Late {
		role = tui.Warn
	}
	words := clockWords(p.view.Clock)
	if short := clockShort(p.view.Clock); p.width(words) > p.w && short != "" {
		words = short
	}
	return p.said(role, words, 2)
}

// facts are the gate, the reminders, the pause and the other vessels.
func (p panel) facts() []row {
	v := p.view
	var out []row
	if g := v.Gate; g != nil {
		r := row{role: tui.Ink, text: g.Say, before: p.unmet + " ", sign: tui.Strong}
		if g.Met {
			r.before = p.met + " "
		} else {
			r.text = "not yet: " + g.Say
		}
		out = append(out, r)
	}
	for _, d := range v.Due {
		out = append(out, row{role: tui.Ask, text: dueWords(d), before: p.due + " ", sign: tui.Ask})
	}
	if n := v.NextReminder; n != nil && len(v.Due) == 0 {
		out = append(out, row{role: tui.Ink, text: n.Say + " in " + run.Hms(upToSecond(n.In)), before: p.unmet + " ", sign: tui.Faint})
	}
	if v.Pause != "" && p.h >= 14 {
		out = append(out, row{role: tui.Faint, text: "may rest here: " + v.Pause})
	}
	return append(out, p.elsewhere()...)
}

// elsewhere tells the other vessels, the most urgent first.
func (p panel) elsewhere() []row {
	most := max(1, (p.h-8)/4)
	var out []row
	for _, v := range urgentFirst(p.others) {
		if len(out) == most {
			break
		}
		text := toneShortWord(v)
		if v.Clock != nil {
			text += " " + clockDigits(v.Clock)
		}
		if v.Stage != nil {
			text += " · " + v.Stage.Title
		}
		switch {
		case len(v.Due) > 0:
			text += ": " + v.Due[0].Say
		case v.Do != "" && v.Tone >= run.Hands:
			text += ": " + v.Do
		}
		out = append(out, row{role: tui.Ink, text: text, before: v.Vessel + " " + p.tone(v.Tone) + " ", sign: tui.Shade(v.Tone)})
	}
	return out
}

// urgentFirst orders vessels that are under way: late, hands needed, waiting with the least time left.
func urgentFirst(views []run.View) []run.View {
	var out []run.View
	for _, tone := range []run.Tone{run.Late, run.Hands, run.Waiting} {
		from := len(out)
		for _, v := range views {
			if v.Tone != tone || v.Through {
				continue
			}
			at := len(out)
			for at > from && sooner(v, out[at-1]) {
				at--
			}
			out = append(out[:at], append([]run.View{v}, out[at:]...)...)
		}
	}
	return out
}

func sooner(a, b run.View) bool {
	return a.Clock != nil && (b.Clock == nil || a.Clock.Left < b.Clock.Left)
}

// rows writes lines and returns the row after them.
func (p panel) rows(y int, rows []row) int {
	for _, r := range rows {
		x := p.put(0, y, r.sign, r.before)
		p.fitted(x, y, p.w-x, r.role, r.text)
		y++
	}
	return y
}
