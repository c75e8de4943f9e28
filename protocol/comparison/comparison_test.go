package comparison_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/comparison"
	"example.org/meniscus/protocol/paper"
	"example.org/meniscus/protocol/run"
)

// The yields are invented; what comes of them was worked apart from this program with the formulas of the handbook.
const yields = "invented yields, worked by hand with NIST/SEMATECH e-Handbook formulas"

func yieldText(t testing.TB) string {
	t.Helper()
	text, err := os.ReadFile("../../testdata/comparison/yield.toml")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// events makes a run of the protocol text with the rows "vessel,reading,value", begun on the day of March 2026.
func events(t testing.TB, text, id string, day int, rows string) []run.Event {
	t.Helper()
	file := "yield.toml"
	if strings.Contains(text, `id = "gain"`) {
		file = "gain.toml"
	}
	p, err := protocol.Load(file, []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	var table strings.Builder
	table.WriteString(paper.Header + "\n")
	for _, row := range strings.Fields(rows) {
		fmt.Fprintf(&table, "%s,,2026-03-%02dT09:00:00Z\n", row, day)
	}
	out, err := paper.Read(strings.NewReader(table.String()), p, id, paper.Options{Run: id, Program: "meniscus 0.1"})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func folded(t testing.TB, es []run.Event) comparison.Source {
	t.Helper()
	s, err := run.Fold(es)
	if err != nil {
		t.Fatal(err)
	}
	return comparison.Source{Name: s.ID, State: s}
}

func source(t testing.TB, id string, day int, rows string) comparison.Source {
	t.Helper()
	return folded(t, events(t, yieldText(t), id, day, rows))
}

// batches writes rows of vessels with these givens, "oil=olive,ratio=9", one for each value, lettered on from the letter.
func batches(from rune, givens string, values ...float64) string {
	var b strings.Builder
	for i, v := range values {
		label := string(from + rune(i))
		for _, g := range strings.Split(givens, ",") {
			if id, value, ok := strings.Cut(g, "="); ok {
				fmt.Fprintf(&b, "%s,%s,%s\n", label, id, value)
			}
		}
		fmt.Fprintf(&b, "%s,yield_read,%s\n", label, strconv.FormatFloat(v, 'g', -1, 64))
	}
	return b.String()
}

func compared(t testing.TB, o comparison.Options, sources ...comparison.Source) *comparison.Comparison {
	t.Helper()
	c, err := comparison.Of(sources, o)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// yieldOf is the result yield_mass, the only one with a check.
func yieldOf(t testing.TB, c *comparison.Comparison) comparison.Result {
	t.Helper()
	if len(c.Results) != 1 || c.Results[0].ID != "yield_mass" {
		t.Fatalf("results %+v, want yield_mass alone", c.Results)
	}
	return c.Results[0]
}

func near(t *testing.T, what string, got *float64, want, within float64, source string) {
	t.Helper()
	if got == nil || !(math.Abs(*got-want) <= within) {
		t.Errorf("%s = %v, want %g ± %g (%s)", what, show(got), want, within, source)
	}
}

func show(x *float64) string {
	if x == nil {
		return "none"
	}
	return strconv.FormatFloat(*x, 'g', -1, 64)
}

var (
	rapeseed = []float64{92.4, 90.9, 93.3}
	coconut  = []float64{86.2, 88.7, 84.9}
	olive    = []float64{89.6, 91.2, 90.1}
)

func TestTwoOils(t *testing.T) {
	c := compared(t, comparison.Options{}, source(t, "r", 2, batches('A', "oil=coconut", coconut...)+batches('D', "oil=rapeseed", rapeseed...)))
	r := yieldOf(t, c)
	for i, want := range []struct {
		group          string
		mean, sd, half float64
	}{{"rapeseed", 92.2, 1.212, 3.01}, {"coconut", 86.6, 1.931, 4.80}} { // the protocol's order of choices
		g := r.Groups[i]
		if g.Group != want.group || g.N != 3 || g.Message != "" {
			t.Errorf("group %+v, want %s of 3", g, want.group)
		}
		near(t, "mean", g.Mean, want.mean, 0.005, yields)
		near(t, "s", g.SD, want.sd, 0.0005, yields)
		near(t, "half interval", g.Half, want.half, 0.005, yields)
	}
	d := r.Difference
	if d == nil || d.A != "rapeseed" || d.B != "coconut" || c.Tests != 1 {
		t.Fatalf("difference %+v, %d tests", d, c.Tests)
	}
	near(t, "difference", &d.D, 5.60, 0.005, yields)
	near(t, "half interval", d.Half, 3.94, 0.005, yields)
	near(t, "t", d.T, 4.254, 0.0005, yields)
	near(t, "degrees of freedom", d.DoF, 3.364, 0.0005, yields)
	near(t, "p", d.P, 0.0189, 0.00005, yields)
	if r.Message != "The groups differ by more than they scatter." || r.NotShown != "" || r.WhyNoTest != "" || len(c.Confounded) > 0 {
		t.Errorf("%q, %q, %q, confounded with %v", r.Message, r.NotShown, r.WhyNoTest, c.Confounded)
	}
}

func TestThreeOils(t *testing.T) {
	c := compared(t, comparison.Options{}, source(t, "r", 2, batches('A', "oil=rapeseed", rapeseed...)+batches('D', "oil=coconut", coconut...)+batches('G', "oil=olive", olive...)))
	v := yieldOf(t, c).Variance
	if v == nil || v.Between != 2 || v.Within != 6 {
		t.Fatalf("variance %+v, want 2 and 6 degrees of freedom (%s)", v, yields)
	}
	near(t, "F", &v.F, 12.43, 0.005, yields)
	near(t, "p", &v.P, 0.0073, 0.00005, yields)
	near(t, "SS between", &v.SumOfBetween, 48.66, 0.005, yields)
	near(t, "SS within", &v.SumOfWithin, 11.74, 0.005, yields)
}

// Four settings in two runs, each setting once in each: the runs are no groups and confound nothing.
func TestFullPlan(t *testing.T) {
	first := batches('A', "ratio=6,hold=30", 82.1) + batches('B', "ratio=9,hold=30", 89.8) + batches('C', "ratio=6,hold=60", 86.9) + batches('D', "ratio=9,hold=60", 94.3)
	second := batches('A', "ratio=6,hold=30", 83.5) + batches('B', "ratio=9,hold=30", 88.6) + batches('C', "ratio=6,hold=60", 85.5) + batches('D', "ratio=9,hold=60", 93.1)
	c := compared(t, comparison.Options{}, source(t, "one", 2, first), source(t, "two", 3, second))
	r := yieldOf(t, c)
	x := r.Effects
	if x == nil || x.DoF != 4 || c.Tests != 3 || r.Variance != nil || len(c.Confounded) > 0 {
		t.Fatalf("effects %+v with %d tests, confounded with %v", x, c.Tests, c.Confounded)
	}
	near(t, "pooled s", &x.SD, 0.922, 0.0005, yields)
	for i, want := range []struct {
		name string
		e    float64
	}{{"Molar ratio", 6.95}, {"Hold", 3.95}, {"Molar ratio × Hold", 0.55}} {
		e := x.Effects[i]
		if e.Name != want.name {
			t.Errorf("effect %d is %q, want %q", i, e.Name, want.name)
		}
		near(t, want.name, &e.E, want.e, 1e-9, yields)
		near(t, "half interval of "+want.name, e.Half, 1.81, 0.005, yields)
	}
	near(t, "p of both", x.Effects[2].P, 0.45, 0.005, yields)
	if r.Message != "Shown: Molar ratio; Hold." || !strings.Contains(r.NotShown, "With 8 vessels in 4 settings") {
		t.Errorf("%q, %q", r.Message, r.NotShown)
	}
	// By one factor alone it is two groups of four.
	c = compared(t, comparison.Options{By: []string{"ratio"}}, source(t, "one", 2, first), source(t, "two", 3, second))
	if d := yieldOf(t, c).Difference; d == nil || d.A != "6" || d.B != "9" {
		t.Fatalf("difference %+v, want 6 less 9", d)
	} else {
		near(t, "difference", &d.D, -6.95, 1e-9, yields+": the same effect")
	}
	if !slices.ContainsFunc(c.Remarks, func(s string) bool { return strings.HasPrefix(s, "Varied as well, and not grouped by: Hold.") }) {
		t.Errorf("remarks %q do not tell that the hold was varied as well", c.Remarks)
	}
}

// A certified set as five oils with five batches each.
func TestCertifiedVariance(t *testing.T) {
	const certified = "NIST StRD, SiRstv, certified values"
	text, err := os.ReadFile("../../testdata/nist/SiRstv.csv")
	if err != nil {
		t.Fatal(err)
	}
	oils := []string{"soybean", "rapeseed", "coconut", "olive", "palm"}
	var rows strings.Builder
	n := 0
	for line := range strings.Lines(string(text)) {
		group, y, ok := strings.Cut(strings.TrimSpace(line), ",")
		g, err := strconv.Atoi(group)
		if !ok || err != nil {
			continue
		}
		fmt.Fprintf(&rows, "V%d,oil,%s\nV%d,yield_read,%s\n", n, oils[g-1], n, y)
		n++
	}
	v := yieldOf(t, compared(t, comparison.Options{}, source(t, "r", 2, rows.String()))).Variance
	if n != 25 || v == nil || v.Between != 4 || v.Within != 20 {
		t.Fatalf("%d values, variance %+v", n, v)
	}
	near(t, "F", &v.F, 1.18046237440255, 1e-9, certified)
	near(t, "SS between", &v.SumOfBetween, 5.11462616000000e-02, 1e-10, certified)
	near(t, "SS within", &v.SumOfWithin, 2.16636560000000e-01, 1e-10, certified)
}

func TestTwoReplicatesAreShownAndNotTested(t *testing.T) {
	c := compared(t, comparison.Options{}, source(t, "r", 2, batches('A', "oil=rapeseed", 92.4, 90.9)+batches('C', "oil=coconut", 86.2, 88.7)))
	r := yieldOf(t, c)
	near(t, "mean", r.Groups[0].Mean, 91.65, 1e-9, "(92.4 + 90.9)/2")
	near(t, "s", r.Groups[0].SD, 1.5/math.Sqrt2, 1e-9, "JCGM 100:2008, 4.2.2: the difference over √2")
	if r.Groups[0].Half != nil || r.Groups[0].Message != "a group of 2: an interval needs 3 replicates or more; the values alone stand" {
		t.Errorf("group %+v: want no interval, and why", r.Groups[0])
	}
	near(t, "difference", &r.Difference.D, 4.2, 1e-9, "91.65 less 87.45")
	if r.Difference.P != nil || r.Difference.Half != nil || c.Tests != 0 || c.Message != "" ||
		r.WhyNoTest != "4 values in 2 groups leave 2 degrees of freedom for the scatter: a test needs 3 or more; the means alone stand" {
		t.Errorf("difference %+v, %d tests, why %q", r.Difference, c.Tests, r.WhyNoTest)
	}
}

func TestWhatIsNotShownIsToldInReplicates(t *testing.T) {
	c := compared(t, comparison.Options{}, source(t, "r", 2, batches('A', "oil=rapeseed", 90, 91.5, 93)+batches('D', "oil=coconut", 89.5, 91, 92.5)))
	r := yieldOf(t, c)
	const source = "R 4.2.2, testdata/stats/power.csv: 3.507·1.5 = 5.26 by Welch's test; power.t.test(delta = 0.5, sd = 1.5, power = 0.8): n = 142.2"
	const want = "With 3 of each group and this scatter, a difference of about 5.3 % is found four times of five; a smaller one may be there" +
		" all the same. To show a difference of 0.50 %, the one seen here, takes about 143 of each group."
	if r.Message != "No difference is shown." || r.NotShown != want {
		t.Errorf("%q\n%q\nwant %q (%s)", r.Message, r.NotShown, want, source)
	}
}

func TestNothingVaried(t *testing.T) {
	c := compared(t, comparison.Options{}, source(t, "r", 2, batches('A', "", rapeseed...)))
	r := yieldOf(t, c)
	if len(c.Varied) != 0 || len(r.Groups) != 1 || r.Groups[0].Group != "all vessels" || r.Difference != nil || r.WhyNoTest != "" || c.Tests != 0 {
		t.Fatalf("varied %v, groups %+v", c.Varied, r.Groups)
	}
	near(t, "mean", r.Groups[0].Mean, 92.2, 0.005, yields)
	near(t, "half interval", r.Groups[0].Half, 3.01, 0.005, yields)
}

func TestScatterBesideTheInstruments(t *testing.T) {
	const rectangular = "half-widths 0.3 and 0.5 over √3 (JCGM 100:2008, 4.3.7)"
	for _, tt := range []struct {
		values []float64
		larger string
	}{{rapeseed, "scatter"}, {[]float64{92.4, 92.45, 92.5}, "instruments"}} {
		s := yieldOf(t, compared(t, comparison.Options{}, source(t, "r", 2, batches('A', "", tt.values...)))).Scatter
		if s == nil || s.Larger != tt.larger || !strings.Contains(s.Message, map[string]string{"scatter": "The scatter is larger",
			"instruments": "The instruments' uncertainty is larger"}[tt.larger]) {
			t.Fatalf("%v: scatter %+v, want the %s larger", tt.values, s, tt.larger)
		}
		near(t, "own u", &s.Own, 0.3/math.Sqrt(3), 1e-9, rectangular)
		near(t, "u", &s.Combined, math.Hypot(0.3, 0.5)/math.Sqrt(3), 1e-9, rectangular)
	}
}

func TestAnOutlierStays(t *testing.T) {
	const uranium = "NIST/SEMATECH e-Handbook 1.3.5.17.1, uranium example, from memory: G 2.47"
	values := []float64{199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57}
	r := yieldOf(t, compared(t, comparison.Options{}, source(t, "r", 2, batches('A', "", values...))))
	if len(r.Outliers) != 1 || r.Outliers[0].Vessel != "H" || r.Groups[0].N != 8 || !strings.HasSuffix(r.Outliers[0].Message, "it stays in.") {
		t.Fatalf("outliers %+v of %d values, want H among 8", r.Outliers, r.Groups[0].N)
	}
	near(t, "G", &r.Outliers[0].G, 2.47, 0.005, uranium)
}

func TestValuesThatDoNotScatter(t *testing.T) {
	c := compared(t, comparison.Options{}, source(t, "r", 2, batches('A', "oil=rapeseed", 90, 90, 90.00000001)+batches('D', "oil=coconut", 80, 80, 80)))
	r := yieldOf(t, c)
	if c.Tests != 0 || r.WhyNoTest != "neither group scatters at all: were the values copied, or read too coarsely?" ||
		!strings.Contains(r.Scatter.Message, "do not scatter at all") {
		t.Errorf("%d tests, %q, %q", c.Tests, r.WhyNoTest, r.Scatter.Message)
	}
}

// The order in which runs are named changes nothing.
func TestTheOrderOfRunsDoesNotMatter(t *testing.T) {
	a := source(t, "one", 2, batches('A', "oil=rapeseed", 92.4, 90.9)+batches('C', "oil=coconut", 86.2))
	b := source(t, "two", 3, batches('A', "oil=rapeseed", 93.3)+batches('B', "oil=coconut", 88.7, 84.9))
	d := source(t, "three", 4, batches('A', "oil=olive", 89.6, 91.2, 90.1))
	var texts []string
	for _, sources := range [][]comparison.Source{{a, b, d}, {d, b, a}, {b, d, a}} {
		text, err := json.Marshal(compared(t, comparison.Options{}, sources...))
		if err != nil {
			t.Fatal(err)
		}
		texts = append(texts, string(text))
	}
	if texts[0] != texts[1] || texts[0] != texts[2] {
		t.Errorf("(-one two three, +three two one)\n%s", cmp.Diff(texts[0], texts[1]))
	}
}

func TestUnknownNames(t *testing.T) {
	src := source(t, "r", 2, batches('A', "oil=rapeseed", rapeseed...)+batches('D', "oil=coconut", coconut...))
	for _, tt := range []struct {
		o    comparison.Options
		want string
	}{
		{comparison.Options{By: []string{"oils"}}, `these runs have no given "oils"; there are oil, ratio, hold, room`},
		{comparison.Options{Results: []string{"mean_yield"}}, `these runs have no result of a vessel "mean_yield"; there are yield_mass, per_gram`},
		{comparison.Options{Results: []string{"yield_mass.3"}}, `these runs have no result of a vessel "yield_mass.3"; there are yield_mass, per_gram`},
	} {
		_, err := comparison.Of([]comparison.Source{src}, tt.o)
		var unknown *comparison.UnknownError
		if !errors.As(err, &unknown) || err.Error() != tt.want {
			t.Errorf("%+v: %v, want %s", tt.o, err, tt.want)
		}
	}
	if _, err := comparison.Of([]comparison.Source{src}, comparison.Options{By: []string{"ratio"}}); err == nil ||
		err.Error() != "ratio is the same in all these vessels, 6: it makes no groups" {
		t.Errorf("by what was not varied: %v", err)
	}
}
