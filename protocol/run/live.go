package run

import (
	"strings"
	"time"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol"
)

// A LiveView is a figure of the running stage, from the readings so far.
type LiveView struct {
	Say   string
	Value string         // "0.41 ± 0.12 mL"; "" for a moment
	In    *time.Duration // a moment: how far off it is; negative when it has passed
}

// live works the stage's figures out; those without a value yet, or that a method refuses, are left out.
func (l *look) live() []LiveView {
	var out []LiveView
	for _, f := range l.st.Live {
		if f.Sum != nil {
			out = append(out, l.sum(f)...)
			continue
		}
		val, err := f.Formula.Eval(l.values)
		if err != nil || val.Kind != formula.Number {
			continue
		}
		q, err := val.Number.To(f.Unit)
		if err != nil {
			continue
		}
		out = append(out, l.figure(f, q))
	}
	return out
}

// sum adds up what a reading has in each portion so far, and tells what that is to come to; nothing while it has none.
func (l *look) sum(f protocol.Live) []LiveView {
	taken := l.values.takenOf(f.Sum)
	if len(taken) == 0 {
		return nil
	}
	total := 0.0
	for _, t := range taken {
		total += t.Value
	}
	text := Figure(total, f.Sum)
	if of, ok := bound(f.Of, f.Sum, 0, l.values); ok {
		text += " of " + limit(of, f.Sum)
	}
	return []LiveView{{Say: f.Say, Value: strings.TrimRight(text+" "+f.Unit.Shown(), " ")}}
}

// Aim returns the value that a series is to reach, in the reading's own unit; ok is false when none is declared, or the
// readings so far do not give it yet.
func Aim(r *protocol.Reading, portion int, values formula.Values) (aim float64, ok bool) {
	q, ok := bound(r.Aim, r, portion, values)
	return q.Value, ok
}

// aimWords tell that value: "32.8 °C"; "" when there is none.
func aimWords(r *protocol.Reading, portion int, values formula.Values) string {
	q, ok := bound(r.Aim, r, portion, values)
	if !ok {
		return ""
	}
	return limit(q, r) + " " + r.Unit.Shown()
}

func (l *look) figure(f protocol.Live, q quantity.Quantity) LiveView {
	if !f.Moment {
		return LiveView{Say: f.Say, Value: q.Text()}
	}
	in := time.Duration(q.Value*float64(time.Minute)) - l.now
	return LiveView{Say: f.Say, In: &in}
}
