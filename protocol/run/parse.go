package run

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol"
)

// maxText is the longest text reading, reason or note that is kept, in runes.
const maxText = 2000

// clean removes control characters from what was typed and cuts what is too long.
func clean(text string) string {
	text = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == unicode.ReplacementChar || unicode.Is(unicode.Cf, r) {
			return -1
		}
		return r
	}, text)
	text = strings.TrimSpace(text)
	if runes := []rune(text); len(runes) > maxText {
		return string(runes[:maxText])
	}
	return text
}

// legible cleans what was typed for a reading, and refuses it where a sign that cannot be seen stands inside: what is
// left without it may be another number.
func legible(typed string) (string, error) {
	typed = strings.TrimSpace(typed)
	before := ""
	for _, r := range typed {
		if r == unicode.ReplacementChar || unicode.IsControl(r) {
			return "", &Refusal{fmt.Sprintf("A sign that cannot be seen (%U) came in after “%s”: type it again.", r, before)}
		}
		if !unicode.Is(unicode.Cf, r) {
			before += string(r)
		}
	}
	return clean(typed), nil
}

// Quoted parts a value of several words, which stands in quotes, from what follows it; quoted is false for any other
// text.
func Quoted(text string) (value, rest string, quoted bool) {
	for _, quotes := range []string{`""`, "“”", "„“"} {
		opening, n := utf8.DecodeRuneInString(quotes)
		if inside, opened := strings.CutPrefix(text, string(opening)); opened {
			if value, rest, closed := strings.Cut(inside, quotes[n:]); closed {
				return strings.TrimSpace(value), strings.TrimSpace(rest), true
			}
		}
	}
	return "", text, false
}

// parsed is a typed reading, understood.
type parsed struct {
	value float64
	text  string
}

// parse reads what was typed for a reading; the error is a *Refusal that says what to type.
func parse(r *protocol.Reading, typed string) (parsed, error) {
	switch r.Kind {
	case protocol.Choice:
		return parseChoice(r, typed)
	case protocol.FreeText:
		if typed == "" {
			return parsed{}, &Refusal{"Type a word or more for " + r.Title + "."}
		}
		return parsed{text: typed}, nil
	case protocol.Stopwatch:
		return parseStopwatch(r, typed)
	case protocol.Tick:
		switch strings.ToLower(typed) {
		case "", "1", "y", "yes", "done":
			return parsed{value: 1}, nil
		}
		return parsed{}, &Refusal{r.Title + " is a tick: an empty line says that it is done."}
	case protocol.Mark:
		return parsed{}, &Refusal{r.Title + " is a moment: an empty line marks it now."}
	}
	return parseNumber(r, typed)
}

func parseNumber(r *protocol.Reading, typed string) (parsed, error) {
	q, err := quantity.ParseReading(typed, r.Unit)
	var twice *quantity.AmbiguousError
	switch {
	case errors.As(err, &twice):
		return parsed{}, &Refusal{fmt.Sprintf("%s can be read as %s or as %s: type the one that is meant.", twice.Text, twice.Write[0], twice.Write[1])}
	case err != nil:
		return parsed{}, &Refusal{err.Error() + "."}
	case q.Value < 0 && r.Unit.Fits(quantity.MustUnit("g")):
		return parsed{}, &Refusal{fmt.Sprintf("%s cannot be %s %s: is the balance tared with the vessel still on it?", r.Title, quantity.Plain(q.Value, 8), r.Unit.Shown())}
	case q.Value < 0 && r.Unit.Fits(quantity.MustUnit("mL")):
		return parsed{}, &Refusal{fmt.Sprintf("%s cannot be less than nothing.", r.Title)}
	case q.Impossible() != "":
		return parsed{}, &Refusal{fmt.Sprintf("%s: %s.", r.Title, q.Impossible())}
	}
	return parsed{value: q.Value}, nil
}

func parseChoice(r *protocol.Reading, typed string) (parsed, error) {
	if n, err := strconv.Atoi(typed); err == nil && n >= 1 && n <= len(r.Choices) {
		return parsed{value: float64(n), text: r.Choices[n-1]}, nil
	}
	for i, c := range r.Choices {
		if strings.EqualFold(c, typed) {
			return parsed{value: float64(i + 1), text: c}, nil
		}
	}
	words := make([]string, len(r.Choices))
	for i, c := range r.Choices {
		words[i] = fmt.Sprintf("%d %s", i+1, c)
	}
	return parsed{}, &Refusal{fmt.Sprintf("%s: %q is none of them; type a number: %s.", r.Title, typed, strings.Join(words, ", "))}
}

// parseStopwatch takes 5:00, 1:02:03 and 183.2; a bare number is in seconds, and a unit of time may follow.
func parseStopwatch(r *protocol.Reading, typed string) (parsed, error) {
	if !strings.Contains(typed, ":") {
		q, err := quantity.ParseReading(typed, seconds)
		if err != nil || q.Value < 0 {
			return parsed{}, &Refusal{fmt.Sprintf("%s: %q is no duration; type 5:00 or seconds.", r.Title, typed)}
		}
		return parsed{value: q.Value}, nil
	}
	d, ok := ParseHms(typed)
	if !ok {
		return parsed{}, &Refusal{fmt.Sprintf("%s: %q is no duration; type minutes and seconds such as 5:00.", r.Title, typed)}
	}
	return parsed{value: d.Seconds()}, nil
}

// ParseHms reads m:ss or h:mm:ss; the seconds may have decimals.
func ParseHms(text string) (time.Duration, bool) {
	parts := strings.Split(strings.Replace(text, ",", ".", 1), ":")
	if len(parts) < 2 || len(parts) > 3 {
		return 0, false
	}
	var total float64
	for i, p := range parts {
		f, err := strconv.ParseFloat(p, 64)
		last := i == len(parts)-1
		if err != nil || f < 0 || math.IsInf(f, 0) || math.IsNaN(f) || (i > 0 && f >= 60) || (!last && f != math.Trunc(f)) || f > 1e6 {
			return 0, false
		}
		total = total*60 + f
	}
	return time.Duration(math.Round(total*1000)) * time.Millisecond, true
}
