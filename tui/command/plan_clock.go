package command

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"example.org/meniscus/protocol/plan"
)

const (
	aDay = 24 * time.Hour
	// aNight is how long after the start a time of the next day may be. What lies further off was meant for the same day,
	// and is before the start by mistake.
	aNight = 18 * time.Hour
)

// read takes the times and places from what was typed.
func (a *planning) read() (plan.Options, error) {
	o := plan.Options{Operators: a.operators, Brisk: a.brisk}
	if a.operators < 1 || a.operators > 99 {
		return o, wrong("--operators is %d; write a number from 1 to 99", a.operators)
	}
	if a.startSaid && a.start == "" {
		return o, wrong("--start is empty; write it as --start 09:30, or leave it out")
	}
	if a.untilSaid && a.until == "" {
		return o, wrong("--until is empty; write it as --until 12:00, or leave it out")
	}
	var err error
	if a.start != "" {
		if a.begin, err = clockTime("--start", a.start); err != nil {
			return o, err
		}
	}
	if a.until != "" {
		until, err := clockTime("--until", a.until)
		if err != nil {
			return o, err
		}
		if a.end = a.after(until); a.end <= 0 || until <= a.begin && a.end > aNight {
			return o, wrong("--until %s is not after the start at %s; write a later time, or one of the next day that is less than"+
				" 18 hours after the start", a.until, hhmm(a.begin))
		}
	}
	if o.Places, err = readPlaces(a.places); err != nil {
		return o, err
	}
	for _, text := range a.breaks {
		b, err := a.readBreak(text)
		if err != nil {
			return o, err
		}
		o.Breaks = append(o.Breaks, b)
	}
	return o, nil
}

// after returns how long after the start a time of day comes next. Without a time of day for the start, it counts from the
// start itself.
func (a *planning) after(at time.Duration) time.Duration {
	if a.start != "" && at <= a.begin {
		at += aDay
	}
	return at - a.begin
}

// readPlaces reads how often each resource is there.
func readPlaces(texts []string) ([]plan.Place, error) {
	var out []plan.Place
	for i, text := range texts {
		name, count, ok := strings.Cut(text, "=")
		name = strings.TrimSpace(name)
		n, err := strconv.Atoi(strings.TrimSpace(count))
		if !ok || err != nil || n < 1 || n > 999 || name == "" {
			return nil, wrong("--place %q sets nothing; write --place bath=3, with a number from 1 to 999", text)
		}
		for k, before := range out {
			if before.Resource == name {
				return nil, wrong("--place %s is said twice, as %s and as %s; write the one that is meant", name, texts[k], texts[i])
			}
		}
		out = append(out, plan.Place{Resource: name, Places: n})
	}
	return out, nil
}

// readBreak reads a break. One that goes on at the start ends as it says, one that is over by then comes on the next day.
func (a *planning) readBreak(text string) (plan.Interval, error) {
	first, last, whole := strings.Cut(text, "-")
	if !whole || strings.TrimSpace(last) == "" {
		return plan.Interval{}, wrong("--break %q has no end; write --break 12:00-12:30", text)
	}
	from, err := clockTime("--break "+text, first)
	if err != nil {
		return plan.Interval{}, err
	}
	to, err := clockTime("--break "+text, last)
	if err != nil {
		return plan.Interval{}, err
	}
	if to == from {
		return plan.Interval{}, wrong("--break %s is no time at all; write --break 12:00-12:30", text)
	}
	if to < from && a.start != "" && to+aDay-from <= aNight { // over midnight
		to += aDay
	}
	if to < from {
		return plan.Interval{}, wrong("--break %s ends before it begins; write --break 12:00-12:30; one over midnight needs --start, and"+
			" is less than 18 hours long", text)
	}
	switch {
	case a.start == "":
	case to-aDay > a.begin: // it began yesterday and goes on
		from, to = from-aDay, to-aDay
	case to <= a.begin:
		from, to = from+aDay, to+aDay
		a.moved = append(a.moved, fmt.Sprintf("--break %s is over at the start at %s: it is taken for the next day", text, hhmm(a.begin)))
	}
	return plan.Interval{From: max(from-a.begin, 0), To: to - a.begin}, nil
}

var timeOfDay = regexp.MustCompile(`^([01]?[0-9]|2[0-3]):([0-5][0-9])$`)

// clockTime reads hours and minutes.
func clockTime(flag, text string) (time.Duration, error) {
	found := timeOfDay.FindStringSubmatch(strings.TrimSpace(text))
	if found == nil {
		return 0, wrong("%s: %q is no time of day from 00:00 to 23:59; write it as 09:30", flag, text)
	}
	hours, _ := strconv.Atoi(found[1])
	minutes, _ := strconv.Atoi(found[2])
	return time.Duration(hours)*time.Hour + time.Duration(minutes)*time.Minute, nil
}

func hhmm(t time.Duration) string {
	m := int(t / time.Minute)
	return fmt.Sprintf("%02d:%02d", m/60, m%60)
}
