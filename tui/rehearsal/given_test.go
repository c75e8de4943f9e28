package rehearsal_test

import (
	"maps"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/meniscus/protocols"
	"example.org/meniscus/tui/rehearsal"
)

// giving are the givens of each vessel of a script, with some set for one of them.
func giving(script protocols.Script, labels string, vessel string, set map[string]string) map[string]map[string]string {
	out := map[string]map[string]string{}
	for _, r := range labels {
		label := string(r)
		out[label] = script.GivensOf(label)
		if label == vessel {
			maps.Copy(out[label], set)
		}
	}
	return out
}

// TestOtherGivens: readings that do not suit are asked about, answered with yes and marked; what is not asked any more is not
// answered; and every face plays it to the same end.
func TestOtherGivens(t *testing.T) {
	for _, tt := range []struct {
		name, protocol, vessel string
		set                    map[string]string
		more                   int // lines than the script has
	}{
		{"its own", "ester-batch", "A", nil, 0},
		{"more oil", "ester-batch", "A", map[string]string{"oil_mass": "60 g"}, 11},
		{"a gate that is met sooner", "ester-batch", "A", map[string]string{"gate_below": "5 K"}, 0},
		{"another fuel", "burn-test", "B", map[string]string{"fuel": "ethanol"}, 0},
	} {
		t.Run(tt.name, func(t *testing.T) {
			script, _ := protocols.Demo(tt.protocol)
			n := len(script.Lines)
			labels := "AB"[:len(script.Vessels)]
			script, err := rehearsal.With(script, giving(script, labels, tt.vessel, tt.set))
			if err != nil {
				t.Fatal(err)
			}
			if more := len(script.Lines) - n; more != tt.more {
				t.Errorf("%d lines more than the script, want %d", more, tt.more)
			}
			want := forms(t, byOperator(t, script))
			for name, f := range map[string]face{"plain": byPipe, "keys": byKeys} {
				if diff := cmp.Diff(want, forms(t, f(t, script))); diff != "" {
					t.Errorf("%s (- operator, + %s):\n%s", name, name, diff)
				}
			}
		})
	}
}

// TestOtherGivensOfOneOfSeveral: only the vessel that is given something else has more to answer.
func TestOtherGivensOfOneOfSeveral(t *testing.T) {
	alone, _ := protocols.Demo("ester-batch")
	usual, err := rehearsal.Several(alone, 3, nil)
	if err != nil {
		t.Fatal(err)
	}
	script, err := rehearsal.Several(alone, 3, giving(alone, "ABC", "B", map[string]string{"oil_mass": "60 g"}))
	if err != nil {
		t.Fatal(err)
	}
	answers := func(s protocols.Script) map[string]int {
		n := map[string]int{}
		for _, l := range s.Lines {
			if l.Answer {
				n[l.Vessel]++
			}
		}
		return n
	}
	was, is := answers(usual), answers(script)
	if is["A"] != was["A"] || is["C"] != was["C"] || is["B"] <= was["B"] {
		t.Errorf("%v answers by vessel, %v with the usual givens: want more for B alone", is, was)
	}
	forms(t, byOperator(t, script))
}
