package bench

import (
	"strings"
	"time"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// A frame is everything the bench screen shows, as plain values.
type frame struct {
	title    string
	elapsed  time.Duration
	now      time.Time // of day, where the bench stands
	views    []run.View
	queue    []run.Turn // of the hands, over all vessels
	meant    int        // index of the vessel that is worked on
	curve    curve
	tape     []strip
	away     bool
	planned  bool // there is a timetable
	ended    bool // the run is over
	muted    bool
	ringing  bool
	line     string // what is typed; "" when nothing is
	question *run.Question
	slip     *slip    // what a correction that is typed is about; nil: none is, or it is named
	said     []string // what the last line led to
	refused  string
	notSaved string
	keys     tui.Keys
}

// view returns the view of the vessel that is worked on.
func (f *frame) view() run.View {
	if f.meant < 0 || f.meant >= len(f.views) {
		return run.View{}
	}
	return f.views[f.meant]
}

// drawBench returns the bench screen in exactly h lines of at most w cells.
func drawBench(f *frame, w, h int, l look) string {
	c := newCanvas(w, h, l)
	if w < 30 || h < 10 {
		drawTiny(c.all(), f)
		return c.finish()
	}
	a := c.all()
	talk := talkRows(a.sub(1, 0, w-2, h), f)
	drawHeader(a.sub(0, 0, w, 1), f)
	main := a.sub(1, 1, w-2, h-talk-3)
	edge := 1 + main.h
	s := shelve(len(f.views), f.meant, w, f.curve.isWorth())
	if s.count < len(f.views) && main.h >= 10 { // a line for those that have no glass
		drawOthers(main, f.queue, f.view().Vessel)
		main = main.sub(0, 1, main.w, main.h-1)
	}
	a.repeat(0, edge, w, tui.Glass, l.edge)
	drawShelf(main.sub(0, 0, s.width, main.h), f.views, f.meant, s)
	panel{
		area:    main.sub(s.width+1, 0, main.w-s.width-1, main.h),
		view:    f.view(),
		queue:   together(f.queue),
		curve:   f.curve,
		now:     f.now,
		strips:  f.tape,
		several: len(f.views) > 1,
		help:    f.keys.Help.Help().Key,
	}.draw()
	drawTalk(a.sub(1, edge+1, w-2, talk), f)
	drawHints(a.sub(1, h-1, w-2, 1), f.hints(), f.always())
	return c.finish()
}

// drawHeader writes the protocol's title and, at the right, the run's clock and what is out of the ordinary. The title
// makes room for these: down to its first part, and then as a whole. That the bell is muted makes room for who calls.
func drawHeader(a area, f *frame) {
	x := a.w - 1
	usual := a.w - 4 - len("run ") - a.width(run.Hms(f.elapsed))
	write := func(role tui.Role, text string) {
		x -= a.width(text)
		a.put(x, 0, role, text)
		x -= 2
	}
	write(tui.Faint, "run "+run.Hms(f.elapsed))
	if a.w >= slimmest {
		write(tui.Faint, f.now.Format("15:04"))
	}
	chips := f.chips()
	if muted := a.first(x-8*len(chips), "bell muted", "muted"); f.muted && muted != "" {
		write(tui.Strong, muted)
	}
	for _, chip := range chips {
		write(tui.HandsChip, chip)
	}
	title := a.first(x-1, f.title, clause(f.title))
	if title == "" && a.width(f.title) > usual { // at no time would there be room for it
		title = a.fit(f.title, x-1)
	}
	a.put(1, 0, tui.Faint, title)
}

// chips are what is out of the ordinary: somebody is called, or away.
func (f *frame) chips() []string {
	var chips []string
	if f.ringing {
		chips = append(chips, " BELL ")
	}
	if f.away {
		chips = append(chips, " AWAY ")
	}
	return chips
}

// talkRows is how high the part below the bench is: as the screen allows, and more where what is asked or told is long,
// above all an open question.
func talkRows(a area, f *frame) int {
	least := 4
	switch {
	case a.h < 16:
		least = 2
	case a.h < 22:
		least = 3
	case a.h >= 34:
		least = 6
	}
	most := max(2, a.h/2)
	if f.question != nil { // it is never cut, and the bench keeps four rows
		most = max(most, a.h-7)
	}
	asked, news := len(asking(a, f, most-2)), len(newsRows(a, f, most))
	return min(max(least, asked+1+max(1, news)), most)
}

// asking are the rows of the open question, or of the reading that is asked for.
func asking(a area, f *frame, most int) []row {
	switch asked := f.view().Asked; {
	case f.question != nil:
		return questionRows(a, f.question.Say, most)
	case asked != nil:
		return askedRows(a, f.whose(), asked, most)
	}
	return nil
}

// whose names the vessel before what is asked and typed, where there are several.
func (f *frame) whose() string {
	if len(f.views) < 2 {
		return ""
	}
	return f.view().Vessel + " "
}

// drawTalk is the part below the bench: what is asked, what is typed, what came of it.
func drawTalk(a area, f *frame) {
	p := panel{area: a}
	if a.h < 3 { // one line for both: news first
		rows := newsRows(a, f, 1)
		if len(rows) == 0 || f.question != nil {
			rows = asking(a, f, 1)
		}
		p.rows(0, rows)
		drawEntry(a.sub(0, a.h-1, a.w, 1), f)
		return
	}
	rows := asking(a, f, a.h-2)
	news := newsRows(a, f, max(1, a.h-1-len(rows)))
	above := max(len(rows), min(2, a.h-1-max(1, len(news)))) // a long answer moves the line up where there is room
	p.rows(0, rows)
	drawEntry(a.sub(0, above, a.w, 1), f)
	p.rows(above+1, news)
}

func wrapped(a area, role tui.Role, text string, most int) []row {
	return panel{area: a}.said(role, text, most)
}

// askedRows tell the reading that is asked for, its choices, and how to take it.
func askedRows(a area, whose string, asked *run.Asked, most int) []row {
	words := whose + askedWords(asked)
	if asked.Reading != nil && asked.Reading.Kind == protocol.FreeText {
		words += " · t opens the line"
	}
	isChoice := asked.Reading != nil && asked.Reading.Kind == protocol.Choice
	rows := wrapped(a, tui.Strong, words, most)
	if isChoice && len(rows) == most && most > 1 {
		rows = wrapped(a, tui.Strong, words, most-1)
	}
	if isChoice && len(rows) < most {
		rows = append(rows, wrapped(a, tui.Ink, choiceWords(asked.Reading.Choices), most-len(rows))...)
	}
	said, _ := a.sentencesIn(sentences(tui.HowTo(asked)), " ", a.w, most-len(rows))
	for _, line := range said {
		rows = append(rows, row{role: tui.Ink, text: line})
	}
	return rows
}

// newsRows tell what the last line led to; what needs an answer comes before what was said.
func newsRows(a area, f *frame, most int) []row {
	switch {
	case f.notSaved != "":
		return wrapped(a, tui.Warn, "not saved: "+f.notSaved+"; Enter tries again; Esc, then w and a folder: it goes on there", most)
	case f.refused != "":
		return wrapped(a, tui.Warn, f.refused, most)
	}
	between := " " + a.dot + " "
	lines, whole := a.sentencesIn(f.said, between, a.w, most)
	if whole == 0 {
		return wrapped(a, tui.Ink, strings.Join(f.said, between), most)
	}
	var rows []row
	for _, line := range lines {
		rows = append(rows, row{role: tui.Ink, text: line})
	}
	return rows
}

// drawEntry writes the typed line, or what Enter does now.
func drawEntry(a area, f *frame) {
	v := f.view()
	if f.line == "" {
		x := a.put(0, 0, tui.Key, "Enter ")
		x = a.put(x, 0, tui.Glass, a.prompt+" ")
		if f.question != nil {
			no := "   " + f.keys.Clear.Help().Key + " " + a.prompt + " no"
			x = a.fitted(x, 0, a.w-x-a.width(no), tui.Strong, f.question.Yes)
			x = a.put(x+3, 0, tui.Key, f.keys.Clear.Help().Key+" ")
			x = a.put(x, 0, tui.Glass, a.prompt+" ")
			a.put(x, 0, tui.Ink, "no")
			return
		}
		does := v.Enter
		if f.away {
			does = "come back"
		}
		a.fitted(x, 0, a.w-x, tui.Strong, does)
		return
	}
	asks, body, echo := f.entry()
	last := asks[len(asks)-1]
	text := a.first(min(a.w/2, a.w-4-a.width(body)-a.width(echo)), asks...) // what is typed is seen from its begin on
	if text == "" {
		text = a.named(last, a.w/2)
	}
	x := a.put(0, 0, tui.Ink, text)
	x = a.put(x+1, 0, tui.Glass, a.prompt+" ")
	if a.width(echo) > a.w/3 && a.width(body)+1+a.width(echo) > a.w-x {
		echo = "" // what is typed comes first
	}
	x = a.put(x, 0, tui.Entry, a.tail(body, a.w-x-1-a.width(echo)))
	x = a.put(x, 0, tui.Strong, a.cursor)
	a.put(x, 0, tui.Ink, echo)
}

// entry splits the typed line into the words before it, the fullest first; what follows; and what it will be taken for:
// the value with its unit, or the unit alone while there is no value yet.
func (f *frame) entry() (asks []string, body, echo string) {
	letter := []rune(f.line)[0]
	if o, ok := f.keys.Opener(letter); ok {
		body = strings.TrimLeft(f.line[1:], " ")
		if f.slip != nil {
			whose := f.whose()
			if whose != "" {
				whose = f.slip.vessel + " "
			}
			if f.slip.becomes != "" {
				echo = " = " + f.slip.becomes
			}
			return f.slip.asks(whose, o.Asks), body, echo
		}
		return []string{f.whose() + o.Asks}, body, ""
	}
	asked := f.view().Asked
	if f.ended {
		return []string{f.whose() + "missed reading"}, f.line, ""
	}
	if asked == nil || asked.Reading == nil {
		return []string{f.whose() + "reading"}, f.line, ""
	}
	if shown, ok := run.Parsed(asked.Reading, f.line); ok && f.line[0] != '@' {
		echo = " = " + shown
	} else if asked.Unit != "" && !isMark(asked) && !strings.ContainsAny(f.line, " °@") && !endsInLetter(f.line) {
		echo = " " + asked.Unit
	}
	return []string{f.whose() + asked.Title}, f.line, echo
}
