package run

import (
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
	Over  string         // a sum: that more was given than planned so far; "" when it was not
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
		if fig := l.figure(f, q); fig.In == nil || *fig.In <= 0 || canTell(q, *fig.In) {
			out = append(out, fig)
		}
	}
	return out
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

// canTell tells whether the readings bear a forecast: its expanded uncertainty is no more than the time it is ahead.
func canTell(q quantity.Quantity, in time.Duration) bool {
	expanded, _ := q.Expanded()
	return !(expanded > in.Minutes())
}

func (l *look) figure(f protocol.Live, q quantity.Quantity) LiveView {
	if !f.Moment {
		return LiveView{Say: f.Say, Value: q.Text()}
	}
	in := time.Duration(q.Value*float64(time.Minute)) - l.now
	return LiveView{Say: f.Say, In: &in}
}
