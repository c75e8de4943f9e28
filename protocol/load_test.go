package protocol

import (
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"example.org/meniscus/calc/formula"
	"github.com/google/go-cmp/cmp"
)

const everythingFile = "../testdata/protocol/everything.toml"

// everything loads the file that has every part of the format.
func everything(t testing.TB) *Protocol {
	t.Helper()
	text, err := os.ReadFile(everythingFile)
	if err != nil {
		t.Fatal(err)
	}
	p, err := Load("everything.toml", text)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// minimal returns a sound file with more blocks below its head and one stage at its end.
func minimal(blocks string) string {
	return "format = 1\n[protocol]\nid = \"p\"\ntitle = \"P\"\nversion = \"1\"\n" + blocks +
		"\n[[stage]]\nid = \"last\"\ntitle = \"Last\"\nsteps = [\"Wipe the bench\"]\n"
}

func TestLoadOrder(t *testing.T) {
	p := everything(t)
	var got []string
	for _, a := range p.Amounts {
		got = append(got, "amount "+a.ID)
	}
	for _, in := range p.Instruments {
		got = append(got, "instrument "+in.ID)
	}
	for _, s := range p.Stages {
		got = append(got, fmt.Sprintf("stage %d %s", s.Number, s.ID))
	}
	for _, r := range p.Results {
		got = append(got, fmt.Sprintf("result %s list=%v run=%v", r.ID, r.IsList, r.OfRun))
	}
	want := []string{
		"amount solution_volume", "amount portion_volume", // each needs only earlier ones
		"instrument balance", "instrument thermometer",
		"stage 0 charge", "stage 1 warm", "stage 2 catalyst", "stage 3 clear-up",
		"result oil_taken list=false run=false", "result mean_oil list=false run=true",
		"result portion_ratio list=true run=false", "result of_mean list=false run=false",
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("-want +got:\n%s", d)
	}
}

func TestLoadStage(t *testing.T) {
	p := everything(t)
	charge := p.Stage("charge")
	if want := (Window{time.Minute, 3 * time.Minute, 10 * time.Minute}); charge.Hands != want {
		t.Errorf("hands = %v, want %v", charge.Hands, want)
	}
	warm := p.Stage("warm")
	if warm.Clock.AtMost != 30*time.Minute || warm.HasHands() {
		t.Errorf("warm: clock %v, hands %v; want 30 min at most and no hands phase", warm.Clock, warm.HasHands())
	}
	m := warm.Reminders[0]
	if m.Every != 2*time.Minute || m.Takes != 10*time.Second || m.Until != 12*time.Minute || m.Reading != "oil_temperature" {
		t.Errorf("reminder = %+v", m)
	}
	if s := p.Stage("clear-up"); len(s.Steps) != 1 || s.Steps[0].Say.String() != "Clear up" {
		t.Errorf("steps = %+v, want the stage's title as the one step", s.Steps)
	}
	c := p.Stage("catalyst")
	if d := cmp.Diff([]float64{0.42, 0.32, 0.26}, c.Shares); d != "" {
		t.Errorf("shares: %s", d)
	}
	if got := c.Steps[1].Say.Fill(nil, 1); got != "Add …; {not a name}" {
		t.Errorf("step = %q", got)
	}
	g := p.Guards[0]
	if d := cmp.Diff([]string{"full_flask", "flask"}, g.Names); d != "" {
		t.Errorf("readings of the guard: %s", d)
	}
}

func TestReadingsOf(t *testing.T) {
	p := everything(t)
	tests := []struct {
		stage   string
		phase   Phase
		portion int
		step    int
		want    string
	}{
		{"charge", HandsPhase, 1, 0, "flask"},
		{"charge", HandsPhase, 1, 1, "full_flask look poured"}, // no step: the last one
		{"warm", WaitPhase, 1, 0, "oil_temperature"},
		{"warm", HandsPhase, 1, 0, ""},
		{"warm", EndPhase, 1, 0, "bath_temperature"},
		{"catalyst", HandsPhase, 1, 0, "bottle"},
		{"catalyst", HandsPhase, 2, 0, ""}, // step and reading of portion 1 only
		{"catalyst", HandsPhase, 2, 1, "added mixed"},
		{"clear-up", HandsPhase, 1, 0, "efflux remark cold"},
	}
	for _, tt := range tests {
		var ids []string
		for _, r := range p.Stage(tt.stage).ReadingsOf(tt.phase, tt.portion, tt.step) {
			ids = append(ids, r.ID)
		}
		if got := strings.Join(ids, " "); got != tt.want {
			t.Errorf("%s phase %d portion %d step %d: got %q, want %q", tt.stage, tt.phase, tt.portion, tt.step, got, tt.want)
		}
	}
}

func TestPlanned(t *testing.T) {
	p := everything(t)
	// charge 3 min; warm 12 min; catalyst 3 portions of 40 s with two waits of 1 min between them; clear-up none
	if got, want := p.Planned(), 19*time.Minute; got != want {
		t.Errorf("Planned() = %v, want %v", got, want)
	}
	if got, want := p.HandsOn(), 7*time.Minute; got != want { // the catalyst stage is attended
		t.Errorf("HandsOn() = %v, want %v", got, want)
	}
	c := p.Stage("catalyst")
	if !c.WaitsAfter(1) || !c.WaitsAfter(2) || c.WaitsAfter(3) {
		t.Error("the clock must run between the portions only")
	}
	if w := p.Stage("warm"); !w.WaitsAfter(1) {
		t.Error("the clock of a stage without portions must run")
	}
}

func TestValueType(t *testing.T) {
	p := everything(t)
	tests := []struct {
		name, unit string
		kind       formula.Kind
		ok         bool
	}{
		{"oil_mass", "g", formula.Number, true},
		{"oil", "1", formula.Text, true},
		{"practice_oil", "1", formula.Text, true},
		{"portion_volume", "mL", formula.List, true},
		{"oil_temperature", "Cel", formula.Series, true},
		{"added", "mL", formula.List, true},
		{"bottle", "g", formula.Number, true}, // with portion 1 only
		{"poured", "min", formula.Number, true},
		{"efflux", "s", formula.Number, true},
		{"cold", "1", formula.Truth, true},
		{"mixed", "1", formula.Number, false}, // a tick for each portion
		{"catalyst.shares", "1", formula.List, true},
		{"clear-up.shares", "1", formula.Number, false}, // no name of a formula
		{"nobody", "1", formula.Number, false},
	}
	for _, tt := range tests {
		typ, ok := typeOf(p.index[tt.name])
		if ok != tt.ok || typ.Kind != tt.kind || typ.Unit.String() != tt.unit {
			t.Errorf("%s: got %s in %s, %v; want %s in %s, %v", tt.name, typ.Kind, typ.Unit, ok, tt.kind, tt.unit, tt.ok)
		}
	}
}

func TestCautions(t *testing.T) {
	p := everything(t)
	hazards := HazardsOf(p.ContentsOf(p.Stage("catalyst")))
	got := []string{Beware(hazards, 1, nil)}
	for _, c := range p.CautionsFor(p.Stage("catalyst")) {
		got = append(got, c.Say.String())
	}
	want := []string{
		"Danger. Ethanol: H225 Highly flammable liquid and vapour, H319.", // UN GHS, Annex 3
		"Goggles on for all of it; lot {lot}.",
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("-want +got:\n%s", d)
	}
	if n, held := len(p.CautionsFor(p.Stage("charge"))), p.ContentsOf(p.Stage("charge")); n != 1 || held != nil {
		t.Errorf("%d cautions and %v for the first stage, want the caution of the whole run", n, held)
	}
}

// A byte order mark and the line ends of another system change nothing.
func TestLoadLineEnds(t *testing.T) {
	text, err := os.ReadFile(everythingFile)
	if err != nil {
		t.Fatal(err)
	}
	p, err := Load("everything.toml", []byte("\ufeff"+strings.ReplaceAll(string(text), "\n", "\r\n")))
	if err != nil {
		t.Fatal(err)
	}
	if got, want := len(p.Stages), 4; got != want {
		t.Errorf("%d stages, want %d", got, want)
	}
}

func TestLoadBounds(t *testing.T) {
	many := func(n int, block string) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, block, i)
		}
		return minimal(b.String())
	}
	tests := []struct{ name, text, want string }{
		{"size", strings.Repeat("#", MaxSize+1), "p.toml:1:1: the file has 1048577 bytes: at most 1048576 are read"},
		{"depth", "a = " + strings.Repeat("[", 400000), "p.toml:1:17: brackets are nested more than 12 deep"},
		{"dots", "a" + strings.Repeat(".a", 100000) + " = 1", "p.toml:1:1: a key of 100001 parts: at most 8 are read"},
		{"stages", many(200, "[[stage]]\nid = \"s%d\"\ntitle = \"S\"\nsteps = [\"x\"]\n"), "p.toml:6:1: the file: 201 blocks of stage: at most 200 are read"},
		{"utf-16", "\xff\xfef\x00", "p.toml:1:1: the file is not UTF-8 text"},
		{"utf-8", "a = \"\xff\"", "p.toml:1:1: the file is not UTF-8 text"},
	}
	for _, tt := range tests {
		_, err := Load("p.toml", []byte(tt.text))
		if err == nil || err.Error() != tt.want {
			t.Errorf("%s: got %.200v, want %s", tt.name, err, tt.want)
		}
	}
}

func TestLoadTooManyFaults(t *testing.T) {
	_, err := Load("p.toml", []byte(minimal(strings.Repeat("[[caution]]\n", 150))))
	es, ok := err.(Errors)
	if !ok || len(es) != maxFaults+1 || !strings.Contains(es[maxFaults].Msg, "more than 100 faults") {
		t.Errorf("got %d errors, want %d and a word about the rest", len(es), maxFaults)
	}
}

func BenchmarkLoad(b *testing.B) {
	text, err := os.ReadFile(everythingFile)
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		if _, err := Load("everything.toml", text); err != nil {
			b.Fatal(err)
		}
	}
}

func TestVerdictsAreRead(t *testing.T) {
	p := everything(t)
	if len(p.Verdicts) != 2 {
		t.Fatalf("%d verdicts, want 2", len(p.Verdicts))
	}
	one, ofRun := p.Verdicts[0], p.Verdicts[1]
	if one.Result != p.Result("oil_taken") || one.When.String() != "oil_taken < 0.5 * oil_mass" || one.Say.String() != "{oil_taken} is too little to tell." {
		t.Errorf("the first verdict is %+v", one)
	}
	if ofRun.Result != p.Result("mean_oil") || !ofRun.Result.OfRun {
		t.Errorf("the second verdict is on %+v, want mean_oil, of the run", ofRun.Result)
	}
}
