package tui

import (
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
)

const sayWhen = "Say when as @10:42 by the wall clock, or @-5 for five minutes ago; then the value, or the reading's name and the value."

// late reads "10:42 53.9", "10:42 NAME 53.9" and "10:42 NAME 53.9 WHY", which follow an @: a reading that was read at
// an earlier time.
func (o *Operator) late(c run.Command, rest string) (run.Command, string) {
	when, typed, _ := strings.Cut(rest, " ")
	at, ok := o.moment(when)
	if !ok {
		return c, sayWhen
	}
	take := run.Take{Typed: strings.TrimSpace(typed), TypedAt: at, Late: true}
	take.Reading, take.Typed = o.named(take.Typed)
	c.Do = take
	return c, ""
}

// A Name is what a reading is called in a typed line, and on the screen.
type Name struct{ ID, Title string }

// Names returns the names of what the vessel in hand has read, or has not taken, in the order of the first time; after
// its end also of what it missed, which can still be entered.
func (o *Operator) Names() []Name {
	var names []Name
	add := func(r *protocol.Reading) {
		if n := (Name{r.ID, r.Title}); !slices.Contains(names, n) {
			names = append(names, n)
		}
	}
	v := o.Engine.State.Vessel(o.Vessel)
	for _, t := range v.Taken {
		add(t.Reading)
	}
	if o.Engine.State.Ended != nil {
		for _, st := range o.Engine.State.Protocol.Stages[:min(v.Stage+1, len(o.Engine.State.Protocol.Stages))] {
			for i := range st.Readings {
				add(st.Readings[i])
			}
		}
	}
	return names
}

// NamesAre tells what those names are of, after the vessel's letter.
func (o *Operator) NamesAre() string {
	if o.Engine.State.Ended != nil {
		return " has read or missed"
	}
	return " has read"
}

// named splits a reading's name from what follows it; the name is "" where the first word is none.
func (o *Operator) named(text string) (name, rest string) {
	first, after, _ := strings.Cut(text, " ")
	id, _, _ := strings.Cut(first, ".")
	if o.Engine.State.Protocol.Reading(id) == nil {
		return "", text
	}
	return first, strings.TrimSpace(after)
}

// correction reads "12.6 WHY", "NAME 12.6 WHY" and "NAME @10:42 WHY"; a name begins with a letter and a value does not.
// A value of several words stands in quotes.
func (o *Operator) correction(c run.Command, rest string) (run.Command, string) {
	var act run.Correct
	if r, _ := utf8.DecodeRuneInString(rest); unicode.IsLetter(r) {
		act.Reading, rest, _ = strings.Cut(rest, " ")
		rest = strings.TrimSpace(rest)
	}
	act.Typed, act.Why = parted(rest)
	if when, ok := strings.CutPrefix(act.Typed, "@"); ok {
		at, ok := o.moment(when)
		if !ok {
			return c, "Say the moment as @10:42 by the wall clock, or @-5 for five minutes ago."
		}
		act.Typed, act.At = "", &at
	}
	c.Do = act
	return c, ""
}

// parted parts a value from the reason after it.
func parted(text string) (value, why string) {
	if value, why, quoted := run.Quoted(text); quoted {
		return value, why
	}
	value, why, _ = strings.Cut(text, " ")
	return value, strings.TrimSpace(why)
}

// moment reads a time that has passed, and returns it as elapsed time: 10:42 or 10:42:30 by the clock of the place, the
// last time that it showed so while the run went on; -5 is five minutes ago. Where that clock was set to another offset
// from UTC, as when summer begins, the offset that held at the time counts, or else the only one that falls within the
// run.
func (o *Operator) moment(text string) (time.Duration, bool) {
	now := o.Engine.Now()
	if ago, ok := strings.CutPrefix(text, "-"); ok {
		m, err := strconv.ParseFloat(strings.Replace(ago, ",", ".", 1), 64)
		if err != nil || !(m >= 0 && m <= 24*60) {
			return 0, false
		}
		return now.Elapsed - time.Duration(m*float64(time.Minute)), true
	}
	layout := "15:04"
	if strings.Count(text, ":") == 2 {
		layout = "15:04:05"
	}
	clock, err := time.Parse(layout, text)
	if err != nil {
		return 0, false
	}
	if end := o.Engine.State.Ended; end != nil {
		now = end.At
	}
	zones := o.zones()
	found := lastShown(clock, now, zones[0].zone)
	for i, z := range zones {
		at := lastShown(clock, now, z.zone)
		if at >= z.from && (i == 0 || at < zones[i-1].from) {
			return at, true
		}
		if found < 0 && at >= 0 {
			found = at
		}
	}
	return found, true
}

// A zoneFrom is an offset from UTC that the place's clock had, and since when.
type zoneFrom struct {
	zone string
	from time.Duration
}

// zones are the offsets from UTC that the place's clock had during the run, the newest first.
func (o *Operator) zones() []zoneFrom {
	s := o.Engine.State
	out := []zoneFrom{{zone: s.Zone}}
	for _, b := range s.Breaks {
		if f, ok := b.What.(run.ZoneChanged); ok {
			out = append(out, zoneFrom{f.Zone, b.At.Elapsed})
		}
	}
	if out[len(out)-1].zone != s.Here { // it changed while nobody was at the run
		out = append(out, zoneFrom{s.Here, s.Returned})
	}
	slices.Reverse(out)
	return out
}

// lastShown is the elapsed time at which a clock of a zone showed a time last.
func lastShown(clock time.Time, now run.Moment, zone string) time.Duration {
	here := now.At.In(run.Place(zone))
	at := time.Date(here.Year(), here.Month(), here.Day(), clock.Hour(), clock.Minute(), clock.Second(), 0, here.Location())
	if at.After(here) {
		at = at.AddDate(0, 0, -1)
	}
	return now.Elapsed - here.Sub(at)
}
