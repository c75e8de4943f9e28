package print

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol/comparison"
	"example.org/meniscus/protocol/summary"
)

// mostColumns is how many varied givens have a column each; more stand in one cell.
const mostColumns = 3

// CompareText writes a comparison as a page of text, as Text writes a summary.
func CompareText(w io.Writer, c *comparison.Comparison, o Options) error {
	return typed(w, compared(c), o)
}

// CompareJSON writes a comparison as one object, indented, at full precision.
func CompareJSON(w io.Writer, c *comparison.Comparison) error {
	text, err := json.MarshalIndent(c, "", "  ")
	if err != nil {
		return err
	}
	_, err = io.WriteString(w, escaped(string(text))+"\n")
	return err
}

// CompareCSV writes a row for each result of each vessel that counts and then one for each test of it, without run and
// vessel. The header is
// run,vessel,result,value,unit,standard_uncertainty,expanded_uncertainty,status,analysis,term,f,degrees_of_freedom,
// error_degrees_of_freedom,p and a column for each given that was varied, given.ID; values at full precision, empty
// where there is none. A test's analysis says what is its block, its value is a difference or an effect, its status
// "test".
func CompareCSV(w io.Writer, c *comparison.Comparison) error {
	out := csv.NewWriter(w)
	head := []string{"run", "vessel", "result", "value", "unit", "standard_uncertainty", "expanded_uncertainty", "status", "analysis", "term", "f",
		"degrees_of_freedom", "error_degrees_of_freedom", "p"}
	for _, f := range c.Varied {
		head = append(head, "given."+f.ID)
	}
	_ = out.Write(disarmed(head...))
	for _, r := range c.Results {
		for _, v := range r.Values {
			row := []string{c.Runs[v.Run-1].ID, v.Vessel, r.ID, exactOr(v.Value), r.Unit, exactOr(v.StandardUncertainty), exactOr(v.ExpandedUncertainty), string(v.Status), "", "", "", "", "", ""}
			_ = out.Write(disarmed(append(row, exactGivens(c, v)...)...))
		}
		for _, row := range testRows(r) {
			_ = out.Write(disarmed(append(row, make([]string, len(c.Varied))...)...))
		}
	}
	out.Flush()
	return out.Error()
}

// testRows are the rows of a result's tests.
func testRows(r comparison.Result) [][]string {
	var rows [][]string
	for _, a := range analyses(r) {
		row := func(value, half *float64, term string, f *float64, effect int, errors float64, p *float64) {
			if p == nil {
				return
			}
			unit := ""
			if value != nil {
				unit = r.IntervalUnit
			}
			rows = append(rows, []string{"", "", r.ID, exactOr(value), unit, "", exactOr(half), "test", a.name(), term, exactOr(f), strconv.Itoa(effect),
				exact(errors), exactOr(p)})
		}
		switch {
		case a.Difference != nil && a.Difference.P != nil:
			d := a.Difference
			f := *d.T * *d.T
			row(&d.D, d.Half, d.A+" less "+d.B+", "+testNames[d.Test], &f, 1, *d.DoF, d.P)
		case a.Variance != nil:
			v := a.Variance
			row(nil, nil, "between the groups", &v.F, v.Between, float64(v.Within), &v.P)
		case a.Effects != nil:
			for _, e := range a.Effects.Effects {
				row(&e.E, e.Half, e.Name, nil, 1, float64(a.Effects.DoF), e.P)
			}
		}
	}
	return rows
}

func exactOr(x *float64) string {
	if x == nil {
		return ""
	}
	return exact(*x)
}

// exactGivens are what was varied in a value's vessel, in the order of c.Varied, numbers in the unit of the given.
func exactGivens(c *comparison.Comparison, of comparison.Value) []string {
	out := make([]string, len(c.Varied))
	for _, v := range c.Vessels {
		if v.Run != of.Run || v.Label != of.Vessel {
			continue
		}
		for i, f := range c.Varied {
			for _, g := range v.Givens {
				if g.ID == f.ID {
					out[i] = g.Text + exactOr(g.Value)
				}
			}
		}
	}
	return out
}

// compared puts a comparison on a page: who is compared, what to know before the figures, then result by result.
func compared(c *comparison.Comparison) *page {
	p := &page{Title: visible("Comparison: " + c.Protocol.Title)}
	p.comparedRuns(c)
	p.comparedVessels(c)
	p.add("Before the figures", nil, clean(c.Remarks...)...)
	for _, r := range c.Results {
		p.comparedResult(c, r)
	}
	var last []string
	if c.Message != "" {
		last = append(last, c.Message)
	}
	if len(c.Results) > 0 {
		last = append(last, "Intervals are for 95 % and of the scatter between vessels alone: what all of them share, such as an instrument's offset or a given,"+
			" is not in them.")
	}
	if len(c.NotCompared) > 0 {
		last = append(last, "Not compared here; --result ID does: "+strings.Join(c.NotCompared, ", ")+".")
	}
	if len(last) > 0 {
		p.Parts = append(p.Parts, part{Level: 1, Title: "After the figures"}, part{Level: 2, Items: clean(last...)})
	}
	return p
}

func clean(texts ...string) []string {
	var out []string
	for _, t := range texts {
		if t != "" {
			out = append(out, strings.ReplaceAll(visible(t), " = ", string(nbsp)+"="+string(nbsp)))
		}
	}
	return out
}

func (p *page) comparedRuns(c *comparison.Comparison) {
	t := &table{Columns: []column{{Head: "No.", Right: true, Tight: true}, {Head: "Run"}, {Head: "Begun", Tight: true}, {Head: "Version"}, {Head: "Journal", Tight: true}}}
	for _, r := range c.Runs {
		at := ""
		if begun, err := time.Parse(time.RFC3339, r.Begun); err == nil {
			at = begun.In(place(&summary.Summary{Run: summary.Run{Zone: r.Zone}})).Format("2006-01-02 15:04")
		}
		t.row(strconv.Itoa(r.Number), r.ID, at, r.Version, summary.ShortHash(r.Hash)).remark(r.Message)
	}
	p.add("", t)
}

func (p *page) comparedVessels(c *comparison.Comparison) {
	t := &table{Columns: []column{{Head: "Run", Right: true, Tight: true}, {Head: "Vessel", Tight: true}}}
	for _, f := range c.Varied {
		if len(c.Varied) <= mostColumns {
			t.Columns = append(t.Columns, column{Head: visible(f.Title)})
		}
	}
	if len(c.Varied) > mostColumns {
		t.Columns = append(t.Columns, column{Head: "Varied"})
	}
	for _, v := range c.Vessels {
		cells := []string{strconv.Itoa(v.Run), v.Label}
		shown := make([]string, 0, len(c.Varied))
		for _, f := range c.Varied {
			shown = append(shown, givenOf(v, f))
		}
		if len(c.Varied) > mostColumns {
			for i, f := range c.Varied {
				shown[i] = f.Title + " " + shown[i]
			}
			shown = []string{strings.Join(shown, ", ")}
		}
		l := t.row(append(cells, shown...)...)
		if !v.Counted {
			l.remark("Does not count: " + v.Message + ".")
		}
	}
	p.add("Vessels", t)
}

// givenOf shows a given of a vessel.
func givenOf(v comparison.Vessel, f comparison.Factor) string {
	for _, g := range v.Givens {
		switch {
		case g.ID != f.ID:
		case g.Value != nil:
			return figure(*g.Value, g.In)
		default:
			return g.Text
		}
	}
	return ""
}

func (p *page) comparedResult(c *comparison.Comparison, r comparison.Result) {
	title := r.Title + " (" + r.ID + ")"
	if unit := r.In.Shown(); unit != "" {
		title += " in " + unit
	}
	p.Parts = append(p.Parts, part{Level: 1, Title: visible(title)})
	p.comparedValues(c, r)
	p.comparedGroups(c, r)
	p.comparedTest(c, r)
	said := []string{r.Message, r.NotShown}
	for _, a := range analyses(r) {
		if a.WhyNoTest != "" {
			said = append(said, "No test"+strings.Replace(a.blocked(), ",", " with", 1)+": "+a.WhyNoTest+".")
		}
	}
	if r.Scatter != nil {
		said = append(said, r.Scatter.Message)
	}
	for _, o := range r.Outliers {
		said = append(said, o.Message)
	}
	p.add("What it shows", nil, clean(said...)...)
}

func (p *page) comparedValues(c *comparison.Comparison, r comparison.Result) {
	t := &table{Columns: []column{{Head: "Run", Right: true, Tight: true}, {Head: "Vessel", Tight: true}, {Head: groupHead(c)},
		{Head: "Value", Right: true, Tight: true}, {Head: "± (95 %)", Right: true, Tight: true}}}
	for _, v := range r.Values {
		value, expanded := string(v.Status), ""
		if v.Status == summary.OK {
			value, expanded = v.Quantity.Digits()
		}
		t.row(strconv.Itoa(v.Run), v.Vessel, v.Group, value, expanded).remark(v.Message)
	}
	if len(c.By) == 0 {
		t.drop(2)
	}
	p.add("", t)
}

// groupHead names what makes the groups.
func groupHead(c *comparison.Comparison) string {
	var titles []string
	for _, id := range c.By {
		for _, f := range c.Varied {
			if f.ID == id {
				titles = append(titles, f.Title)
			}
		}
	}
	if titles == nil {
		return "Group"
	}
	return visible(strings.Join(titles, ", "))
}

func (p *page) comparedGroups(c *comparison.Comparison, r comparison.Result) {
	apart := ""
	if r.IntervalUnit != r.Unit {
		apart = ", " + r.In.Interval().Shown()
	}
	t := &table{Columns: []column{{Head: groupHead(c)}, {Head: "n", Right: true, Tight: true}, {Head: "Mean", Right: true, Tight: true},
		{Head: "s" + apart, Right: true, Tight: true}, {Head: "± (95 %)" + apart, Right: true, Tight: true}}}
	var refusals []string
	for _, g := range r.Groups {
		mean := ""
		if g.Mean != nil {
			mean = rounded(*g.Mean, g.Digits)
		}
		t.row(g.Group, strconv.Itoa(g.N), mean, twoDigits(g.SD), twoDigits(g.Half))
		if said := sentence(g.Message); !slices.Contains(refusals, said) {
			refusals = append(refusals, said)
		}
	}
	p.add("By group", t, clean(refusals...)...)
}

// sentence makes one of a message: "a group of 2: …" becomes "A group of 2: … ."
func sentence(text string) string {
	if text == "" {
		return ""
	}
	first, size := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(first)) + text[size:] + "."
}

// rounded shows a figure to the digits that its uncertainty leaves it.
func rounded(x, uncertainty float64) string {
	if uncertainty > 0 {
		return quantity.Rounded(x, uncertainty)
	}
	return plain(x)
}

func twoDigits(x *float64) string {
	if x == nil {
		return ""
	}
	return quantity.TwoDigits(*x)
}

// comparedTest sets the tests in a table: without blocks and, where there are some, with them.
func (p *page) comparedTest(c *comparison.Comparison, r comparison.Result) {
	right := func(heads ...string) *table {
		t := &table{Columns: []column{{Head: heads[0]}}}
		for _, h := range heads[1:] {
			t.Columns = append(t.Columns, column{Head: h, Right: true, Tight: true})
		}
		return t
	}
	differences := right("Test", "Difference", "± (95 %)", "t", "Degrees of freedom", "p")
	variances := right("Analysis of variance", "s", "F", "Degrees of freedom", "p")
	effects := right("Effect", "Difference", "± (95 %)", "p")
	means := right("By the means alone", "Difference")
	for _, a := range analyses(r) {
		switch {
		case a.Difference != nil && a.Difference.P == nil:
			means.row(a.Difference.A+" less "+a.Difference.B, rounded(a.Difference.D, a.Difference.Digits))
		case a.Difference != nil:
			d := a.Difference
			differences.row(testNames[d.Test]+a.blocked(), rounded(d.D, d.Digits), twoDigits(d.Half), threeDigits(d.T), threeDigits(d.DoF), chanceOf(d.P))
		case a.Variance != nil:
			v := a.Variance
			variances.row("between the groups"+a.blocked(), quantity.TwoDigits(math.Sqrt(v.SumOfWithin/float64(v.Within))), threeDigits(&v.F), fmt.Sprintf("%d and %d", v.Between, v.Within), chanceOf(&v.P))
		case a.Effects != nil:
			for _, e := range a.Effects.Effects {
				digits := 0.0
				if e.Half != nil {
					digits = *e.Half
				}
				effects.row(e.Name+a.blocked(), rounded(e.E, digits), twoDigits(e.Half), chanceOf(e.P))
			}
		}
	}
	var steps []string
	for _, f := range c.Varied {
		if r.Effects != nil && slices.Contains(c.By, f.ID) {
			steps = append(steps, f.Title+" from "+f.Levels[0]+" to "+f.Levels[1])
		}
	}
	if d := r.Difference; d != nil && d.P == nil {
		p.add("Difference", means)
	}
	if len(differences.Rows) > 0 {
		p.add("Difference", differences, clean(r.Difference.A+" less "+r.Difference.B+".")...)
	}
	if len(variances.Rows) > 0 {
		p.add("Differences", variances)
	}
	if len(effects.Rows) > 0 {
		p.add("Effects", effects, clean(strings.Join(steps, "; ")+". × is what they do together beyond their sum.")...)
	}
}

// testNames says who made a test.
var testNames = map[string]string{"Welch": "Welch's test", "Student": "Student's t test"}

// An analysis with what it takes for a block; "" for nothing.
type analysis struct {
	comparison.Analysis
	by string
}

func analyses(r comparison.Result) []analysis {
	out := []analysis{{r.Analysis, ""}}
	if r.Blocked != nil {
		out = append(out, analysis{r.Blocked.Analysis, r.Blocked.By})
	}
	return out
}

// name calls an analysis by its blocks.
func (a analysis) name() string {
	if a.by == "" {
		return "without blocks"
	}
	return "the " + a.by + " as a block"
}

// blocked is what to say after the name of a test in blocks.
func (a analysis) blocked() string {
	if a.by == "" {
		return ""
	}
	return ", " + a.name()
}

func threeDigits(x *float64) string {
	if x == nil {
		return ""
	}
	return quantity.Plain(*x, 3)
}

// chanceOf shows a p; a very small one is only told to be that.
func chanceOf(p *float64) string {
	switch {
	case p == nil:
		return ""
	case *p < 0.0001:
		return "below 0.0001"
	}
	return quantity.TwoDigits(*p)
}
