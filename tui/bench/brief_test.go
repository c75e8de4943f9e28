package bench

import (
	"reflect"
	"testing"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// TestLabel: a name is shortened by whole words, does not end in a joining word, and keeps a number with its unit.
func TestLabel(t *testing.T) {
	for _, tt := range []struct {
		name string
		w    int
		want string
	}{
		{"Viscosity at 40 °C", 18, "Viscosity at 40 °C"},
		{"Viscosity at 40 °C", 17, "Viscosity"},
		{"Beaker, empty", 12, "Beaker"},
		{"Weigh the burner", 9, "Weigh"},
		{"Standardise", 8, ""},
		{"Charge", 0, ""},
	} {
		if got := boxGlyphs.label(tt.name, tt.w); got != tt.want {
			t.Errorf("%q in %d cells is %q, want %q", tt.name, tt.w, got, tt.want)
		}
	}
	if got := boxGlyphs.named("Standardise", 8); got != "Standar…" {
		t.Errorf("what must be told is %q, want Standar…", got)
	}
}

// TestBriefCautions: the words of statements go before plain sentences do, and nothing goes without a key in its place.
func TestBriefCautions(t *testing.T) {
	cautions := []string{
		"H225 Highly flammable liquid and vapour.", "EUH066 Repeated exposure may cause skin dryness or cracking.",
		"Stopper it at once. Keep it cool.",
	}
	for _, tt := range []struct {
		w, n int
		want []string
	}{
		{64, 3, []string{"! H225 Highly flammable liquid and vapour. EUH066 Repeated", "  exposure may cause skin dryness or cracking. Stopper it at", "  once. Keep it cool."}},
		{64, 2, []string{"! H225 Highly flammable liquid and vapour. EUH066. Stopper it at", "  once. Keep it cool. More: ?"}},
		{64, 1, []string{"! H225, EUH066. Stopper it at once. Keep it cool. More: ?"}},
		{46, 1, []string{"! H225, EUH066. Stopper it at once. More: ?"}},
		{30, 1, []string{"! H225, EUH066. More: ?"}},
		{14, 1, []string{"! Beware: ?"}},
	} {
		got := drawn(tt.w, tt.n, true, func(a area) {
			p := panel{area: a, view: run.View{Cautions: cautions}, help: tui.NewKeys().Help.Help().Key}
			rows, whole := p.cautionRows(tt.n)
			if whole != (tt.n == 3) {
				t.Errorf("in %d rows of %d cells, whole is %v", tt.n, tt.w, whole)
			}
			p.rows(0, rows)
		})
		if !reflect.DeepEqual(got, tt.want) {
			t.Errorf("in %d rows of %d cells the cautions are %q, want %q", tt.n, tt.w, got, tt.want)
		}
	}
}

// TestTapeSaysLess: a reason goes first, then the word beside a struck value, then the last words of a name; which portion
// it was stays, and a value is whole or not there at all.
func TestTapeSaysLess(t *testing.T) {
	for _, tt := range []struct {
		strip strip
		w     int
		want  string
	}{
		{strip{title: "corrected", more: ": misread", value: "54.1 g"}, 34, "0:00  corrected: misread    54.1 g"},
		{strip{title: "corrected", more: ": misread the scale", value: "54.1 g"}, 34, "0:00  corrected             54.1 g"},
		{strip{title: "Oil temperature", value: "53.9 g", struck: true}, 38, "0:00  Oil temperature  x struck 53.9 g"},
		{strip{title: "Oil temperature", value: "53.9 g", struck: true}, 34, "0:00  Oil temperature     x 53.9 g"},
		{strip{title: "Portion by difference", nth: " 2", value: "8.71 g"}, 30, "0:00  Portion 2         8.71 g"},
		{strip{title: "Label", value: "ester of rapeseed, vessel A, 2 March"}, 30, "0:00  Label      in the record"},
	} {
		if got := drawn(tt.w, 1, true, func(a area) { drawTape(a, []strip{tt.strip}) })[0]; got != tt.want {
			t.Errorf("on %d columns the tape has %q, want %q", tt.w, got, tt.want)
		}
	}
}
