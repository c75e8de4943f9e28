package protocol

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.org/meniscus/calc/quantity"
)

// instruments reads the blocks [instrument.NAME].
func (l *loader) instruments(root *table) {
	for _, b := range root.named("instrument") {
		t := l.table(b.path, "instrument", fmt.Sprintf("instrument %q", b.id), b.keys)
		t.nameFits(b.id, anyID)
		in := &Instrument{ID: anyID.orSpelt(b.id), Title: t.title(b.id), Checked: t.date("checked"), DoF: quantity.Known()}
		var ok bool
		if in.Unit, ok = t.unit("g"); ok {
			t.trust(in)
		}
		l.broken[in] = !ok
		l.p.Instruments = append(l.p.Instruments, in)
	}
}

// trust reads how far the instrument's readings can be trusted.
func (t *table) trust(in *Instrument) {
	for _, w := range []struct {
		key  string
		into *float64
		unit quantity.Unit
	}{
		{"step", &in.Step, in.Unit}, {"tolerance", &in.Tolerance, in.Unit}, {"u", &in.U, in.Unit},
		{"offset", &in.Offset, in.Unit}, {"gain", &in.Gain, quantity.One}, {"graduation", &in.Graduation, in.Unit},
	} {
		if t.has(w.key) {
			*w.into, _ = t.width(w.key, w.unit)
		}
	}
	dof, ok := t.number("dof")
	switch {
	case ok && (dof < 1 || !t.has("u")):
		t.faultAt("dof", "dof is the degrees of freedom, 1 or more, of a u beside it", "")
	case ok:
		in.DoF = dof
	}
}

// date reads a date, with or without quotes, as it is written.
func (t *table) date(key string) string {
	if v := t.get(key); v != nil && describe(v) == "a date" {
		return t.raw(key)
	}
	return t.text(key)
}

// Measure returns a value read in unit, with what the instrument makes it uncertain by. reading names the value for
// the sources that belong to it alone ("reading:NAME/step"), so two values of one series need two names: "level.1",
// "level.2", and with several vessels "level.1@A". A nil instrument leaves the value exact.
//
// The limit of error of graduated glass holds at any mark and for the difference of any two marks, so the errors at two
// marks have half their variance in common: one half is the instrument's, the other that of the mark, which values of
// one reading share where they lie at the same.
func (in *Instrument) Measure(value float64, unit quantity.Unit, reading string) quantity.Quantity {
	return in.MeasureSum([]float64{value}, unit, reading)
}

// MeasureSum returns the sum of values that were read one by one, such as the fills of a pipette, which add up to one
// reading. What each has of its own grows with the square root of their number, what they share with the number.
func (in *Instrument) MeasureSum(values []float64, unit quantity.Unit, reading string) quantity.Quantity {
	var value float64
	for _, v := range values {
		value += v
	}
	q := quantity.Exact(value, unit)
	if in == nil || !in.measures(unit) {
		return q
	}
	n := float64(len(values))
	own := quantity.Rectangular
	if n > 1 {
		own = quantity.Normal // so a sum of rectangles is soon distributed
	}
	all := []errorOf{
		{"reading:" + reading + "/step", own, quantity.Rectangular.HalfWidth(in.Step/2) * math.Sqrt(n), quantity.Known()},
		{"reading:" + reading + "/tolerance", own, quantity.Rectangular.HalfWidth(in.Tolerance) * math.Sqrt(n), quantity.Known()},
		{"reading:" + reading + "/u", quantity.Normal, in.U * math.Sqrt(n), in.DoF},
		{"instrument:" + in.ID + "/graduation", quantity.Rectangular, quantity.Rectangular.HalfWidth(in.Graduation/math.Sqrt2) * n, quantity.Known()},
		{"instrument:" + in.ID + "/offset", quantity.Rectangular, quantity.Rectangular.HalfWidth(in.Offset) * n, quantity.Known()},
	}
	for mark, times := range marks(values) {
		all = append(all, errorOf{"reading:" + spot(reading) + "/graduation/" + mark, quantity.Rectangular,
			quantity.Rectangular.HalfWidth(in.Graduation/math.Sqrt2) * times, quantity.Known()})
	}
	for _, e := range all {
		if u, err := quantity.Exact(e.u, in.Unit.Interval()).To(unit.Interval()); err == nil && e.u != 0 {
			q = q.With(quantity.Source{Name: e.name, Shape: e.shape, DoF: e.dof}, u.Value)
		}
	}
	if gain := quantity.Rectangular.HalfWidth(in.Gain) * value; gain != 0 && !math.IsInf(gain, 0) {
		q = q.With(quantity.Source{Name: "instrument:" + in.ID + "/gain", Shape: quantity.Rectangular, DoF: quantity.Known()}, gain)
	}
	return q
}

// An errorOf is a standard uncertainty of a reading, in the instrument's interval unit, with its source.
type errorOf struct {
	name  string
	shape quantity.Shape
	u     float64
	dof   float64
}

// marks counts how many of the values lie at each mark of a scale.
func marks(values []float64) map[string]float64 {
	out := make(map[string]float64, len(values))
	for _, v := range values {
		out[strconv.FormatFloat(v, 'g', 9, 64)]++
	}
	return out
}

// spot names the scale that the values of one reading are read on: "level@A" for "level.3@A".
func spot(reading string) string {
	base, vessel, ofVessel := strings.Cut(reading, "@")
	if base, _, _ = strings.Cut(base, "."); ofVessel {
		return base + "@" + vessel
	}
	return base
}

// WithInstruments returns the protocol with the lab's own instruments in place of those of the same id. text is a file
// of [instrument.NAME] blocks, file its name in errors; instruments that the protocol does not use are passed over. The
// error is of type Errors.
func (p *Protocol) WithInstruments(file string, text []byte) (*Protocol, error) {
	l := newLoader(file, text)
	if root := l.decode("the file of instruments"); root != nil {
		root.unknownKeys("lab file")
		l.instruments(root)
		for i, b := range root.named("instrument") {
			l.fitsReadings(p, l.p.Instruments[i], b.path)
		}
	}
	if err := l.errors(); err != nil {
		return nil, err
	}
	own := map[string]*Instrument{}
	for _, in := range l.p.Instruments {
		own[in.ID] = in
	}
	return p.replaced(own), nil
}

// fitsReadings reports an instrument whose unit does not fit the readings that are taken with it.
func (l *loader) fitsReadings(p *Protocol, in *Instrument, path string) {
	for _, s := range p.Stages {
		for _, r := range s.Readings {
			if r.Instrument != nil && r.Instrument.ID == in.ID && !l.broken[in] && !in.measures(r.Unit) {
				l.add(l.x.place(join(path, "unit")).value, fmt.Sprintf("instrument %q: it reads in %s, and the protocol takes %q with it in %s", in.ID, in.Unit, r.ID, r.Unit), "")
				return
			}
		}
	}
}

// replaced returns a copy of p with other instruments; what does not name an instrument is shared.
func (p *Protocol) replaced(own map[string]*Instrument) *Protocol {
	q := *p
	q.index = make(map[string]any, len(p.index))
	for name, what := range p.index {
		q.index[name] = what
	}
	q.Instruments = make([]*Instrument, len(p.Instruments))
	for i, in := range p.Instruments {
		q.Instruments[i] = in
		if mine, ok := own[in.ID]; ok {
			q.Instruments[i] = mine
		}
	}
	q.Stages = make([]*Stage, len(p.Stages))
	for i, s := range p.Stages {
		q.Stages[i] = q.stageWith(s, own)
	}
	return &q
}

// stageWith returns a copy of a stage whose readings are taken with other instruments, and indexes them.
func (p *Protocol) stageWith(s *Stage, own map[string]*Instrument) *Stage {
	c := *s
	c.Readings = make([]*Reading, len(s.Readings))
	for i, r := range s.Readings {
		rc := *r
		rc.Stage = &c
		if r.Instrument != nil {
			if mine, ok := own[r.Instrument.ID]; ok {
				rc.Instrument = mine
			}
		}
		c.Readings[i] = &rc
		p.index[r.ID] = &rc
	}
	if _, ok := p.index[s.ID+".shares"]; ok {
		p.index[s.ID+".shares"] = shares{&c}
	}
	return &c
}
