package bench

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/charmbracelet/bubbles/key"

	"example.org/meniscus/tui"
)

// hints are the keys that mean something now, the most needed first: the least needed go where there is no room.
func (f *frame) hints() []key.Binding {
	k, v := f.keys, f.view()
	if f.line != "" {
		return []key.Binding{labelled(k.Forward, "take it"), k.Clear, k.Erase}
	}
	if f.question != nil {
		hints := []key.Binding{labelled(k.Forward, "yes"), labelled(k.Clear, "no")}
		if v.Asked != nil {
			hints = append(hints, labelled(k.Digit, "type it again"))
		}
		return hints
	}
	var out []key.Binding
	if v.Asked != nil {
		out = append(out, k.LeaveOut)
	}
	out = append(out, k.Correct, k.Note)
	if len(f.views) > 1 {
		out = append(out, k.Vessel)
	}
	if v.Portions > 1 {
		out = append(out, k.Again)
	}
	if v.Clock != nil && !v.Clock.OfHands && !v.Clock.ToBegin {
		out = append(out, k.Extend)
	}
	if f.planned {
		out = append(out, k.Timetable)
	}
	if f.away {
		out = append(out, labelled(k.Away, "back"))
	} else {
		out = append(out, k.Away)
	}
	if v.Stage != nil {
		out = append(out, k.Skip)
	}
	if f.muted {
		out = append(out, labelled(k.Mute, "bell on"))
	} else {
		out = append(out, k.Mute)
	}
	return append(out, k.Far, k.End, k.GiveUp)
}

// always are the keys that the line never leaves out.
func (f *frame) always() []key.Binding {
	if f.line != "" {
		return nil
	}
	return []key.Binding{f.keys.Help, f.keys.Leave}
}

// labelled returns a key under another word.
func labelled(b key.Binding, word string) key.Binding {
	b.SetHelp(b.Help().Key, word)
	return b
}

// drawHints writes keys and their words; last stands at the right and is never left out.
func drawHints(a area, hints, last []key.Binding) {
	end := a.w
	for i := len(last) - 1; i >= 0; i-- {
		end -= hintWidth(a, last[i])
		drawHint(a, end, last[i])
		end -= 2
	}
	x := 0
	for _, b := range hints {
		if x+hintWidth(a, b) > end+1 { // a blank is enough before those at the right
			break
		}
		x = drawHint(a, x, b) + 2
	}
}

func hintWidth(a area, b key.Binding) int {
	return a.width(b.Help().Key) + 1 + a.width(b.Help().Desc)
}

func drawHint(a area, x int, b key.Binding) int {
	x = a.put(x, 0, tui.Key, b.Help().Key)
	return a.put(x+1, 0, tui.Faint, b.Help().Desc)
}

// choiceWords number the choices as they are typed.
func choiceWords(choices []string) string {
	parts := make([]string, len(choices))
	for i, c := range choices {
		parts[i] = fmt.Sprintf("%d %s", i+1, c)
	}
	return strings.Join(parts, " · ")
}

func endsInLetter(s string) bool {
	r, _ := utf8.DecodeLastRuneInString(s)
	return unicode.IsLetter(r) || r == '%'
}

// drawTiny is the bench where there is no room for a vessel: the most needful lines, the most needful first.
func drawTiny(a area, f *frame) {
	v := f.view()
	entry := 0
	if a.h > 1 {
		entry = 1
	}
	head := a.tone(v.Tone) + toneShortWord(v)
	if v.Clock != nil {
		head += " " + clockDigits(v.Clock)
	}
	if a.h > 1 || f.line == "" {
		a.fitted(0, 0, a.w, tui.Shade(v.Tone), v.Vessel+" "+head)
	}
	if a.h > 1 || f.line != "" {
		drawEntry(a.sub(0, entry, a.w, 1), f)
	}
	rest := a.sub(0, 2, a.w, a.h-2)
	var rows []row
	if f.question != nil {
		rows = questionRows(rest, f.question.Say, rest.h)
	}
	rows = append(rows, newsRows(rest, f, 1)...)
	rows = append(rows, wrapped(rest, tui.Strong, v.Do, 3)...)
	if v.Asked != nil {
		rows = append(rows, wrapped(rest, tui.Ink, askedWords(v.Asked), 2)...)
	}
	for _, d := range v.Due {
		rows = append(rows, row{role: tui.Ask, text: dueWordings(d)[0]})
	}
	panel{area: rest}.rows(0, rows)
}
