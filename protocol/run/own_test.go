package run

import (
	"slices"
	"testing"
)

// TestOwn: a vessel is told by the first choice that is left to each, by what was set for it, and by what another one has
// otherwise.
func TestOwn(t *testing.T) {
	const oils = `format = 1
[protocol]
id = "oils"
title = "Oils"
version = "1"
[[given]]
id = "mass"
value = "50 g"
per_vessel = true
[[given]]
id = "oil"
kind = "choice"
choices = ["rape_seed", "olive"]
value = "rape_seed"
per_vessel = true
[[given]]
id = "stir"
kind = "choice"
choices = ["by hand", "never"]
value = "by hand"
per_vessel = true
[[given]]
id = "batch"
kind = "choice"
choices = ["first", "second"]
value = "first"
[[stage]]
id = "look"
title = "Look"
steps = ["Look"]
`
	set := func(label string, givens ...string) VesselBegun {
		b := VesselBegun{Label: label, Givens: map[string]string{}}
		for i := 0; i < len(givens); i += 2 {
			b.Givens[givens[i]] = givens[i+1]
		}
		return b
	}
	for _, tt := range []struct {
		name    string
		vessels []VesselBegun
		want    [][]string
	}{
		{"alone", []VesselBegun{set("A")}, [][]string{{"rape seed"}}},
		{"alone, with its own", []VesselBegun{set("A", "mass", "60 g", "stir", "never")}, [][]string{{"mass 60 g", "rape seed", "never"}}},
		{"both alike", []VesselBegun{set("A"), set("B")}, [][]string{{"rape seed"}, {"rape seed"}}},
		{"one has another mass", []VesselBegun{set("A"), set("B", "mass", "60 g")}, [][]string{{"mass 50 g", "rape seed"}, {"mass 60 g", "rape seed"}}},
		{"one is not stirred", []VesselBegun{set("A", "oil", "olive"), set("B", "stir", "never")}, [][]string{{"olive", "by hand"}, {"rape seed", "never"}}},
	} {
		s, _, err := Begin(Begun{Run: "r", File: "oils.toml", Protocol: oils, Vessels: tt.vessels}, Moment{At: noon})
		if err != nil {
			t.Fatal(err)
		}
		for i, v := range s.Vessels {
			if got := s.Look(v.Label, 0).Own; !slices.Equal(got, tt.want[i]) {
				t.Errorf("%s: %s is told by %q, want %q", tt.name, v.Label, got, tt.want[i])
			}
		}
	}
}
