package summary_test

import (
	"encoding/json"
	"fmt"
	"math"
	"runtime"
	"strings"
	"testing"

	"example.org/meniscus/calc/montecarlo"
	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/paper"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/summary"
)

// worked runs readings through a protocol of one stage and returns the state.
func worked(t testing.TB, blocks, rows string) *run.State {
	t.Helper()
	text := "format = 1\n[protocol]\nid = \"t\"\ntitle = \"T\"\nversion = \"1.0\"\n" + blocks
	p, err := protocol.Load("t.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	events, err := paper.Read(strings.NewReader(paper.Header+"\n"+rows), p, "r.csv", paper.Options{Run: "r", Program: "test"})
	if err != nil {
		t.Fatal(err)
	}
	s, err := run.Fold(events)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func tried(t testing.TB, s *run.State, trials int, seed uint64) *summary.Summary {
	t.Helper()
	out := summary.FromState(s)
	if err := out.Trials(s, montecarlo.Options{Trials: trials, Seed: seed}); err != nil {
		t.Fatal(err)
	}
	return out
}

const oneStage = `
[[stage]]
id = "s"
title = "S"
  [[stage.reading]]
  id = "x"
  unit = "1"
  instrument = "meter"
[instrument.meter]
title = "Meter"
unit = "1"
`

// The examples of the supplement as protocols: the figures of the trials and the verdict on the chain rule.
func TestTrialsOfTheSupplementsExamples(t *testing.T) {
	given := func(id, value, shape string) string {
		return fmt.Sprintf("[[given]]\nid = %q\nvalue = %q\n%s\n", id, value, shape)
	}
	result := func(formula string) string {
		return fmt.Sprintf("[[result]]\nid = \"y\"\nformula = %q\nunit = \"1\"\n", formula)
	}
	const root3 = "tolerance = \"1.7320508075688772\""
	tests := []struct {
		name, blocks              string
		mean, u, low, high, delta float64 // delta: what the ends may be off
		judgement                 montecarlo.Judgement
		source                    string
	}{
		{"four rectangles", oneStage + "tolerance = \"1.7320508075688772\"\n" + given("x2", "0", root3) + given("x3", "0", root3) + given("x4", "0", root3) + result("x + x2 + x3 + x4"),
			0, 2.00, -3.88, 3.88, 0.03, montecarlo.Agrees, "JCGM 101:2008, 9.2.3 (from memory): the interval of 3.92 is 0.04 off, δ is 0.05"},
		{"one ten times as wide", oneStage + "tolerance = \"17.320508075688772\"\n" + given("x2", "0", root3) + given("x3", "0", root3) + given("x4", "0", root3) + result("x + x2 + x3 + x4"),
			0, 10.1, -17.0, 17.0, 0.15, montecarlo.Differs, "JCGM 101:2008, 9.2.4 (from memory)"},
		{"comparison loss", oneStage + "u = \"0.005\"\n" + given("x1", "0.010", "u = \"0.005\"") + result("x1^2 + x^2"),
			150e-6, 112e-6, 0, 367e-6, 3e-6, montecarlo.Differs, "JCGM 101:2008, 9.4 (from memory)"},
		{"comparison loss at nothing", oneStage + "u = \"0.005\"\n" + given("x1", "0", "u = \"0.005\"") + result("x1^2 + x^2"),
			50e-6, 50e-6, 0, 150e-6, 2e-6, montecarlo.Differs, "JCGM 101:2008, 9.4 (from memory): the chain rule gives u = 0"},
	}
	for _, tt := range tests {
		s := tried(t, worked(t, tt.blocks, "A,x,0,,\n"), 400_000, 1)
		m := find(t, s.Vessels[0].Results, "y").MonteCarlo
		if m == nil {
			t.Fatalf("%s: no trials", tt.name)
		}
		if math.Abs(*m.Mean-tt.mean) > tt.delta || math.Abs(*m.StandardUncertainty-tt.u) > tt.delta/2 || math.Abs(*m.Low-tt.low) > tt.delta || math.Abs(*m.High-tt.high) > tt.delta {
			t.Errorf("%s: mean %.4g, u %.4g, %.4g to %.4g; want %g, %g, %g to %g (%s)", tt.name, *m.Mean, *m.StandardUncertainty, *m.Low, *m.High, tt.mean, tt.u, tt.low, tt.high, tt.source)
		}
		if m.Judgement != string(tt.judgement) {
			t.Errorf("%s: %s, want %s (%s)", tt.name, m.Message, tt.judgement, tt.source)
		}
	}
}

// A shared offset is drawn once for both weighings, so it cancels in their difference as it does by the chain rule.
func TestTrialsShareAnOffset(t *testing.T) {
	s := worked(t, `
[instrument.balance]
title = "Balance"
unit = "g"
step = "0.01 g"
offset = "5 g"
[[stage]]
id = "s"
title = "S"
  [[stage.reading]]
  id = "before"
  unit = "g"
  instrument = "balance"
  [[stage.reading]]
  id = "after"
  unit = "g"
  instrument = "balance"
[[result]]
id = "net"
formula = "after - before"
unit = "g"
`, "A,before,100.00,,\nA,after,112.00,,\n")
	m := find(t, tried(t, s, 100_000, 1).Vessels[0].Results, "net").MonteCarlo
	if want := 0.01 / math.Sqrt(6); math.Abs(*m.StandardUncertainty-want) > 0.02*want {
		t.Errorf("u = %g, want %g: two steps of 0.01 g, each 0.01/√12 (JCGM 100:2008, F.2.2.1, from memory)", *m.StandardUncertainty, want)
	}
}

// Where readings scatter more than their instrument explains, the trials take the scatter and not the steps as well.
func TestTrialsDoNotCountScatterTwice(t *testing.T) {
	const rows = "A,m,10.0,,\nA,m,10.1,,\nA,m,10.2,,\nA,m,10.1,,\n"
	s := worked(t, strings.Replace(repeatedMass, "U", "0.9", 1), rows)
	r := find(t, tried(t, s, 200_000, 1).Vessels[0].Results, "mean_mass")
	// s = 0.0816 g is less than 0.9 g, so the scale's own u counts: 0.9/2. In the trials s/√4 of it is t₃'s, whose variance is 3.
	if want := math.Sqrt(0.2025 + 2*0.0816*0.0816/4); math.Abs(*r.StandardUncertainty-0.45) > 1e-9 || math.Abs(*r.MonteCarlo.StandardUncertainty-want) > 0.002 {
		t.Errorf("u = %g and %g by trials, want 0.45, u/√n, and 0.4537, by hand", *r.StandardUncertainty, *r.MonteCarlo.StandardUncertainty)
	}
	s = worked(t, strings.Replace(repeatedMass, "U", "0.06", 1), rows)
	r = find(t, tried(t, s, 400_000, 1).Vessels[0].Results, "mean_mass")
	// s/√4 = 0.0408 with 3 degrees of freedom; t₃ has the 95 % quantile 3.182.
	half := (*r.MonteCarlo.High - *r.MonteCarlo.Low) / 2
	if math.Abs(*r.StandardUncertainty-0.040825) > 1e-6 || math.Abs(half-3.182*0.040825) > 0.003 {
		t.Errorf("u = %g and a half interval of %g, want 0.040825 and 3.182 times that (JCGM 100:2008, 4.2.3 and Table G.2, from memory)", *r.StandardUncertainty, half)
	}
}

// Student's t of two readings has no mean and that of three no standard deviation (JCGM 101:2008, 6.4.9.4, from memory).
func TestTrialsOfFewRepeats(t *testing.T) {
	for n, rows := range map[int]string{2: "A,m,10.0,,\nA,m,10.4,,\n", 3: "A,m,10.0,,\nA,m,10.4,,\nA,m,10.1,,\n", 4: "A,m,10.0,,\nA,m,10.4,,\nA,m,10.1,,\nA,m,10.2,,\n"} {
		s := worked(t, strings.Replace(strings.Replace(repeatedMass, "U", "0.001", 1), "portions = 4", fmt.Sprintf("portions = %d", n), 1), rows)
		m := find(t, tried(t, s, 20_000, 1).Vessels[0].Results, "mean_mass").MonteCarlo
		if (m.Mean != nil) != (n > 2) || (m.StandardUncertainty != nil) != (n > 3) || m.Low == nil {
			t.Errorf("%d readings: mean %v, u %v, from %v", n, m.Mean, m.StandardUncertainty, m.Low)
		}
	}
}

const repeatedMass = `
[instrument.scale]
title = "Scale"
unit = "g"
u = "U g"
[[stage]]
id = "s"
title = "S"
portions = 4
  [[stage.reading]]
  id = "m"
  unit = "g"
  instrument = "scale"
[[result]]
id = "mean_mass"
formula = "mean(m)"
unit = "g"
`

func TestTrialsAreTheSameForASeed(t *testing.T) {
	state, err := run.Fold(whole(t).events)
	if err != nil {
		t.Fatal(err)
	}
	text := func(cores int) string {
		before := runtime.GOMAXPROCS(cores)
		defer runtime.GOMAXPROCS(before)
		out, err := json.Marshal(tried(t, state, 5000, 11))
		if err != nil {
			t.Fatal(err)
		}
		return string(out)
	}
	one := text(1)
	if one != text(4) {
		t.Error("one core and four give different figures for one seed")
	}
	if !strings.Contains(one, `"seed":11`) {
		t.Error("the summary does not say its seed")
	}
}

func TestTooFewTrialsAreRefused(t *testing.T) {
	state, err := run.Fold(whole(t).events)
	if err != nil {
		t.Fatal(err)
	}
	if err := summary.FromState(state).Trials(state, montecarlo.Options{Trials: 10}); err == nil {
		t.Error("ten trials are accepted")
	}
}

// A verdict may name any figure: a reading, a result of the vessel, one of the run.
func TestVerdictsNameFigures(t *testing.T) {
	s := summary.FromState(worked(t, oneStage+`step = "0.1"
[[result]]
id = "twice"
formula = "2 * x"
unit = "1"
[[result]]
id = "all"
formula = "sum(across(twice))"
unit = "1"
of = "run"
[[verdict]]
result = "twice"
when = "twice > 3"
say = "{x} twice is {twice}."
[[verdict]]
result = "twice"
when = "twice > 5"
say = "Never said."
[[verdict]]
result = "all"
when = "count(across(twice)) == 1"
say = "{all} of one vessel."
`, "A,x,2,,\n"))
	if got := find(t, s.Vessels[0].Results, "twice").Verdicts; len(got) != 1 || got[0] != "2.0 twice is 4.00 ± 0.11." {
		t.Errorf("said is %q", got)
	}
	if got := find(t, s.Results, "all").Verdicts; len(got) != 1 || got[0] != "4.00 ± 0.11 of one vessel." {
		t.Errorf("said of the run is %q", got)
	}
}

// A reader is told what he would act on: an interval that is off by more than a tenth of ±, or a mean that is. Four
// rectangles give 3.88 for 3.92, one that is ten times as wide 17.0 for 19.8 (JCGM 101:2008, 9.2.3 and 9.2.4, from memory).
func TestOnlyWhatMattersIsSaid(t *testing.T) {
	const blocks = oneStage + "tolerance = \"1.7320508075688772\"\n" + `
[[given]]
id = "wide"
value = "0"
tolerance = "17.320508075688772"
[[given]]
id = "other"
value = "0"
tolerance = "1.7320508075688772"
[[result]]
id = "even"
formula = "x + other"
unit = "1"
[[result]]
id = "uneven"
formula = "x + wide"
unit = "1"
[[result]]
id = "square"
formula = "(x + 10)^2"
unit = "1"
`
	s := tried(t, worked(t, blocks, "A,x,0,,\n"), 100_000, 1)
	for id, matters := range map[string]bool{"even": false, "uneven": true, "square": true} {
		m := find(t, s.Vessels[0].Results, id).MonteCarlo
		if m.Matters != matters || (m.Message != "") != matters {
			t.Errorf("%s: matters %v, %q; want %v", id, m.Matters, m.Message, matters)
		}
	}
	if want := "100000 trials give the interval of 1 of 3 results, to a tenth of its ±; where they do not, it is said there"; s.MonteCarlo != want {
		t.Errorf("%q, want %q", s.MonteCarlo, want)
	}
}
