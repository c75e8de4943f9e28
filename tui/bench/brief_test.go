package bench

import (
	"reflect"
	"testing"

	"example.org/meniscus/protocol"
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

// TestBriefCautions: the words of statements go before plain sentences do, the least grave first; a code keeps what it is said
// of, and nothing goes without a key in its place.
func TestBriefCautions(t *testing.T) {
	view := run.View{
		Hazards: []protocol.Hazard{
			{Code: "H314", Of: []string{"Lye"}}, {Code: "H225", Of: []string{"Lye", "Ethanol"}}, {Code: "EUH066", Of: []string{"Lye", "Ethanol"}},
		},
		Cautions: []string{"Stopper it at once. Keep it cool."},
	}
	for _, tt := range []struct {
		w, n int
		want []string
	}{
		{80, 3, []string{
			"! Danger. Lye: H314 Causes severe skin burns and eye damage. Lye; Ethanol: H225",
			"  Highly flammable liquid and vapour, EUH066 Repeated exposure may cause skin",
			"  dryness or cracking. Stopper it at once. Keep it cool.",
		}},
		{80, 2, []string{
			"! Danger. Lye: H314 Causes severe skin burns and eye damage. Lye; Ethanol: H225",
			"  Highly flammable liquid and vapour, EUH066. Stopper it at once. Keep it cool.",
		}},
		{90, 1, []string{"! Danger. Lye: H314. Lye; Ethanol: H225, EUH066. Stopper it at once. Keep it cool. More: ?"}},
		{76, 1, []string{"! Danger. Lye: H314. Lye; Ethanol: H225, EUH066. Stopper it at once. More: ?"}},
		{56, 1, []string{"! Danger. Lye: H314. Lye; Ethanol: H225, EUH066. More: ?"}},
		{48, 1, []string{"! Danger: H314, H225, EUH066. More: ?"}},
		{14, 1, []string{"! Danger: ?"}},
	} {
		got := drawn(tt.w, tt.n, true, func(a area) {
			p := panel{area: a, view: view, help: tui.NewKeys().Help.Help().Key}
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

// TestTapeSaysLess: a reason goes first, then the word beside a struck value, then the last words of a name, then what was done;
// which portion it was stays, and a value is whole or not there at all.
func TestTapeSaysLess(t *testing.T) {
	for _, tt := range []struct {
		strip strip
		w     int
		want  string
	}{
		{strip{title: "Interface", nth: " 3", act: " corrected", more: ": misread", value: "17.0 mL"}, 46, "0:00  Interface 3 corrected: misread   17.0 mL"},
		{strip{title: "Interface", nth: " 3", act: " corrected", more: ": misread the scale", value: "17.0 mL"}, 46, "0:00  Interface 3 corrected            17.0 mL"},
		{strip{title: "Oil temperature", act: " corrected", more: ": misread", value: "54.1 g"}, 30, "0:00  Oil corrected     54.1 g"},
		{strip{title: "Temperature", act: " corrected", more: ": misread", value: "54.1 g"}, 26, "0:00  Temperature   54.1 g"},
		{strip{title: "Interface", nth: " 3", act: " corrected", value: "17.0 mL", struck: true}, 45, "0:00  Interface 3 corrected  x struck 17.0 mL"},
		{strip{title: "Interface", nth: " 3", act: " taken back", more: ": the wrong glass", value: "not taken"}, 46, "0:00  Interface 3 taken back         not taken"},
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
