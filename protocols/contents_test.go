package protocols_test

import (
	"slices"
	"strings"
	"testing"

	"example.org/meniscus/calc/reference"
	"example.org/meniscus/protocol"
	"example.org/meniscus/protocols"
)

// held says what is on the bench in the stages of a procedure, written down from the procedure itself, and which statements each
// substance must have there (Regulation (EC) 1272/2008 Annex VI; registration dossier of KOH: corrosive from 2 %, and from the
// first portion to the last wash by its pH). Strengths are worked out from the demo's weighings.
var held = map[string][]struct {
	stages   string
	contents string // a word of the title that it must be said of
	want     string
}{
	"ester-batch": {
		{"ready charge prewarm catalyst", "Catalyst solution", "H225 H314"},       // 97 % ethanol, 2.1 % KOH
		{"catalyst hold seed coalesce transfer", "Reaction mixture", "H225 H314"}, // 26 to 29 % ethanol, 0.6 % KOH
		{"settle draw-off wash", "Upper layer", "H225 H314"},                      // 17 % ethanol, some alkali
		{"settle draw-off wash", "Lower layer", "H225 H314"},                      // 30 % ethanol, 1.5 % KOH
		{"wash", "Wash water", "H226"},                                            // 25 to 37 % ethanol: flash point 26 to 29 °C
		{"wash ethanol-off", "Washed layer", "H225"},                              // a few percent of ethanol, driven off before drying
		{"product-titration", "2-propanol", "H225 H319 H336"},
		{"product-titration", "titrant", "H225 H319"},
	},
	"burn-test": {
		{"ready fill weigh-before water pre-period burn put-out post-period reweigh reset", "Ethanol", "H225 H319"},
	},
	"acid-and-catalyst": {
		{"standardise blank titrate fourth", "Titrant", "H225 H315 H319"}, // 0.7 % KOH in ethanol
		{"blank titrate fourth", "2-propanol", "H225 H319 H336"},
		{"standardise blank titrate fourth assay-check", "Indicator", "H225 H319"}, // below the limit of 1 % for H350
		{"dissolve", "KOH pellets", "H290 H302 H314"},
		{"dissolve", "NaOH pellets", "H290 H314"},
		{"dissolve assay-check label", "Catalyst solution", "H225 H314"}, // and no H302: 333 mg/kg over 0.026 is 12.8 g/kg
	},
}

// TestCautionsFollowContents: in each stage what is on the bench has its statements, and nothing there has one it must not have.
func TestCautionsFollowContents(t *testing.T) {
	for _, id := range protocols.IDs() {
		p := load(t, id)
		for _, h := range held[id] {
			for _, stage := range strings.Fields(h.stages) {
				var got []string
				for _, hazard := range protocol.HazardsOf(p.ContentsOf(p.Stage(stage))) {
					if slices.ContainsFunc(hazard.Of, func(of string) bool { return strings.Contains(of, h.contents) }) {
						got = append(got, hazard.Code)
					}
				}
				for _, code := range strings.Fields(h.want) {
					if !slices.Contains(got, code) {
						t.Errorf("%s, %s: %s has %v, want %s", id, stage, h.contents, got, code)
					}
				}
				if slices.Contains(got, "H302") && h.contents == "Catalyst solution" {
					t.Errorf("%s, %s: a solution of 2 to 3 %% is called harmful if swallowed", id, stage)
				}
			}
		}
	}
}

// TestStageHazards: each statement stands once, with a name or more; the signal word is that of the gravest; where something
// corrosive is on the bench the first aid stands too, with how long and what then.
func TestStageHazards(t *testing.T) {
	for _, id := range protocols.IDs() {
		p := load(t, id)
		for _, st := range p.Stages {
			contents := p.ContentsOf(st)
			hazards := protocol.HazardsOf(contents)
			seen := map[string]bool{}
			gravest := ""
			for _, h := range hazards {
				if seen[h.Code] || len(h.Of) == 0 || slices.Contains(h.Of, "") {
					t.Errorf("%s, %s: %s stands twice, or of nothing: %v", id, st.ID, h.Code, h.Of)
				}
				seen[h.Code] = true
				if s := reference.HazardClasses()[h.Code].Signal; gravest != "Danger" && s != "" {
					gravest = s
				}
			}
			if got := protocol.SignalWord(hazards); got != gravest {
				t.Errorf("%s, %s: the signal word is %q, want %q", id, st.ID, got, gravest)
			}
			sheet, err := p.Scale(nil)
			if err != nil {
				t.Fatal(err)
			}
			said := strings.Join(protocol.ToDo(contents, sheet), " ")
			for _, want := range []string{"15 min at least", "lids open", "lenses out", "medical help"} {
				if seen["H314"] && !strings.Contains(said, want) {
					t.Errorf("%s, %s: something corrosive is there, and %q is not said: %s", id, st.ID, want, said)
				}
			}
		}
	}
}
