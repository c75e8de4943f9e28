package protocol

import (
	"fmt"

	"example.org/meniscus/calc/quantity"
)

// kindNames are the kinds of a reading as the file spells them, in the order of ReadingKind.
var kindNames = []string{"number", "series", "mark", "stopwatch", "choice", "text", "tick"}

// String returns the kind as a protocol file spells it.
func (k ReadingKind) String() string { return kindNames[k] }

func (t *table) readings(s *Stage, here scope) {
	paths, keys := t.blocks("reading", "[[stage.reading]]")
	for i := range keys {
		t.l.reading(paths[i], i+1, keys[i], s, here)
	}
}

func (l *loader) reading(path string, number int, keys map[string]any, s *Stage, here scope) {
	t := l.table(path, "reading", labelOf("reading", number, keys), keys)
	r := &Reading{ID: t.id(nameID), Stage: s, Needed: t.flag("needed"), Shared: t.flag("shared")}
	r.Title = t.title(r.ID)
	kind, kindOK := t.oneOf("kind", kindNames...)
	r.Kind = ReadingKind(kind)
	if n, ok := t.whole("portion", 1, s.Portions); ok {
		r.Portion = n
	}
	t.record()
	r.Say = t.sayIn("say", here)
	if n, ok := t.whole("points", 1, 10000); ok {
		if r.Points = n; r.Kind != Series {
			t.faultAt("points", fmt.Sprintf("points goes with kind = \"series\", and this is a %s", r.Kind), "")
		}
	}
	d := l.declare(t, r.ID, "reading", r)
	s.Readings = append(s.Readings, r)
	if !kindOK {
		d.broken = true
		return
	}
	d.broken = !t.unitOf(r)
	t.instrumentOf(r, !d.broken)
	if r.Kind == Choice {
		r.Choices = t.choices()
	} else if t.has("choices") {
		t.faultAt("choices", fmt.Sprintf("choices goes with kind = \"choice\", and this is a %s", r.Kind), "")
	}
	t.expectOf(r, here, !d.broken)
	t.rateOf(r, here, !d.broken)
	t.aimOf(r, here, !d.broken)
	t.fillOf(r, here, !d.broken)
	t.phaseOf(r, s)
}

// rateOf reads how fast a series is expected to change.
func (t *table) rateOf(r *Reading, here scope, unitOK bool) {
	if !t.has("rate") {
		return
	}
	if r.Kind != Series {
		t.faultAt("rate", fmt.Sprintf("rate goes with kind = \"series\", and this is a %s", r.Kind), "")
		return
	}
	ends := t.ends("rate")
	if ends == nil || !unitOK {
		return
	}
	t.l.later = append(t.l.later, func() {
		unit, err := r.RateUnit()
		if err != nil {
			t.faultAt("rate", "the unit of this reading has no rate: "+err.Error(), "")
			return
		}
		r.Fall, r.Rise = t.l.bound(ends[0], here, unit, false), t.l.bound(ends[1], here, unit, false)
		t.l.boundsInOrder(ends[0], r.Fall, r.Rise)
	})
}

// aimOf reads the value that a series is to reach.
func (t *table) aimOf(r *Reading, here scope, unitOK bool) {
	w, ok := t.words("aim")
	switch {
	case !t.has("aim"):
	case r.Kind != Series:
		t.faultAt("aim", fmt.Sprintf("aim goes with kind = \"series\", and this is a %s", r.Kind), "")
	case ok && unitOK:
		t.l.later = append(t.l.later, func() { r.Aim = t.l.bound(w, here, r.Unit, false) })
	}
}

func (t *table) fillOf(r *Reading, here scope, unitOK bool) {
	w, ok := t.words("fill")
	switch {
	case !t.has("fill"):
	case r.Kind != Number:
		t.faultAt("fill", fmt.Sprintf("fill goes with a number, and this is a %s", r.Kind), "")
	case ok && unitOK:
		t.l.later = append(t.l.later, func() { r.Fill = t.l.bound(w, here, r.Unit, r.Stage.Portions > 1) })
	}
}

// unitOf reads the unit of what is a number; false when it is missing or wrong.
func (t *table) unitOf(r *Reading) bool {
	switch r.Kind {
	case Number, Series:
		var ok bool
		r.Unit, ok = t.unit("g")
		return ok
	case Mark:
		r.Unit = quantity.MustUnit("min")
	case Stopwatch:
		r.Unit = quantity.MustUnit("s")
	}
	if t.has("unit") {
		t.faultAt("unit", fmt.Sprintf("a %s has no unit of its own", r.Kind), "")
	}
	return true
}

func (t *table) instrumentOf(r *Reading, unitOK bool) {
	name := t.text("instrument")
	if name == "" {
		return
	}
	if r.Kind != Number && r.Kind != Series && r.Kind != Stopwatch {
		t.faultAt("instrument", fmt.Sprintf("a %s is taken without an instrument", r.Kind), "")
		return
	}
	var ids []string
	for _, in := range t.l.p.Instruments {
		if in.ID == name {
			r.Instrument = in
		}
		ids = append(ids, in.ID)
	}
	if r.Instrument == nil {
		remedy := "[instrument." + name + "] at the top of the file"
		if meant := Nearest(name, ids); meant != "" {
			remedy = fmt.Sprintf("instrument = %q", meant)
		}
		t.faultAt("instrument", fmt.Sprintf("there is no instrument %q", name), remedy)
		return
	}
	if unitOK && !t.l.broken[r.Instrument] && !r.Instrument.measures(r.Unit) {
		t.faultAt("instrument", fmt.Sprintf("the instrument %q reads in %s, which does not fit %s", name, r.Instrument.Unit, r.Unit), "")
	}
}

// measures tells whether a reading in a unit can be taken with the instrument.
func (in *Instrument) measures(u quantity.Unit) bool {
	return in.Unit.Fits(u) && in.Unit.IsTemperature() == u.IsTemperature()
}

func (t *table) expectOf(r *Reading, here scope, unitOK bool) {
	if !t.has("expect") {
		return
	}
	switch r.Kind {
	case Choice, FreeText, Tick:
		t.faultAt("expect", fmt.Sprintf("a %s is no number, so there is no range to expect", r.Kind), "")
		return
	}
	ends := t.ends("expect")
	if ends == nil || !unitOK {
		return
	}
	t.l.later = append(t.l.later, func() {
		list := r.Stage.Portions > 1
		r.Low, r.High = t.l.bound(ends[0], here, r.Unit, list), t.l.bound(ends[1], here, r.Unit, list)
		t.l.boundsInOrder(ends[0], r.Low, r.High)
	})
}

// boundsInOrder compares two limits where both are plain quantities.
func (l *loader) boundsInOrder(w words, low, high *Bound) {
	if low != nil && high != nil && low.Formula == nil && high.Formula == nil {
		l.inOrder(w, &low.Quantity, &high.Quantity)
	}
}

// phaseOf finds out when the reading is taken.
func (t *table) phaseOf(r *Reading, s *Stage) {
	r.Step = max(0, len(s.Steps)-1)
	switch {
	case r.Kind == Series && s.Clock != nil, !s.HasHands():
		r.Phase = WaitPhase
	}
	when, ok := t.oneOf("when", "hands", "wait", "end")
	if ok && t.has("when") {
		r.Phase = Phase(when)
	}
	if t.has("step") {
		if t.has("when") {
			t.faultAt("when", "when stands beside step: a reading has one of them", "")
		}
		r.Phase = HandsPhase
		if n, ok := t.whole("step", 1, max(1, len(s.Steps))); ok {
			r.Step = n - 1
		}
	}
	t.phaseFits(r, s)
}

func (t *table) phaseFits(r *Reading, s *Stage) {
	key := "id"
	for _, k := range []string{"kind", "when", "step"} {
		if t.has(k) {
			key = k
		}
	}
	portion := r.Portion
	if portion == 0 {
		portion = s.Portions
	}
	switch {
	case r.Shared && r.Phase == EndPhase:
		t.faultAt("shared", "a shared reading belongs to a step or to a wait, not to the end of a stage", "")
	case r.Kind == Series && (s.Clock == nil || r.Phase != WaitPhase):
		t.faultAt(key, "a series is taken while a clock runs", `kind = "number", or a clock for the stage and when = "wait"`)
	case r.Phase == WaitPhase && s.Clock == nil:
		t.faultAt(key, "the stage has no clock, so there is no wait to take a reading in", `when = "end"`)
	case r.Phase == HandsPhase && !s.HasHands():
		t.faultAt(key, "the stage has a clock and no hands time, so its steps are done while the clock runs", `hands = "1 min" for the stage, or when = "wait"`)
	case r.Phase == WaitPhase && r.Kind != Series && !s.WaitsAfter(portion):
		t.faultAt(key, fmt.Sprintf("no clock runs after portion %d, so this reading would never be taken", portion), `wait_last = true for the stage, or when = "end"`)
	}
}
