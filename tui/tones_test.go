package tui

import (
	"io"
	"math"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/lucasb-eyer/go-colorful"
	"github.com/muesli/termenv"

	"example.org/meniscus/protocol/run"
)

// eyes turn the linear red, green and blue that a screen shows into what such an eye makes of them.
// Source: Machado, Oliveira and Fernandes, IEEE Trans. Vis. Comput. Graph. 15 (2009) 1291, the matrices of severity 1.0.
var eyes = map[string][3][3]float64{
	"usual":        {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
	"deuteranopia": {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}},
	"protanopia":   {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}},
}

func seen(by [3][3]float64, c colorful.Color) colorful.Color {
	r, g, b := c.LinearRgb()
	var out [3]float64
	for i, row := range by {
		out[i] = min(1, max(0, row[0]*r+row[1]*g+row[2]*b))
	}
	return colorful.LinearRgb(out[0], out[1], out[2])
}

// contrast is the ratio of WCAG 2.1, 1.4.3: of relative luminances, each with 0.05 for the light in the room.
func contrast(a, b colorful.Color) float64 {
	luminance := func(c colorful.Color) float64 {
		_, y, _ := c.Xyz()
		return y + 0.05
	}
	return max(luminance(a)/luminance(b), luminance(b)/luminance(a))
}

// TestTones: whoever cannot tell red from green tells the three tones apart, on whatever terminal. A difference of 2.3 is
// just noticed side by side (CIELAB; Mahy and others 1994, from memory); the tones are seen apart and small, so six times
// that is asked for. Where their colours are the program's own and not the terminal's, such an eye reads them, too.
func TestTones(t *testing.T) {
	const leastDifference, leastContrast = 15, 4.5
	for name, kind := range screenKinds() {
		styles := kind.styles()
		for eye, by := range eyes {
			least := math.Inf(1)
			for tone := run.Waiting; tone <= run.Late; tone++ {
				text, behind := kind.shown(t, styles[Shade(tone)])
				text = seen(by, text)
				if r := contrast(text, seen(by, behind)); r < leastContrast && kind.profile != termenv.ANSI {
					t.Errorf("%s, %s: tone %d has a contrast of %.1f, want %.1f", name, eye, tone, r, leastContrast)
				}
				for before := run.Waiting; before < tone; before++ {
					other, _ := kind.shown(t, styles[Shade(before)])
					d := 100 * text.DistanceCIEDE2000(seen(by, other))
					if least = min(least, d); d < leastDifference {
						t.Errorf("%s, %s: tones %d and %d differ by %.1f, want %d", name, eye, before, tone, d, leastDifference)
					}
				}
			}
			t.Logf("%s, %s: the tones differ by %.1f at least", name, eye, least)
		}
	}
}

// TestFewColours: with 256 and with 16 colours the three tones are still three, on both grounds.
func TestFewColours(t *testing.T) {
	for name, profile := range map[string]termenv.Profile{"true colour": termenv.TrueColor, "256 colours": termenv.ANSI256, "16 colours": termenv.ANSI} {
		for _, dark := range []bool{false, true} {
			r := lipgloss.NewRenderer(io.Discard)
			r.SetColorProfile(profile)
			r.SetHasDarkBackground(dark)
			styles := coloured(r)
			drawn := map[string]run.Tone{}
			for _, tone := range []run.Tone{run.Waiting, run.Hands, run.Late} {
				for _, role := range []Role{Shade(tone), Chip(tone)} {
					text := styles[role].Render("x")
					if as, twice := drawn[text]; twice {
						t.Errorf("%s, dark %t: tones %d and %d are both %q", name, dark, as, tone, text)
					}
					drawn[text] = tone
				}
			}
		}
	}
}

func hex(t *testing.T, s string) colorful.Color {
	t.Helper()
	c, err := colorful.Hex(s)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// TestDifference: the measure of TestTones gives the published differences.
// Source: Sharma, Wu and Dalal, Color Res. Appl. 30 (2005) 21, table 1; pairs that lie within what a screen can show.
func TestDifference(t *testing.T) {
	tests := []struct{ l1, a1, b1, l2, a2, b2, want float64 }{
		{50, 2.5, 0, 73, 25, -18, 27.1492},
		{50, 2.5, 0, 61, -5, 29, 22.8977},
		{50, 2.5, 0, 56, -27, -3, 31.9030},
		{50, 2.5, 0, 58, 24, 15, 19.4535},
		{2.0776, 0.0795, -1.1350, 0.9033, -0.0636, -0.5514, 0.9082},
	}
	for _, tt := range tests {
		a, b := colorful.Lab(tt.l1/100, tt.a1/100, tt.b1/100), colorful.Lab(tt.l2/100, tt.a2/100, tt.b2/100)
		if got := 100 * a.DistanceCIEDE2000(b); math.Abs(got-tt.want) > 5e-4 {
			t.Errorf("Lab %v, %v, %v to %v, %v, %v differ by %.4f, want %.4f", tt.l1, tt.a1, tt.b1, tt.l2, tt.a2, tt.b2, got, tt.want)
		}
	}
}
