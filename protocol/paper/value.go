package paper

import (
	"fmt"
	"strings"
	"unicode"

	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
)

// A value is what a row gives: number for numbers and durations (in s), text for words.
type value struct {
	number float64
	text   string
}

// read reads a row's value as the reading wants it.
func (r *reader) read(w row, p *protocol.Reading) (value, bool) {
	if w.value == "" && p.Kind != protocol.Mark {
		r.fault(w.line, expects(p), "%s has no value", p.ID)
		return value{}, false
	}
	switch p.Kind {
	case protocol.Number, protocol.Series:
		return r.number(w, p.ID, p.Unit)
	case protocol.Stopwatch:
		if d, ok := run.ParseHms(w.value); ok && w.unit == "" {
			return value{number: d.Seconds()}, true
		}
		return r.number(w, p.ID, quantity.MustUnit("s"))
	case protocol.Choice:
		return r.choice(w, p)
	case protocol.Tick:
		return r.tick(w, p)
	case protocol.Mark:
		return value{}, true // its time is all it has
	}
	if w.unit != "" && p.Kind == protocol.FreeText {
		r.fault(w.line, "an empty unit", "%s is a text and has no unit, found %q", p.ID, w.unit)
		return value{}, false
	}
	return value{text: visible(w.value)}, true
}

// number reads a value in the unit that is asked for; the unit column converts.
func (r *reader) number(w row, id string, unit quantity.Unit) (value, bool) {
	text := w.value
	if strings.ContainsFunc(text, unseen) {
		r.fault(w.line, "the number anew", "%s: %q has a sign in it that cannot be seen", id, text)
		return value{}, false
	}
	if w.unit != "" {
		if last := text[len(text)-1]; (last < '0' || last > '9') && last != '.' && last != ',' {
			r.fault(w.line, "the number alone beside its unit", "%s: %q is no bare number, and the unit column has %q", id, text, w.unit)
			return value{}, false
		}
		// A conversion tidies the number; one that needs none keeps every digit.
		if u, err := quantity.ParseUnit(w.unit); err != nil || u != unit {
			text += " " + w.unit
		}
	}
	q, err := quantity.ParseReading(text, unit)
	if err != nil {
		r.fault(w.line, "", "%s: %v", id, err)
		return value{}, false
	}
	if q.Value < 0 && (unit.Fits(quantity.MustUnit("g")) || unit.Fits(quantity.MustUnit("mL"))) {
		r.fault(w.line, "", "%s: %s cannot be less than nothing", id, q.Text())
		return value{}, false
	}
	if why := q.Impossible(); why != "" {
		r.fault(w.line, "", "%s: %s", id, why)
		return value{}, false
	}
	return value{number: q.Value}, true
}

func (r *reader) choice(w row, p *protocol.Reading) (value, bool) {
	for i, c := range p.Choices {
		if strings.EqualFold(c, w.value) {
			return value{float64(i + 1), c}, true
		}
	}
	r.fault(w.line, oneOf(p.Choices), "%s: %q is none of its choices", p.ID, w.value)
	return value{}, false
}

// tick counts a reading that was done; one that was not leaves the number 0.
func (r *reader) tick(w row, p *protocol.Reading) (value, bool) {
	switch strings.ToLower(w.value) {
	case "yes", "y", "1", "x", "true", "done":
		return value{number: 1}, true
	case "no", "n", "0", "false":
		return value{}, true
	}
	r.fault(w.line, "yes or no", "%s: %q is neither yes nor no", p.ID, w.value)
	return value{}, false
}

// expects tells what to write for a reading that has no value.
func expects(p *protocol.Reading) string {
	switch p.Kind {
	case protocol.Choice:
		return oneOf(p.Choices)
	case protocol.Tick:
		return "yes or no"
	case protocol.FreeText:
		return "a text, or leave the row out"
	case protocol.Stopwatch:
		return "minutes and seconds such as 7:30, or leave the row out"
	}
	return "a number in " + unitName(p.Unit) + ", or leave the row out"
}

func unitName(u quantity.Unit) string {
	if u == quantity.One {
		return "1"
	}
	return u.String()
}

func oneOf(words []string) string {
	if len(words) == 0 {
		return "one of its choices"
	}
	if len(words) == 1 {
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

// unseen tells a sign that leaves no mark on paper or screen: without it a number may be another one.
func unseen(c rune) bool { return unicode.IsControl(c) && c != '\t' }

// visible drops what a terminal would act on.
func visible(text string) string {
	return strings.Map(func(c rune) rune {
		if unicode.IsControl(c) {
			return ' '
		}
		return c
	}, text)
}

// typed is the value as it stood on the sheet.
func (w row) typed() string {
	return visible(strings.TrimSpace(fmt.Sprintf("%s %s", w.value, w.unit)))
}
