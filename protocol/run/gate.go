package run

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol"
)

// gate looks at a stage's condition for going on; nil where it has none.
func gate(st *protocol.Stage, portion int, values *Values) *GateView {
	if st.Ready == nil {
		return nil
	}
	g := &GateView{Say: st.Ready.Say.Fill(values, portion)}
	if g.Met, _ = truth(st.Ready.Holds, values); !g.Met {
		g.Lacks = lacks(st.Ready.Holds, values, g.Say)
	}
	return g
}

// Words tell the condition, and what of it does not hold: "settled (interface: 4 readings, at least 5 needed)".
func (g *GateView) Words() string {
	if g.Met || g.Lacks == g.Say {
		return g.Say
	}
	return g.Say + " (" + g.Lacks + ")"
}

// lacks tells every part of a condition that does not hold; say where it has none that can be told.
func lacks(holds *formula.Formula, values *Values, say string) string {
	var said []lack
	open := ""
	conditions := holds.Conditions()
	for _, c := range conditions {
		met, known := truth(c, values)
		if met {
			continue
		}
		switch l, ok := values.lack(c); {
		case ok && !joins(said, l):
			said = append(said, l)
		case !ok && !known && isComparison(c): // a value that it takes cannot be told from the readings so far
			if s := values.subject(c); s != nil {
				open = inSentence(s.Title) + ": not known from the readings so far"
			}
		}
	}
	if len(conditions) == 1 && len(said) == 1 && said[0].now != "" { // the condition's own words say what is wanted
		return say + ": " + said[0].now + " by now"
	}
	words := make([]string, len(said))
	for i, l := range said {
		if words[i] = inSentence(l.of) + l.words(); i > 0 && l.of == said[i-1].of {
			words[i] = strings.TrimPrefix(l.words(), ": ")
		}
	}
	return cmp.Or(strings.Join(words, "; "), open, say)
}

func isComparison(c *formula.Formula) bool {
	sign, _ := c.Split()
	return wanted[sign] != ""
}

// A lack is a condition that does not hold: the title of the reading that it is about, and the rest of the sentence.
// Values that are too far apart, or too near, are kept so that two conditions on them are told as one.
type lack struct {
	of, say string
	now     string // what there is of a figure that is worked out
	values  []string
	apart   string // " mL are more than 0.5 mL apart"
}

func (l lack) words() string {
	if l.apart == "" {
		return l.say
	}
	return ": " + joined(l.values) + l.apart
}

const notRead = " is not read yet"

// joins reports whether said tells what l does, once its values are added to those that are the same distance apart.
func joins(said []lack, l lack) bool {
	if l.say == notRead {
		return slices.ContainsFunc(said, func(o lack) bool { return o.of == l.of })
	}
	if len(said) == 0 || l.apart == "" {
		return false
	}
	last := &said[len(said)-1]
	if last.of != l.of || last.apart != l.apart {
		return false
	}
	for _, v := range l.values {
		if !slices.Contains(last.values, v) {
			last.values = slices.Insert(last.values, 0, v)
		}
	}
	return true
}

// wanted are the words for what a comparison asks of its left side.
var wanted = map[string]string{">=": "at least", ">": "more than", "<=": "at most", "<": "less than", "==": "exactly", "!=": "not"}

// turned is a comparison with its sides exchanged.
var turned = map[string]string{">=": "<=", ">": "<", "<=": ">=", "<": ">", "==": "==", "!=": "!="}

// lack words a comparison of numbers that does not hold; ok is false for any other condition.
func (x *Values) lack(c *formula.Formula) (l lack, ok bool) {
	op, sides := c.Split()
	if wanted[op] == "" || len(sides) != 2 {
		return l, false
	}
	left, right := sides[0], sides[1]
	if x.subject(left) == nil {
		op, left, right = turned[op], right, left
	}
	r := x.subject(left)
	if r == nil {
		return l, false
	}
	l.of = r.Title
	have, err := left.Eval(x)
	if name, args := left.Split(); name == "count" && x.isReading(args[0]) {
		n := 0.0
		if err == nil {
			n = have.Number.Value
		}
		want, err := right.Eval(x)
		if err != nil || want.Kind != formula.Number {
			return l, false
		}
		if l.say = fmt.Sprintf(": %g of %g readings", n, want.Number.Value); op != ">=" {
			l.say = fmt.Sprintf(": %s, %s %g wanted", counted(int(n), "reading"), wanted[op], want.Number.Value)
		}
		return l, true
	}
	var missing *formula.MissingError
	if errors.As(err, &missing) {
		if m := x.s.Protocol.Reading(missing.Name); m != nil {
			return lack{of: m.Title, say: notRead}, true
		}
	}
	want, err2 := right.Eval(x)
	if err != nil || err2 != nil || have.Kind != formula.Number || want.Kind != formula.Number {
		return l, false
	}
	to, err := want.Number.To(have.Number.Unit)
	if err != nil {
		return l, false
	}
	x.compare(&l, left, r, op, have.Number, to)
	return l, true
}

// compare words what there is and what is wanted: of a reading that is typed, the next one that would do.
func (x *Values) compare(l *lack, left *formula.Formula, r *protocol.Reading, op string, have, want quantity.Quantity) {
	now := plainIn(have)
	name, parts := left.Split()
	switch {
	case (name == "last" && x.isReading(parts[0]) || x.isReading(left)) && have.Unit == unitOf(r) && op != "==" && op != "!=":
		l.say = fmt.Sprintf(" at %s: wait for %s", inUnit(Figure(have.Value, r), r.Unit), inUnit(Figure(nextThatDoes(want.Value, op, r), r), r.Unit))
	case name == "abs" && tooFar[op] != "":
		if sign, two := parts[0].Split(); sign == "-" {
			a, errA := two[0].Eval(x)
			b, errB := two[1].Eval(x)
			if errA == nil && errB == nil && a.Number.Unit == r.Unit && b.Number.Unit == r.Unit {
				l.values = []string{Figure(b.Number.Value, r), Figure(a.Number.Value, r)}
				l.apart = inUnit("", r.Unit) + " are " + tooFar[op] + " " + plainIn(want) + " apart"
				return
			}
		}
		fallthrough
	default:
		l.now, l.say = now, fmt.Sprintf(": %s by now, %s %s wanted", now, wanted[op], plainIn(want))
	}
}

// tooFar are the words for a distance that does not meet a comparison.
var tooFar = map[string]string{"<=": "more than", "<": "at least", ">=": "less than", ">": "at most"}

func plainIn(q quantity.Quantity) string { return inUnit(quantity.Plain(q.Value, 4), q.Unit) }

func inUnit(number string, u quantity.Unit) string {
	return strings.TrimRight(number+" "+u.Shown(), " ")
}

// nextThatDoes is the value on the instrument's scale that meets a comparison with want, the nearest one.
func nextThatDoes(want float64, op string, r *protocol.Reading) float64 {
	s, ok := step(r)
	if !ok {
		return want
	}
	const slack = 1e-9 // steps; a decimal is seldom a whole number of steps to the last bit
	n := want / s
	switch op {
	case ">=":
		n = math.Ceil(n - slack)
	case ">":
		n = math.Floor(n+slack) + 1
	case "<=":
		n = math.Floor(n + slack)
	case "<":
		n = math.Ceil(n-slack) - 1
	}
	return toStep(n*s, r)
}

// subject is the first reading that a formula names; nil where it names none.
func (x *Values) subject(f *formula.Formula) *protocol.Reading {
	for _, name := range f.Names() {
		if r := x.s.Protocol.Reading(name); r != nil {
			return r
		}
	}
	return nil
}

// isReading reports whether a formula is the name of a reading and nothing else.
func (x *Values) isReading(f *formula.Formula) bool {
	name, ok := f.Name()
	return ok && x.s.Protocol.Reading(name) != nil
}

// inSentence is a title as it stands within a sentence: "oil", but "KOH left".
func inSentence(title string) string {
	first, n := utf8.DecodeRuneInString(title)
	if second, _ := utf8.DecodeRuneInString(title[n:]); !unicode.IsLower(second) {
		return title
	}
	return string(unicode.ToLower(first)) + title[n:]
}

// rereadEvery is how long a reading stands on which a gate hangs, where no reminder asks for the next one. Common
// practice, no source.
const rereadEvery = time.Minute

// rereadIn is how long a wait that is up may be left before its gate is looked at again: to the next reminder where one
// asks for a reading of the gate, and never until the window closes.
func (l *look) rereadIn(w *View) time.Duration {
	in := -rereadEvery
	for _, name := range l.st.Ready.Holds.Names() {
		r := l.s.Protocol.Reading(name)
		if r == nil || r.Stage != l.st {
			continue
		}
		if w.NextReminder != nil && slices.ContainsFunc(l.st.Reminders, func(m protocol.Reminder) bool { return m.Reading == r.ID }) {
			in = max(in, w.NextReminder.In)
		} else if newest := l.values.newestOf(r); newest != nil {
			in = max(in, newest.At.Elapsed+rereadEvery-l.now)
		}
	}
	if most := w.Clock.Window.AtMost; most > 0 {
		in = min(in, most-w.Clock.Elapsed-l.s.closing(l.v))
	}
	return in
}

// wants tells what a wait that is up still waits for; the clock tells for how long it may.
func (l *look) wants(w *View) string {
	if w.Gate == nil || w.Gate.Met || l.v.Phase != protocol.WaitPhase || !w.IsUp() && w.Tone != Late {
		return ""
	}
	if w.Tone == Late {
		return "Past the latest end, " + w.Gate.Lacks + ", or end the wait."
	}
	said := Hms(w.Clock.Window.Aim) + " are over, " + w.Gate.Lacks + "."
	if len(w.Due) == 0 && l.rereadIn(w) <= 0 && l.values.subject(l.st.Ready.Holds) != nil {
		said += " Read it again."
	}
	return said
}
