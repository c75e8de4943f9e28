package bench

import (
	"fmt"
	"strings"
	"time"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// A row is a line of the panel.
type row struct {
	role   tui.Role
	text   string
	before string   // a sign with a role of its own before the text
	sign   tui.Role // the role of before
	right  string   // stands at the right edge and is never cut
}

// A panel is what stands beside the vessels: where the vessel is, what the hands do, the clock, the hands' queue, the
// readings as a curve, and the tape.
type panel struct {
	area
	view    run.View
	queue   []group // of all vessels; empty where there is only one
	curve   curve
	now     time.Time
	strips  []strip
	several bool
	help    string          // the key that shows what there is no room for
	beware  map[int]warning // by rows; it is asked for with every way to share them out
}

// draw fills the area from the top.
func (p panel) draw() {
	p.beware = map[int]warning{}
	p.title()
	what := p.plan()
	gaps := what.gaps
	gap := func(n int) int {
		n = min(n, gaps)
		gaps -= n
		return n
	}
	y := p.rows(2+gap(what.gaps/3), what.upper)
	if what.block > 0 {
		y = p.clock(y, gap(1), what)
	}
	y = p.rows(y, what.lower)
	if what.queue > 0 {
		y += gap(what.gaps / 2)
		drawQueue(p.sub(0, y, p.listWide(), what.queue), p.queue, p.view.Vessel)
		y += what.queue
	}
	if gap(1) > 0 || what.queue > 0 && what.curve != below && p.h-y > 2 { // the tape is not taken for more of the queue
		y++
	}
	p.readings(p.sub(0, y, p.w, p.h-y), what.curve == below)
}

// readings are the tape, and the curve to its left.
func (p panel) readings(a area, curve bool) {
	if curve {
		tape := max(tapeWide, min(a.tapeWish(p.strips), a.w-curveNarrow-3, a.w*5/9))
		wide := min(curveWide, a.w-tape-3)
		high := min(curveHigh, a.h)
		drawCurve(a.sub(0, a.h-high, wide, high), p.curve)
		a = a.sub(wide+3, 0, a.w-wide-3, a.h)
	}
	drawTape(a.sub(0, 0, min(a.w, max(a.listWide(), a.tapeWish(p.strips))), a.h), p.strips)
}

// listWide is where the values of a list end: at the right edge, but on a wide panel nearer to their names, for an eye two
// metres off has to find the way.
func (a area) listWide() int {
	if a.w < 96 {
		return a.w
	}
	return 72
}

// title writes the tone as a chip, what is given to this vessel, the stage, and the place in the protocol. The chip is a bar
// where hands are needed, and a toothed one where they are late.
func (p panel) title() {
	v := p.view
	chip, beside := tui.Chip(v.Tone), tui.Faint
	if v.Tone >= run.Hands {
		p.repeat(0, 0, p.w, chip, p.barOf(v.Tone))
		beside = chip
	}
	x, end := p.put(0, 0, chip, " "+v.Vessel+"  "+p.tone(v.Tone)+" "+toneWord(v)+" "), p.w
	if place := fmt.Sprintf(" stage %d of %d", v.Number, v.Stages); v.Stage != nil && p.width(place)+x+1 <= p.w {
		p.right(0, beside, place)
		end -= p.width(place)
	}
	own := p.first(end-x-3, strings.Join(v.Own, ", "))
	if own != "" {
		p.put(x, 0, beside, " "+own+" ")
	}
	p.stageTitle(own != "")
}

// stageTitle writes the stage, and what is given to the vessel where that is not told yet.
func (p panel) stageTitle(told bool) {
	v, end := p.view, p.w
	var parts []string
	if v.Stage != nil {
		if place := placeWords(v); place != "" && p.width(place)+p.width(v.Stage.Title)+2 <= p.w {
			p.right(1, tui.Faint, place)
			end -= p.width(place) + 2
		}
		if parts = []string{v.Stage.Title}; v.Attended {
			parts = append(parts, "stay with it")
		}
	}
	var wordings []string
	for n := len(v.Own); n > 0 && !told; n-- {
		wordings = append(wordings, strings.Join(append(parts[:len(parts):len(parts)], strings.Join(v.Own[:n], ", ")), " · "))
	}
	text := p.first(end, append(wordings, strings.Join(parts, " · "))...)
	if text == "" && v.Stage != nil {
		text = p.fit(v.Stage.Title, end)
	}
	p.put(0, 1, tui.Strong, text)
}

// barOf is the sign that a bar of a tone is filled with.
func (g *glyphs) barOf(t run.Tone) string {
	if t == run.Late {
		return g.tone(t)
	}
	return " "
}

// task is what the hands do now, what comes next, and what to beware of; whole tells whether that is all of it.
func (p panel) task(c cut, cautions int) (out []row, whole bool) {
	v := p.view
	for _, line := range p.wrapTo(doWords(v), p.w, min(max(4, p.h/4), max(1, p.h-5)), p.help) {
		out = append(out, row{role: tui.Strong, text: line})
	}
	if v.Next != "" && v.Stage != nil && c < cutNext {
		if text := p.first(p.w, "then: "+v.Next, "then: "+clause(v.Next)); text != "" {
			out = append(out, row{role: tui.Faint, text: text})
		}
	}
	beware, whole := p.cautionRows(cautions)
	return append(out, beware...), whole
}

func (p panel) said(role tui.Role, text string, most int) []row {
	var out []row
	for _, line := range p.wrapIn(text, p.w, most) {
		out = append(out, row{role: role, text: line})
	}
	return out
}

// closesIn tells how long the window of a wait is still open; "" where none closes.
func closesIn(c *run.ClockView) string {
	if c.Window.AtMost == 0 {
		return ""
	}
	return ", closes in " + run.Hms(upToSecond(c.Window.AtMost-c.Elapsed))
}

// rows writes lines and returns the row after them.
func (p panel) rows(y int, rows []row) int {
	for _, r := range rows {
		x := p.put(0, y, r.sign, r.before)
		end := p.w
		if r.right != "" {
			end = min(end, max(p.listWide(), x+p.width(r.text)+2+p.width(r.right))) - p.width(r.right)
			p.put(end, y, tui.Strong, r.right)
			end -= 2
		}
		p.fitted(x, y, end-x, r.role, r.text)
		y++
	}
	return y
}
