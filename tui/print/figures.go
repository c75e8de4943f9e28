package print

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol/summary"
)

func (p *page) results(title string, rs []summary.Result, budget bool) {
	t := &table{Columns: []column{{Head: "Result"}, {Head: "Value", Right: true, Tight: true},
		{Head: "± (95 %)", Right: true, Tight: true}, {Head: "Unit", Tight: true}}}
	for _, r := range rs {
		value, expanded := string(r.Status), ""
		if r.Status == summary.OK {
			value, expanded = r.Quantity.Digits()
		}
		l := t.row(r.Title, value, expanded, r.Quantity.Unit.Shown())
		l.remark(r.Message)
		for _, sentence := range r.Verdicts {
			l.remark(sentence)
		}
		l.remark(r.Say)
		if s := r.Scatter; s != nil && (budget || s.Of == "replicates") {
			l.remark(together(s.Message))
		}
		if budget {
			for _, sentence := range shares(r) {
				l.remark(sentence)
			}
		}
		if r.MonteCarlo != nil {
			l.remark(together(r.MonteCarlo.Message))
		}
	}
	p.add(title, t)
}

// together keeps a line from breaking inside "u = 0.5".
func together(text string) string {
	return strings.ReplaceAll(text, "u = ", "u"+string(nbsp)+"="+string(nbsp))
}

// shares tells what would help a result's uncertainty most, and what else makes it up, from 1 % of the variance on.
func shares(r summary.Result) []string {
	if len(r.Causes) == 0 {
		return nil
	}
	said := r.Advice
	var rest []string
	for _, c := range r.Causes[1:] {
		if c.Share >= 0.01 && len(rest) < 4 {
			rest = append(rest, fmt.Sprintf("%s (%.0f%s%%)", c.Title, c.Share*100, string(nbsp)))
		}
	}
	if len(rest) > 0 {
		said += " Then: " + strings.Join(rest, ", ") + "."
	}
	if r.DegreesOfFreedom == nil {
		return []string{said}
	}
	return []string{said, fmt.Sprintf("Coverage factor %s, effective degrees of freedom %s.", quantity.Plain(*r.CoverageFactor, 3), quantity.Plain(*r.DegreesOfFreedom, 3))}
}

func (p *page) readings(s *summary.Summary, rs []summary.Reading) {
	t := &table{Columns: []column{{Head: "Since begin", Right: true, Tight: true}, {Head: "Clock", Tight: true}, {Head: "Reading"},
		{Head: "Value", Right: true}}}
	dated := s.Run.Begun != ""
	clock := func(r summary.Reading) string {
		if !dated {
			return ""
		}
		return r.Clock.In(place(s)).Format("15:04:05")
	}
	for _, r := range rs {
		if r.NotTaken {
			continue
		}
		l := t.row(since(r.Elapsed), clock(r), named(r), reading(r))
		if r.EnteredAt != "" {
			l.remark("Entered later, at " + r.Entered.In(place(s)).Format("15:04:05") + because(r.Why) + ".")
		}
		if r.Unlikely {
			l.remark("Doubtful, and kept: see the deviations.")
		}
		for _, c := range r.Corrections {
			l.remark("Corrected from " + c.Typed + because(c.Why))
		}
	}
	if !dated {
		t.drop(1)
	}
	p.add("Readings", t)
}

// drop takes a column away.
func (t *table) drop(i int) {
	t.Columns = append(t.Columns[:i:i], t.Columns[i+1:]...)
	for n := range t.Rows {
		c := t.Rows[n].Cells
		t.Rows[n].Cells = append(c[:i:i], c[i+1:]...)
	}
}

func (p *page) notTaken(rs []summary.Reading) {
	t := &table{Columns: []column{{Head: "Not taken"}, {Head: "Why"}}}
	for _, r := range rs {
		if r.NotTaken {
			l := t.row(named(r), r.Why)
			for _, c := range r.Corrections {
				l.remark("Before: " + c.Typed + because(c.Why))
			}
		}
	}
	p.add("Readings not taken", t)
}

func named(r summary.Reading) string {
	if r.IsList {
		return r.Title + ", portion " + strconv.Itoa(r.Portion)
	}
	return r.Title
}

var bare = regexp.MustCompile(`^[+-]?[0-9]+([.,][0-9]+)?$`)

// reading shows a value with the digits that were typed; what was typed in another form stands beside it.
func reading(r summary.Reading) string {
	switch {
	case r.Kind == "mark":
		return "marked"
	case r.Kind == "tick":
		return "done"
	case r.Value == nil:
		return r.Text
	}
	digits := r.Typed
	for _, unit := range []string{r.In.String(), r.In.Shown()} {
		if unit != "" && unit != "1" { // the unit 1 is not typed: that 1 is a digit
			digits = strings.TrimSpace(strings.TrimSuffix(digits, unit))
		}
	}
	if bare.MatchString(digits) {
		return strings.TrimRight(strings.Replace(digits, ",", ".", 1)+" "+r.In.Shown(), " ")
	}
	shown := figure(*r.Value, r.In)
	if r.Typed != "" {
		shown += ` (typed "` + r.Typed + `")`
	}
	return shown
}

func (p *page) amounts(as []summary.Amount) {
	t := &table{Columns: []column{{Head: "Amount"}, {Head: "Value", Right: true, Tight: true}, {Head: "Unit", Tight: true}}}
	for _, a := range as {
		if a.Value == nil {
			t.row(a.Title, a.Text, "")
			continue
		}
		t.row(a.Title, plain(*a.Value), a.In.Shown())
	}
	p.add("Amounts", t)
}

func (p *page) givens(gs summary.Givens) {
	t := &table{Columns: []column{{Head: "Given"}, {Head: "Value", Right: true, Tight: true}, {Head: "Unit", Tight: true}}}
	for _, g := range gs {
		if g.Value == nil {
			t.row(g.Title, g.Text, "")
			continue
		}
		t.row(g.Title, plain(*g.Value), g.In.Shown())
	}
	p.add("Givens", t)
}

// plain shows a figure that has no uncertainty of its own.
func plain(x float64) string { return quantity.Plain(x, 6) }

func figure(x float64, u quantity.Unit) string { return strings.TrimRight(plain(x)+" "+u.Shown(), " ") }
