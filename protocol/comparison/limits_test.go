package comparison_test

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"example.org/meniscus/protocol/comparison"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/summary"
)

func told(c *comparison.Comparison, begin string) bool {
	return slices.ContainsFunc(c.Remarks, func(s string) bool { return strings.HasPrefix(s, begin) })
}

// What else changed with the group is told, and only that.
func TestConfounded(t *testing.T) {
	rape := func(v ...float64) string { return batches('A', "oil=rapeseed", v...) }
	coco := func(v ...float64) string { return batches('F', "oil=coconut", v...) }
	for _, tt := range []struct {
		name    string
		sources []comparison.Source
		with    []string
		remark  string // its begin
		doubt   string // the end of what the result shows
	}{
		{"each group in its own run", []comparison.Source{source(t, "one", 2, rape(rapeseed...)), source(t, "two", 2, coco(coconut...))}, []string{"run"},
			"Run and group can not be told apart: rapeseed in run 1, coconut in run 2.", "Whether by what was varied or by the run can not be told."},
		{"every group in every run", []comparison.Source{source(t, "one", 2, rape(92.4, 90.9)+coco(86.2)), source(t, "two", 3, rape(93.3)+coco(88.7, 84.9))}, nil,
			"Groups and runs cross: the run is a block.", "The groups differ by more than they scatter."},
		{"two runs a group", []comparison.Source{source(t, "one", 2, rape(92.4, 90.9)), source(t, "two", 3, rape(93.3)), source(t, "three", 3, coco(86.2, 88.7)),
			source(t, "four", 4, coco(84.9))}, nil, "No run has vessels of all groups", "The groups differ by more than they scatter."},
		{"a run a vessel, mixed over the days", []comparison.Source{source(t, "one", 2, rape(92.4)), source(t, "two", 3, rape(90.9)), source(t, "three", 4, rape(93.3)),
			source(t, "four", 2, coco(86.2)), source(t, "five", 3, coco(88.7)), source(t, "six", 4, coco(84.9))}, nil, "Groups and days cross: the day is a block.", "The groups differ by more than they scatter."},
		{"a run a vessel, each group on its day", []comparison.Source{source(t, "one", 2, rape(92.4)), source(t, "two", 2, rape(90.9)), source(t, "three", 2, rape(93.3)),
			source(t, "four", 3, coco(86.2)), source(t, "five", 3, coco(88.7)), source(t, "six", 3, coco(84.9))}, []string{"day"},
			"Day and group can not be told apart: rapeseed on 2026-03-02, coconut on 2026-03-03.", "Whether by what was varied or by the day can not be told."},
		{"two givens that changed together", []comparison.Source{source(t, "one", 2, batches('A', "oil=rapeseed,ratio=6", rapeseed...)+batches('D', "oil=coconut,ratio=9", coconut...))},
			[]string{"oil ratio"}, "Oil and Molar ratio always changed together", "Whether by Oil or by Molar ratio can not be told."},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := compared(t, comparison.Options{}, tt.sources...)
			if !slices.Equal(c.Confounded, tt.with) {
				t.Errorf("confounded with %v, want %v", c.Confounded, tt.with)
			}
			if tt.remark != "" && !told(c, tt.remark) || tt.remark == "" && len(c.Remarks) != 1 {
				t.Errorf("remarks %q, want one that begins %q", c.Remarks, tt.remark)
			}
			if r := yieldOf(t, c); !strings.HasSuffix(r.Message, tt.doubt) {
				t.Errorf("%q, want it to end %q", r.Message, tt.doubt)
			}
		})
	}
}

func TestVersionsAreTold(t *testing.T) {
	text := yieldText(t)
	newer := strings.NewReplacer(`version = "1.0"`, `version = "1.1"`, `value = "30 min"`, `value = "0.5 h"`).Replace(text)
	a := source(t, "one", 2, batches('A', "oil=rapeseed", rapeseed...))
	b := folded(t, events(t, newer, "two", 3, batches('A', "oil=coconut", coconut...)))
	c := compared(t, comparison.Options{}, a, b)
	if !told(c, "These runs are of different versions of the protocol: 1.0 (run 1), 1.1 (run 2).") {
		t.Errorf("remarks %q do not tell the versions", c.Remarks)
	}
	if len(c.Varied) != 1 || c.Varied[0].ID != "oil" {
		t.Errorf("varied %+v: 30 min and 0.5 h are the same hold", c.Varied)
	}
	changed := folded(t, events(t, text+"\n# changed\n", "two", 3, batches('A', "oil=coconut", coconut...)))
	if c := compared(t, comparison.Options{}, a, changed); !told(c, "The runs of version 1.0 were not done by one and the same protocol file") {
		t.Errorf("remarks %q do not tell that the file was changed", c.Remarks)
	}
}

func TestAResultWithoutAValueIsTold(t *testing.T) {
	rows := batches('A', "oil=rapeseed", rapeseed...) + batches('D', "oil=coconut", coconut...) + "A,mass,2\nB,mass,2\nC,mass,0\nG,oil,coconut\nG,mass,2\n"
	c := compared(t, comparison.Options{Results: []string{"per_gram", "yield_mass"}}, source(t, "r", 2, rows))
	if len(c.Results) != 2 || c.Results[0].ID != "yield_mass" || c.Results[1].ID != "per_gram" {
		t.Fatalf("results %+v, want both in the protocol's order", c.Results)
	}
	status := func(r comparison.Result) (out []summary.Status) {
		for _, v := range r.Values {
			out = append(out, v.Status)
		}
		return out
	}
	ok, missing, impossible := summary.OK, summary.Missing, summary.Impossible
	if got, want := status(c.Results[0]), []summary.Status{ok, ok, ok, ok, ok, ok, missing}; !slices.Equal(got, want) {
		t.Errorf("yield_mass: %v, want %v", got, want)
	}
	if r := c.Results[0]; r.Difference == nil || r.Difference.P == nil || r.Groups[1].N != 3 || !strings.Contains(r.Values[6].Message, "not among the readings") {
		t.Errorf("yield_mass: groups %+v, %q: want the test with those that have values", r.Groups, r.Values[6].Message)
	}
	if got, want := status(c.Results[1]), []summary.Status{ok, ok, impossible, missing, missing, missing, missing}; !slices.Equal(got, want) {
		t.Errorf("per_gram: %v, want %v", got, want)
	}
	if r := c.Results[1]; r.Difference != nil || r.WhyNoTest != "fewer than two groups have values" || r.Groups[1].Mean != nil {
		t.Errorf("per_gram: %+v, %q", r.Groups, r.WhyNoTest)
	}
}

// ended adds facts to a run of which the end is cut off.
func ended(t *testing.T, es []run.Event, more ...run.Event) comparison.Source {
	t.Helper()
	es = es[:len(es)-1]
	for _, e := range more {
		last := es[len(es)-1]
		e.N, e.Moment = last.N+1, run.Moment{At: last.At.Add(time.Minute), Elapsed: last.Elapsed + time.Minute}
		es = append(es, e)
	}
	return folded(t, es)
}

func TestWhoCounts(t *testing.T) {
	rows := batches('A', "oil=rapeseed", 92.4) + batches('B', "oil=coconut", 86.2)
	through := []run.Event{{Vessel: "A", What: run.StageEntered{Stage: "weigh"}}, {Vessel: "A", What: run.StepDone{Stage: "weigh", Portion: 1, Step: 1}},
		{Vessel: "A", What: run.ReadingNotTaken{Stage: "weigh", Portion: 1, Reading: "mass", Why: "no balance"}}, {Vessel: "A", What: run.StageLeft{Stage: "weigh"}}}
	for _, tt := range []struct {
		name       string
		src        comparison.Source
		ofRun, ofB string
	}{
		{"goes on", ended(t, events(t, yieldText(t), "r", 2, rows), through...), "not ended yet", "not through to its end"},
		{"abandoned", ended(t, events(t, yieldText(t), "r", 2, rows), append(through, run.Event{What: run.Ended{Abandoned: true, Why: "fire drill"}})...),
			"given up: fire drill", "not through to its end"},
		{"a vessel given up", ended(t, events(t, yieldText(t), "r", 2, rows), append(through, run.Event{Vessel: "B", What: run.VesselEnded{Why: "spilled"}}, run.Event{What: run.Ended{}})...),
			"", "given up: spilled"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := compared(t, comparison.Options{}, tt.src)
			if c.Runs[0].Message != tt.ofRun || !c.Vessels[0].Counted || c.Vessels[1].Counted || c.Vessels[1].Message != tt.ofB {
				t.Errorf("run %q, vessels %+v: want the run %q, and B not counted: %q", c.Runs[0].Message, c.Vessels, tt.ofRun, tt.ofB)
			}
			if r := yieldOf(t, c); len(r.Values) != 1 || len(c.Groups) != 1 || len(c.Varied) != 0 {
				t.Errorf("%d values in %d groups: want that of A alone, which differs from nothing", len(r.Values), len(c.Groups))
			}
		})
	}
	_, err := comparison.Of([]comparison.Source{ended(t, events(t, yieldText(t), "r", 2, rows))}, comparison.Options{})
	if err == nil || err.Error() != "no vessel of these runs is through to its end: there is nothing to compare yet" {
		t.Errorf("nobody through: %v", err)
	}
}

func TestRunsThatDoNotFit(t *testing.T) {
	a := source(t, "one", 2, batches('A', "", 90))
	other := folded(t, events(t, strings.Replace(yieldText(t), `id = "yield"`, `id = "gain"`, 1), "two", 3, batches('A', "", 90)))
	for _, tt := range []struct {
		sources []comparison.Source
		want    string
	}{
		{[]comparison.Source{other, a}, "run two is of the protocol gain, and run one of yield: only runs of one protocol can be compared"},
		{[]comparison.Source{a, a}, "one and one are the same run: a vessel counts once; leave one of them out"},
		{nil, "0 runs: from 1 to 100 can be compared"},
	} {
		if _, err := comparison.Of(tt.sources, comparison.Options{}); err == nil || err.Error() != tt.want {
			t.Errorf("%v, want %s", err, tt.want)
		}
	}
}

// Whatever the values are, a comparison comes out, and its JSON can be written.
func TestAnyValues(t *testing.T) {
	some := []float64{0, 1, -1, 1e-300, 1e300, -1e300, 1.7e308, -1.7e308, 92.4, 92.4000000001}
	rapid.Check(t, func(rt *rapid.T) {
		var rows strings.Builder
		for i := range rapid.IntRange(1, 14).Draw(rt, "vessels") {
			v := rapid.OneOf(rapid.SampledFrom(some), rapid.Float64Range(-100, 100)).Draw(rt, "value")
			given := rapid.SampledFrom([]string{"ratio=6,hold=30", "ratio=9,hold=30", "ratio=6,hold=60", "ratio=9,hold=60", "ratio=7", "oil=palm"}).Draw(rt, "given")
			rows.WriteString(batches('A'+rune(i), given, v))
		}
		c := compared(t, comparison.Options{}, source(t, "r", 2, rows.String()))
		if _, err := json.Marshal(c); err != nil {
			rt.Fatal(err)
		}
		for _, g := range yieldOf(t, c).Groups {
			if g.Half != nil && (g.N < 3 || math.IsNaN(*g.Half)) {
				rt.Fatalf("group %+v has an interval", g)
			}
		}
	})
}

// A difference that runs out of range is no figure.
func TestDifferenceOutOfRange(t *testing.T) {
	r := yieldOf(t, compared(t, comparison.Options{}, source(t, "r", 2, batches('A', "oil=rapeseed", 1.7e308)+batches('B', "oil=coconut", -1.7e308))))
	if r.Difference != nil || r.WhyNoTest != "these values give no finite outcome" {
		t.Errorf("difference %+v, %q", r.Difference, r.WhyNoTest)
	}
}

// A given in another unit in a newer version is told in that of the first.
func TestLevelsInOneUnit(t *testing.T) {
	newer := strings.NewReplacer(`version = "1.0"`, `version = "1.1"`, `value = "30 min"`, `value = "0.5 h"`).Replace(yieldText(t))
	c := compared(t, comparison.Options{}, source(t, "one", 2, batches('A', "hold=30", rapeseed...)), folded(t, events(t, newer, "two", 3, batches('A', "hold=1", coconut...))))
	if len(c.Varied) != 1 || !slices.Equal(c.Varied[0].Levels, []string{"30 min", "60 min"}) || *c.Vessels[3].Givens[0].Value != 60 {
		t.Errorf("varied %+v, vessel %+v: want 30 min and 60 min", c.Varied, c.Vessels[3])
	}
}

// A result that is a list is compared element by element.
func TestListsGoElementByElement(t *testing.T) {
	const text = `format = 1
[protocol]
id = "gain"
title = "Three titres"
version = "1"
[[stage]]
id = "titration"
title = "Titrate"
portions = 3
steps = ["Titrate"]
  [[stage.reading]]
  id = "titre"
  unit = "mL"
  needed = true
[[result]]
id = "twice"
formula = "titre * 2"
unit = "mL"
`
	src := folded(t, events(t, text, "r", 2, "A,titre,1\nA,titre,2\nA,titre,3\nB,titre,2\nB,titre,4\nB,titre,6\nC,titre,1\n"))
	c := compared(t, comparison.Options{}, src)
	if len(c.Results) != 3 || c.Results[2].ID != "twice.3" || len(c.NotCompared) != 0 {
		t.Fatalf("results %+v, want twice.1 to twice.3", c.Results)
	}
	near(t, "mean of the third", c.Results[2].Groups[0].Mean, 9, 1e-12, "2·(3 + 6)/2")
	if v := c.Results[2].Values[2]; v.Status != summary.Missing {
		t.Errorf("C, with one titre of three: %+v, want it missing", v)
	}
	c = compared(t, comparison.Options{Results: []string{"twice.2"}}, src)
	if len(c.Results) != 1 || c.Results[0].ID != "twice.2" || !slices.Equal(c.NotCompared, []string{"twice.1", "twice.3"}) {
		t.Errorf("twice.2 alone: %+v, and not %v", c.Results, c.NotCompared)
	}
}
