package print

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol/summary"
)

func (p *page) results(title string, rs []summary.Result, s *summary.Summary, budget bool) {
	t := &table{Columns: []column{{Head: "Result"}, {Head: "Value", Right: true, Tight: true},
		{Head: "± (95 %)", Right: true, Tight: true}, {Head: "Unit", Tight: true}}}
	for _, r := range rs {
		value, expanded := string(r.Status), ""
		if r.Status == summary.OK {
			value, expanded = r.Quantity.Digits()
		}
		l := t.row(r.Title, value, expanded, r.Quantity.Unit.Shown())
		l.remark(r.Message)
		l.remark(r.Say)
		if budget {
			for _, sentence := range shares(r, s) {
				l.remark(sentence)
			}
		}
	}
	p.add(title, t)
}

// shares tells which source dominates a result, and the others that matter: from 1 % of the variance on.
func shares(r summary.Result, s *summary.Summary) []string {
	if len(r.Budget) == 0 {
		return nil
	}
	percent := func(b summary.Share) string { return strconv.Itoa(int(math.Round(b.Share*100))) + string(nbsp) + "%" }
	out := []string{fmt.Sprintf("Uncertainty mostly from %s, %s of the variance", source(r.Budget[0].Source, s), percent(r.Budget[0]))}
	var rest []string
	for _, b := range r.Budget[1:] {
		if b.Share >= 0.01 && len(rest) < 4 {
			rest = append(rest, percent(b)+" "+source(b.Source, s))
		}
	}
	if len(rest) > 0 {
		out[0] += "; then " + strings.Join(rest, ", ")
	}
	out[0] += "."
	if r.DegreesOfFreedom != nil {
		out = append(out, fmt.Sprintf("Coverage factor %s, effective degrees of freedom %s.", quantity.Plain(*r.CoverageFactor, 3), quantity.Plain(*r.DegreesOfFreedom, 3)))
	}
	return out
}

// aspects are what a source of uncertainty is of its instrument or reading.
var aspects = map[string]string{"step": "smallest step", "tolerance": "tolerance", "u": "uncertainty", "offset": "shared offset", "gain": "shared gain"}

// source names a source of uncertainty in words: "shared offset of Top-pan balance".
func source(name string, s *summary.Summary) string {
	kind, rest, ok := strings.Cut(name, ":")
	if !ok {
		return name
	}
	id, aspect, _ := strings.Cut(rest, "/")
	id, vessel, ofVessel := strings.Cut(id, "@")
	title := id
	switch kind {
	case "instrument":
		for _, in := range s.Instruments {
			if in.ID == id && in.Title != "" {
				title = in.Title
			}
		}
	case "reading", "given":
		title = titleOf(kind, id, s)
	default:
		return kind + " value, " + strings.NewReplacer("_", " ", ":", " ", "/", " ").Replace(rest)
	}
	if word, known := aspects[aspect]; known {
		title = word + " of " + title
	} else if aspect != "" {
		title = aspect + " of " + title
	}
	if ofVessel {
		title += " in " + vessel
	}
	return title
}

// titleOf returns the title of a reading or given; the nth value of a reading has it as ID.n.
func titleOf(kind, id string, s *summary.Summary) string {
	base, n, many := strings.Cut(id, ".")
	for _, v := range s.Vessels {
		for _, g := range v.Givens {
			if kind == "given" && g.ID == id {
				return g.Title
			}
		}
		for _, r := range v.Readings {
			if kind == "reading" && r.ID == base {
				if many {
					return r.Title + " " + n
				}
				return r.Title
			}
		}
	}
	return id
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
		if r.Unlikely {
			l.remark("Outside what was expected, and kept.")
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
			t.row(named(r), r.Why)
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
		digits = strings.TrimSpace(strings.TrimSuffix(digits, unit))
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
