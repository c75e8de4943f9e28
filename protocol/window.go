package protocol

import (
	"fmt"
	"time"

	"example.org/meniscus/calc/quantity"
)

// maxDuration is more than any wait at a bench.
const maxDuration = 31 * 24 * time.Hour

// duration reads a time such as "45 s"; example is the unit that a message suggests.
func (t *table) duration(key, example string) (time.Duration, bool) {
	if _, bare := asNumber(t.get(key)); bare {
		t.faultAt(key, fmt.Sprintf("%s = %s has no unit", key, t.raw(key)), fmt.Sprintf("%s = \"%[2]s min\" or %[1]s = \"%[2]s s\"", key, t.raw(key)))
		return 0, false
	}
	q, ok := t.quantity(key, example)
	if !ok {
		return 0, false
	}
	seconds, err := q.To(quantity.MustUnit("s"))
	if err != nil {
		t.faultAt(key, fmt.Sprintf("%s = %s is no time", key, t.raw(key)), fmt.Sprintf("%s = %q", key, quantity.Plain(q.Value, 6)+" "+example))
		return 0, false
	}
	switch {
	case seconds.Value < 0:
		t.faultAt(key, fmt.Sprintf("%s = %s is negative", key, t.raw(key)), "a positive time")
		return 0, false
	case seconds.Value > maxDuration.Seconds():
		t.faultAt(key, fmt.Sprintf("%s = %s is more than 31 days", key, t.raw(key)), "a shorter time")
		return 0, false
	}
	return time.Duration(seconds.Value*1e3+0.5) * time.Millisecond, true
}

// positive is duration for a time that is not zero; 0 where there is none.
func (t *table) positive(key, example string) time.Duration {
	d, ok := t.duration(key, example)
	if ok && d == 0 {
		t.faultAt(key, fmt.Sprintf("%s = %s is no time at all", key, t.raw(key)), "a time of 1 ms or more")
	}
	return d
}

// window reads { at_least, aim, at_most }; one time alone is the aim.
func (t *table) window(key, example string) Window {
	keys, ok := t.get(key).(map[string]any)
	if !ok {
		return Window{Aim: t.positive(key, example)}
	}
	w := t.l.table(t.pathOf(key), "window", t.label+", "+key, keys)
	if len(keys) == 0 {
		t.faultAt(key, key+" says no time", fmt.Sprintf(`%s = { aim = "10 %s" }`, key, example))
		return Window{}
	}
	var out Window
	out.AtLeast, _ = w.duration("at_least", example) // none is as good as "0 s"
	out.Aim = w.positive("aim", example)
	out.AtMost = w.positive("at_most", example)
	w.ascending("at_least", out.AtLeast, "aim", out.Aim)
	w.ascending("aim", out.Aim, "at_most", out.AtMost)
	if out.Aim == 0 {
		w.ascending("at_least", out.AtLeast, "at_most", out.AtMost)
	}
	return out
}

// ascending reports two times of which the first should not be the longer one.
func (t *table) ascending(a string, x time.Duration, b string, y time.Duration) {
	if x > 0 && y > 0 && x > y {
		t.faultAt(a, fmt.Sprintf("%s = %s is longer than %s = %s", a, t.raw(a), b, t.raw(b)), a+" up to "+b)
	}
}

// reminders reads one reminder or a list of them.
func (t *table) reminders(s *Stage, here scope) {
	paths, keys := t.blocks("remind", `remind = { every = "3 min", say = "…" }`)
	for i := range keys {
		r := t.l.table(paths[i], "reminder", t.label+", remind", keys[i])
		if !r.has("every") {
			r.missing("every", `every = "3 min"`)
		}
		r.required("say", "what to do")
		m := Reminder{Say: r.sayIn("say", here)}
		m.Every = r.positive("every", "min")
		m.Takes = r.positive("takes", "s")
		m.From, _ = r.duration("from", "min")
		m.Until = r.positive("until", "min")
		if m.Until > 0 && m.From >= m.Until {
			r.faultAt("until", fmt.Sprintf("until = %s is not after from = %s", r.raw("until"), r.raw("from")), "a later time")
		}
		if m.Reading = r.text("reading"); m.Reading != "" {
			t.l.later = append(t.l.later, func() { r.remindsOf(s, m.Reading) })
		}
		s.Reminders = append(s.Reminders, m)
	}
}

// remindsOf checks that a reminder's reading is one of its own stage.
func (t *table) remindsOf(s *Stage, id string) {
	ids := make([]string, 0, len(s.Readings))
	for _, r := range s.Readings {
		if r.ID == id {
			t.l.used[id] = true
			return
		}
		ids = append(ids, r.ID)
	}
	remedy := ""
	if meant := Nearest(id, ids); meant != "" {
		remedy = fmt.Sprintf("reading = %q", meant)
	}
	t.faultAt("reading", fmt.Sprintf("reading = %q is no reading of this stage", id), remedy)
}
