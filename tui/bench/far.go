package bench

import (
	"strings"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// drawFar fills the screen with what is read from the far side of the room: the vessel's letter, its clock, one
// sentence. A line at the top has the others: one of them may be due while this one is chosen. Where one is late, it
// fills the screen, and the vessel in hand has a line.
func drawFar(f *frame, w, h int, l look) string {
	c := newCanvas(w, h, l)
	a := c.all()
	v := f.farView()
	tone := " " + l.tone(v.Tone) + " " + toneWord(v) + " "
	if v.Tone >= run.Hands {
		tone += strings.Repeat(l.barOf(v.Tone), max(0, w-4-l.width(tone)))
	}
	below := []row{{sign: tui.Chip(v.Tone), before: tone}}
	if v.Clock != nil && h >= 12 {
		below = append(below, panel{area: a.sub(2, 0, w-4, h), view: v}.clockWords()...)
	}
	for _, line := range l.wrapTo(farSentence(v), w-4, max(1, h/4), f.keys.Help.Help().Key) {
		below = append(below, row{role: tui.Strong, text: line})
	}
	inHand := ""
	if v.Vessel != f.view().Vessel {
		inHand = f.view().Vessel + " " + l.tone(f.view().Tone) + " "
		below = append(below, inHandRows(l, f.view(), w-4, max(1, h/8))...)
	}
	clock := ""
	if v.Clock != nil {
		clock = clockDigits(v.Clock)
	}
	foot := farFoot(a, f)
	room := a.sub(2, 1, w-4, max(0, h-len(foot)-3))
	top := a.sub(2, 0, w-4, 1)
	for _, chip := range f.chips() {
		top.right(0, tui.HandsChip, chip)
		top = top.sub(0, 0, top.w-len(chip)-2, 1)
	}
	if len(f.views) > 1 {
		drawOthers(top, f.queue, f.view().Vessel)
	}
	digits := farDigits(room, room.h-len(below)-1, v.Vessel, clock)
	used := digits.height() + 1 + len(below)
	y := max(0, (room.h-used)/2)
	digits.draw(room.sub(0, y, room.w, room.h), tui.Shade(v.Tone))
	panel{area: room.sub(0, y+digits.height()+1, room.w, room.h)}.rows(0, below)
	panel{area: a.sub(1, h-1-len(foot), w-2, len(foot))}.rows(0, foot)
	x := a.put(1, h-1, tui.Shade(f.view().Tone), inHand)
	drawEntry(a.sub(x, h-1, w-1-x, 1), f)
	return c.finish()
}

// farView is the vessel that the far view is about: the first of the queue that is late, or else the one in hand.
func (f *frame) farView() run.View {
	for _, t := range f.queue {
		for _, v := range f.views {
			if v.Vessel == t.Vessel && v.Tone == run.Late {
				return v
			}
		}
	}
	return f.view()
}

// inHandRows tell the vessel that the keys go to where the screen is about another one.
func inHandRows(l look, v run.View, w, most int) []row {
	words := "In hand: " + v.Vessel + " " + l.tone(v.Tone) + " " + toneWord(v)
	if v.Clock != nil {
		words += " " + clockDigits(v.Clock)
	}
	var rows []row
	for _, line := range l.wrapTo(words+" "+l.dot+" "+farSentence(v), w, most, "") {
		rows = append(rows, row{role: tui.Ink, text: line})
	}
	return rows
}

// A farClock is the letter and the clock, as large as they can be together: side by side, or one above the other.
type farClock struct {
	letter, clock string
	face          face
	stacked       bool
}

func farDigits(a area, h int, vessel, clock string) farClock {
	out := farClock{letter: vessel, clock: clock}
	if !isBig(vessel) {
		return out
	}
	out.face, _ = a.faceFor(strings.TrimRight(vessel+" "+clock, " "), a.w, h)
	if clock == "" {
		return out
	}
	if f, ok := a.faceFor(clock, a.w, (h-1)/2); ok && f.height()*f.wide > out.face.height()*out.face.wide {
		out.face, out.stacked = f, true
	}
	return out
}

func (c farClock) height() int {
	if c.stacked {
		return 2*c.face.height() + 1
	}
	return max(1, c.face.height())
}

func (c farClock) draw(a area, role tui.Role) {
	switch {
	case c.face.height() == 0:
		x := a.put(0, 0, tui.Strong, c.letter+"  ")
		a.put(x, 0, role, c.clock)
	case c.stacked:
		a.bigText(c.face, tui.Strong, c.letter)
		a.sub(0, c.face.height()+1, a.w, a.h).bigText(c.face, role, c.clock)
	default:
		x := a.bigText(c.face, tui.Strong, c.letter) + 2*c.face.wide
		a.sub(x, 0, a.w, a.h).bigText(c.face, role, c.clock)
	}
}

// farSentence is the one thing to know: what is about to be lost, else a reminder that is due, else what the hands do;
// what is late or reached comes first.
func farSentence(v run.View) string {
	if v.Needed != "" {
		return v.Needed
	}
	if len(v.Due) > 0 && v.Tone != run.Late && !v.Reached() {
		return v.Due[0].Say
	}
	return doWords(v)
}

// farFoot is what needs an answer, or what the last line led to.
func farFoot(a area, f *frame) []row {
	a = a.sub(1, 0, a.w-2, a.h)
	if f.question != nil {
		return questionRows(a, f.question.Say, max(3, a.h-8))
	}
	return newsRows(a, f, max(2, a.h/5))
}
