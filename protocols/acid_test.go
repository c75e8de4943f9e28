package protocols_test

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"example.org/meniscus/calc/reference"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui"
	"example.org/meniscus/tui/rehearsal"
)

// The oil for one titration follows from the acid value expected (ISO 660, Table 1, from memory).
func TestSampleByTheAcidValueExpected(t *testing.T) {
	p := load(t, acid)
	for _, tt := range []struct {
		expected string
		grams    float64
	}{{"0", 20}, {"0.14", 20}, {"0.99", 20}, {"1", 10}, {"2.36", 10}, {"3.99", 10}, {"4", 2.5}, {"14.9", 2.5}} {
		sheet, err := p.Scale(map[string]string{"expected_acid_value": tt.expected})
		if err != nil {
			t.Fatal(err)
		}
		got, err := sheet.Value("sample_mass")
		if err != nil {
			t.Fatal(err)
		}
		compare(t, "sample for "+tt.expected+" mg/g", got, []float64{tt.grams}, 1e-9, "ISO 660, Table 1 (from memory)")
	}
}

// A 10 mL burette holds what the phthalate takes, from the least to the most that is expected: mass over 204.22 g/mol over
// 0.1 mol/L (worked by hand), and 0.18 g, which EN 14104:2021 takes, lies between.
func TestPhthalateFitsTheBurette(t *testing.T) {
	p := load(t, acid)
	khp, titre := p.Reading("khp"), p.Reading("khp_titre")
	if !khp.IsList() || !titre.IsList() || khp.Stage.Portions != 3 {
		t.Errorf("standardised %d times, want 3", khp.Stage.Portions)
	}
	for _, tt := range []struct {
		grams string
		fits  bool
	}{{"0.13", false}, {"0.14", true}, {"0.18", true}, {"0.19", true}, {"0.21", false}} { // 6.4 mL, 6.9, 8.8, 9.3, 10.3
		s, err := play(t, acid, slipping(t, "A", []slip{{"6m30s", tt.grams, false}}))
		if err != nil {
			t.Fatal(err)
		}
		taken := s.Vessels[0].Taken
		if fits := taken[len(taken)-1].Reading.ID == "khp"; fits != tt.fits { // else it is asked about
			t.Errorf("%s g of hydrogen phthalate is expected: %v, want %v", tt.grams, fits, tt.fits)
		}
	}
}

func mustPlay(t *testing.T, change func([]protocols.Line) []protocols.Line) *run.State {
	t.Helper()
	s, err := play(t, acid, change)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Three standardisings: the titrant is their mean, and their scatter s/√3 with 2 degrees of freedom is in its budget
// (JCGM 100:2008, 4.2.3) where it is more than what the instruments explain.
func TestTitrantThreeTimes(t *testing.T) {
	got := resultOf(t, reworked(t, acid, changes{"khp_titre#3": "8.80"}), "titrant")
	var each []float64
	for _, x := range [][2]float64{{0.1652, 8.20}, {0.1587, 7.87}, {0.1731, 8.80}} {
		each = append(each, x[0]/204.221/x[1]*1e3)
	}
	mean := (each[0] + each[1] + each[2]) / 3
	if math.Abs(*got.Value-mean) > 1e-6 {
		t.Errorf("titrant %g mol/L, want %g", *got.Value, mean)
	}
	var squares float64
	for _, c := range each {
		squares += (c - mean) * (c - mean)
	}
	u := math.Sqrt(squares / 2 / 3)
	for _, e := range got.Quantity.By {
		if strings.HasPrefix(e.Source.Name, "repeats:") && math.Abs(e.Amount-u) < 1e-3*u && e.Source.DoF == 2 {
			return
		}
	}
	t.Errorf("no scatter of s/√3 = %g with 2 degrees of freedom in %v", u, got.Quantity.By)
}

// Titrant that is warmer than when it was standardised is thinner: 10 K are 1.1 % of the volume (EN 14104:2003, clause 10,
// note), and so of the acid value, worked by hand.
func TestWarmTitrantIsCorrected(t *testing.T) {
	warm := resultOf(t, reworked(t, acid, changes{"titrant_temperature": "31.4"}), "acid_value")
	if want := (byHand(4.28, 31.4, 10.04) + byHand(4.27, 31.4, 9.95) + byHand(4.35, 31.4, 10.11)) / 3; math.Abs(*warm.Value-want) > 5e-5*want {
		t.Errorf("acid value %g mg/g with titrant at 31.4 °C, want %g", *warm.Value, want)
	}
	level := resultOf(t, reworked(t, acid, changes{"titrant_temperature": "21.4"}), "acid_value")
	if ratio := *warm.Value / *level.Value; math.Abs(ratio-0.989) > 2e-4 { // the blank, a two hundredth of it, is not corrected
		t.Errorf("10 K of warmth multiply the acid value by %g, want 0.989", ratio)
	}
}

// The strength that the check finds is what the vessel's solution is counted by, and what is copied to the label and the
// batch: 9.15 mL instead of 9.43 mL of acid are 3 % less KOH, so 3 % more solution.
func TestStrengthFoundGoesOn(t *testing.T) {
	as := resultOf(t, reworked(t, acid, nil), "solution_for_vessel")
	weaker := reworked(t, acid, changes{"acid_titre": "9.15"})
	if got, want := *resultOf(t, weaker, "solution_for_vessel").Value / *as.Value, 9.43/9.15; math.Abs(got-want) > 1e-4 {
		t.Errorf("%g times the solution, want %g", got, want)
	}
	// 9.15 mL · 0.1 mol/L · 56.105 g/mol / 2.011 g, by hand
	if got := *resultOf(t, weaker, "koh_found").Value; math.Abs(got-2.5527) > 5e-4 {
		t.Errorf("%g %% KOH as found, want 2.5527", got)
	}
	s := mustPlay(t, nil)
	for _, step := range s.Protocol.Stage("label").Steps {
		if say := step.Say.Fill(s.Values("A"), 0); !strings.Contains(say, "2.631 ± ") {
			t.Errorf("the label's step does not tell the strength as found, 2.631 %%: %s", say)
		}
	}
}

// Above 4 mg/g no pellets are dissolved: the dose before it is not entered, nor left when a correction comes late, and how many
// pellets it would take is not told.
func TestNoAlkaliForSourOil(t *testing.T) {
	tests := []struct {
		what, at, stage, barred string
		change                  func([]protocols.Line) []protocols.Line
	}{
		{"7.60 mL of each sample: 4.2 mg/g", "39m43s", "fourth", "Dose is barred", sour(t, "7.60")},
		{"corrected when the assay is asked for", "41m20s", "dose", "Dose is barred", lately(t)},
	}
	for _, tt := range tests {
		s, err := play(t, acid, tt.change)
		for _, want := range []string{tt.barred, "not by alkali", "4 mg/g", "Esterify with acid first", "another oil"} {
			if err == nil || !strings.Contains(err.Error(), want) {
				t.Errorf("%s: got %v, want %q", tt.what, err, want)
			}
		}
		if st := s.Protocol.Stages[s.Vessels[0].Stage].ID; st != tt.stage {
			t.Errorf("%s: the vessel stands in %s, want %s", tt.what, st, tt.stage)
		}
	}
	s, _ := play(t, acid, sour(t, "7.60"))
	if v, err := s.Result("A", s.Protocol.Result("batch_pellets")); err == nil {
		t.Errorf("%g g of pellets are told for an oil that is not to be tried", v.Number.Value)
	}
	if s, err := play(t, acid, sour(t, "7.10")); err == nil || strings.Contains(err.Error(), "barred") { // 3.9 mg/g: other pellets are asked about
		t.Errorf("3.9 mg/g: %v, in %s", err, s.Protocol.Stages[s.Vessels[0].Stage].ID)
	}
}

// sour types the same titre for each sample.
func sour(t *testing.T, titre string) func([]protocols.Line) []protocols.Line {
	return typing(t, "4.28", titre, "4.35", titre, "c 4.27 decimal mark one place off", "c "+titre+" decimal mark one place off")
}

// lately corrects the titres to those of a sour oil when the assay of the pellets is due.
func lately(t *testing.T) func([]protocols.Line) []protocols.Line {
	return func(lines []protocols.Line) []protocols.Line {
		i := slices.IndexFunc(lines, func(l protocols.Line) bool { return l.Typed == "86.0" })
		if i < 0 {
			t.Fatal("nobody types 86.0")
		}
		var late []protocols.Line
		for j, portion := range []string{"1", "2", "3"} {
			l := lines[i]
			l.At += time.Duration(j-4) * time.Second
			l.Typed = "c titre." + portion + " 7.60 misread"
			late = append(late, l)
		}
		on := lines[i]
		on.At, on.Typed = on.At+time.Second, ""
		return slices.Insert(slices.Insert(lines, i+1, on), i, late...)
	}
}

// The interlock is about the oil, so the balance in another vessel's hands keeps nobody from the pellets.
func TestBalanceElsewhereBarsNoPellets(t *testing.T) {
	script, _ := protocols.Demo(acid)
	script.Vessels = []string{"A", "B"}
	begun, err := rehearsal.Begun(script, "demo", "test")
	if err != nil {
		t.Fatal(err)
	}
	clock := rehearsal.NewClock(rehearsal.Day)
	s, _, err := run.Begin(begun, clock.Now())
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(script.Lines, func(l protocols.Line) bool { return l.Typed == "86.0" })
	lines := slices.Clone(script.Lines[:i])
	at := script.Lines[i-1].At
	// B goes to its first titration, and weighs: what is standardised serves it too.
	for _, typed := range []string{"", "", "", "", "t lot 7", "", "", "", "", "", "", "", "", "", "0.02", "10.02"} {
		at += 5 * time.Second
		lines = append(lines, protocols.Line{At: at, Vessel: "B", Typed: typed})
	}
	lines = append(lines, protocols.Line{At: at + 5*time.Second, Vessel: "A", Typed: "86.0"})
	if err := rehearsal.Play(tui.NewOperator(run.NewEngine(s, &rehearsal.Memory{}, clock)), clock, lines); err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{"dissolve", "titrate"} {
		if got := s.Protocol.Stages[s.Vessels[i].Stage].ID; got != want {
			t.Errorf("%s stands in %s, want %s", s.Vessels[i].Label, got, want)
		}
	}
}

// Whatever holds alkali says its own first aid, with how long and what then; pellets on skin have a line of their own where they
// are weighed; and what to do with fire and burns is said in every stage that has alcohol.
func TestFirstAidAtThePellets(t *testing.T) {
	p := load(t, acid)
	sheet, err := p.Scale(nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range p.Contents {
		if slices.ContainsFunc(c.Parts, isAlkali) && !strings.Contains(c.Say.Fill(sheet, 0), "15 min at least, lids open, lenses out meanwhile; then medical help") {
			t.Errorf("%s: no first aid", c.Title)
		}
	}
	for _, st := range p.Stages {
		said := ""
		for _, c := range p.CautionsFor(st) {
			said += c.Say.Fill(sheet, 0) + " "
		}
		wants := []string{"carbon dioxide, powder or foam", "cool running water, 20 min"}
		if st.ID == "dissolve" {
			wants = append(wants, "brush it off", "rinse under running water, 15 min at least", "medical help")
		}
		for _, want := range wants {
			if !strings.Contains(said, want) {
				t.Errorf("%s: %q is not said: %s", st.ID, want, said)
			}
		}
	}
}

func isAlkali(p reference.Part) bool { return p.Substance == "KOH" || p.Substance == "NaOH" }

// The solvent is named, neutralised against the indicator before the blank, and the drops are counted wherever it goes in.
func TestSolventIsNeutralised(t *testing.T) {
	steps := func(stage string) string {
		p := load(t, acid)
		sheet, err := p.Scale(nil)
		if err != nil {
			t.Fatal(err)
		}
		var out []string
		for _, s := range p.Stage(stage).Steps {
			out = append(out, s.Say.Fill(sheet, 0))
		}
		return strings.Join(out, "; ")
	}
	for stage, wants := range map[string][]string{
		"ready":       {"2-propanol, 99 % at least", "dried 2 h at 110 °C", "water boiled 10 min"},
		"standardise": {"0.14 to 0.19 g", "boiled water", "3 drops of indicator"},
		"blank":       {"500 mL of 2-propanol", "6 drops (0.3 mL) of indicator to each 100 mL", "Neutralise", "Titrate 100 mL of it"}, // EN 14104:2003, 5.1 and 9.2.1
		"titrate":     {"10 g of oil", "100 mL of the neutralised solvent", "temperature"},
		"fourth":      {"10 g of oil", "100 mL of the neutralised solvent", "temperature"},
		"assay-check": {"boiled water", "3 drops of indicator"},
	} {
		for _, want := range wants {
			if got := steps(stage); !strings.Contains(got, want) {
				t.Errorf("%s: %q is not said: %s", stage, want, got)
			}
		}
	}
}
