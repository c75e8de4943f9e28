package bench

import (
	"strings"
	"testing"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui"
)

// TestUnfitWantsAWord: the briefing of a batch that is too large for its cylinder is acknowledged with y and a word why, and not by
// Enter alone; the word stands in the record.
func TestUnfitWantsAWord(t *testing.T) {
	text, _ := protocols.Text("ester-batch")
	p := &player{t: t}
	s, _, err := run.Begin(run.Begun{Run: "run-1", File: "ester-batch.toml", Protocol: string(text),
		Vessels: []run.VesselBegun{{Label: "A", Givens: map[string]string{"oil_mass": "100 g"}}}}, p.Now())
	if err != nil {
		t.Fatal(err)
	}
	o := p.options()
	o.Operator = tui.NewOperator(run.NewEngine(s, p, p))
	p.model = New(o)
	p.size(80, 24)
	p.play("", "+5s", "")
	if s.Acknowledged || !strings.Contains(p.text(), "y and a word why") {
		t.Fatalf("Enter alone began it, or the word is not asked for:\n%s", p.text())
	}
	p.play("+5s", "y", "+5s", "y two cylinders")
	if !s.Acknowledged || s.Unfit() != "" || s.Deviations[0].Why != "two cylinders" {
		t.Errorf("it is begun: %v, and the record says %+v:\n%s", s.Acknowledged, s.Deviations, p.text())
	}
}
