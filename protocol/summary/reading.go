package summary

import (
	"strconv"
	"strings"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
)

func givens(p *protocol.Protocol, v *run.Vessel) Givens {
	out := make(Givens, 0, len(p.Givens))
	for i, g := range p.Givens {
		row := Given{ID: g.ID, Title: title(g.Title, g.ID), Source: g.Source, IsText: g.Kind != protocol.GivenNumber}
		if v.Sheet != nil && i < len(v.Sheet.Givens) {
			switch value := v.Sheet.Givens[i]; {
			case row.IsText:
				row.Text = value.Text
			default:
				row.Value, row.Unit, row.In = number(value.Number.Value), value.Number.Unit.String(), value.Number.Unit
			}
		}
		out = append(out, row)
	}
	return out
}

func amounts(p *protocol.Protocol, v *run.Vessel) []Amount {
	out := []Amount{}
	for i, a := range p.Amounts {
		if v.Sheet == nil || i >= len(v.Sheet.Amounts) {
			break
		}
		name := title(a.Title, a.ID)
		switch value := v.Sheet.Amounts[i]; value.Kind {
		case formula.Number:
			out = append(out, amountOf(a.ID, name, value.Number))
		case formula.List, formula.Series:
			for n, q := range value.List {
				out = append(out, amountOf(nth(a.ID, n), name+", portion "+strconv.Itoa(n+1), q))
			}
		case formula.Text:
			out = append(out, Amount{ID: a.ID, Title: name, Text: value.Text})
		case formula.Truth:
			out = append(out, Amount{ID: a.ID, Title: name, Text: yesNo(value.Truth)})
		}
	}
	return out
}

func amountOf(id, title string, q quantity.Quantity) Amount {
	return Amount{ID: id, Title: title, Value: number(q.Value), Unit: q.Unit.String(), In: q.Unit}
}

func readingOf(t run.Taken) Reading {
	r := t.Reading
	unit := unitOf(r)
	out := Reading{
		ID: r.ID, Title: title(r.Title, r.ID), Kind: kinds[r.Kind], Typed: t.Typed, Text: t.Text,
		At: clock(t.At.At), ElapsedS: t.At.Elapsed.Seconds(), Unlikely: t.Unlikely, NotTaken: t.NotTaken, TakenBack: t.TakenBack, Why: t.Why,
		Corrections: make([]Correction, 0, len(t.Was)), Elapsed: t.At.Elapsed, Clock: t.At.At, IsList: r.IsList(),
	}
	if t.Entered != nil {
		out.EnteredAt, out.Entered = clock(t.Entered.At), t.Entered.At
	}
	out.Stage = r.Stage.ID
	if r.Stage.Portions > 1 {
		out.Portion = t.Portion
	}
	if isNumeric(r.Kind) {
		out.Unit, out.In = unit.String(), unit
		if !t.NotTaken {
			out.Value = number(t.Value)
		}
	}
	if r.Kind == protocol.Tick && !t.NotTaken && out.Text == "" {
		out.Text = yesNo(t.Value != 0)
	}
	for _, c := range t.Was {
		was := Correction{Typed: c.Typed, Text: c.Text, At: clock(c.At.At), Why: c.Why}
		if isNumeric(r.Kind) {
			was.Value = number(c.Value)
		}
		out.Corrections = append(out.Corrections, was)
	}
	return out
}

// kinds are the words of the protocol file.
var kinds = map[protocol.ReadingKind]string{
	protocol.Number: "number", protocol.Series: "series", protocol.Mark: "mark", protocol.Stopwatch: "stopwatch",
	protocol.Choice: "choice", protocol.FreeText: "text", protocol.Tick: "tick",
}

func isNumeric(k protocol.ReadingKind) bool {
	return k == protocol.Number || k == protocol.Series || k == protocol.Mark || k == protocol.Stopwatch
}

// unitOf returns the unit that a reading's value is kept in: marks and stopwatches are in s.
func unitOf(r *protocol.Reading) quantity.Unit {
	if r.Kind == protocol.Mark || r.Kind == protocol.Stopwatch {
		return quantity.MustUnit("s")
	}
	return r.Unit
}

// title returns what a person calls the thing: its title, or its id in words.
func title(given, id string) string {
	if given != "" {
		return given
	}
	words := strings.NewReplacer("_", " ", "-", " ").Replace(id)
	if words == "" {
		return id
	}
	return strings.ToUpper(words[:1]) + words[1:]
}

func nth(id string, n int) string { return id + "." + strconv.Itoa(n+1) }

func yesNo(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}
