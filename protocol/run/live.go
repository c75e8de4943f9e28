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
}

// live works the stage's figures out; those without a value yet, or that a method refuses, are left out.
func (l *look) live() []LiveView {
	var out []LiveView
	for _, f := range l.st.Live {
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

func (l *look) figure(f protocol.Live, q quantity.Quantity) LiveView {
	if !f.Moment {
		return LiveView{Say: f.Say, Value: q.Text()}
	}
	in := time.Duration(q.Value*float64(time.Minute)) - l.now
	return LiveView{Say: f.Say, In: &in}
}
