package print

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"sort"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf16"

	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol/summary"
)

// JSON writes a summary as one object, indented, at full precision. What a terminal would act on is escaped, so that
// the texts are the run's own to the last character.
func JSON(w io.Writer, s *summary.Summary) error {
	text, err := json.MarshalIndent(s, "", "  ")
	if err != nil {
		return err
	}
	_, err = io.WriteString(w, escaped(string(text))+"\n")
	return err
}

// escaped writes controls and direction marks of JSON, which stand in its strings only, as JSON escapes them.
func escaped(text string) string {
	var b strings.Builder
	for _, r := range text {
		switch {
		case r == '\n' || !unicode.Is(unicode.C, r):
			b.WriteRune(r)
		case r > 0xffff:
			high, low := utf16.EncodeRune(r)
			fmt.Fprintf(&b, `\u%04x\u%04x`, high, low)
		default:
			fmt.Fprintf(&b, `\u%04x`, r)
		}
	}
	return b.String()
}

// CSV writes the readings of a run as a table, with the header vessel,reading,value,unit,at: for each vessel its
// givens, then its readings in order of time, each with its newest value at full precision. What was not taken is left
// out.
func CSV(w io.Writer, s *summary.Summary) error {
	out := csv.NewWriter(w)
	_ = out.Write([]string{"vessel", "reading", "value", "unit", "at"})
	for _, v := range s.Vessels {
		for _, g := range v.Givens {
			value := g.Text
			if g.Value != nil {
				value = exact(*g.Value)
			}
			if value == "" {
				continue
			}
			_ = out.Write(disarmed(v.Label, g.ID, value, g.Unit, stamp(s, 0)))
		}
		taken := append([]summary.Reading{}, v.Readings...)
		sort.SliceStable(taken, func(i, j int) bool { return taken[i].Elapsed < taken[j].Elapsed })
		next := map[string]int{} // by reading: the portion before the one that a plain name stands for
		for _, r := range taken {
			if r.NotTaken {
				continue
			}
			if next[r.ID]++; r.IsList && r.Portion != next[r.ID] {
				next[r.ID] = r.Portion
				r.ID += "." + strconv.Itoa(r.Portion)
			}
			_ = out.Write(readingRow(s, v.Label, r))
		}
	}
	out.Flush()
	return out.Error()
}

func readingRow(s *summary.Summary, vessel string, r summary.Reading) []string {
	value, unit := r.Text, r.Unit
	switch {
	case r.Kind == "mark": // its time is all it has
		value, unit = "", ""
	case r.Kind == "tick":
		value = "yes"
	case r.Value != nil:
		value = exact(*r.Value)
	}
	return disarmed(vessel, r.ID, value, unit, stamp(s, r.Elapsed))
}

// exact shows every digit that x has.
func exact(x float64) string { return quantity.Plain(x, -1) }

// stamp is a moment on the run's own clock, counted from its begin; minutes where the run has no date.
func stamp(s *summary.Summary, since time.Duration) string {
	if s.Run.Begun == "" {
		return exact(since.Minutes())
	}
	return s.Run.Start.Add(since).UTC().Format("2006-01-02T15:04:05.000Z")
}

// disarmed puts an apostrophe before what a spreadsheet would take for a formula, and before an apostrophe that only
// looks like one of these.
func disarmed(cells ...string) []string {
	for i, c := range cells {
		c = visible(c)
		bare := strings.TrimLeft(c, "' ")
		if bare != "" && strings.ContainsRune("=+-@", rune(bare[0])) {
			if _, err := strconv.ParseFloat(c, 64); err != nil {
				c = "'" + c
			}
		}
		cells[i] = c
	}
	return cells
}
