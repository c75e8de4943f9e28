package print_test

import (
	"bytes"
	"regexp"
	"strings"
	"testing"

	"github.com/charmbracelet/lipgloss"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui/print"
)

func form(t *testing.T, id string, givens map[string]string, o print.Options, labels ...string) (*protocol.Protocol, string) {
	t.Helper()
	text, _ := protocols.Text(id)
	p, err := protocol.Load(id+".toml", text)
	if err != nil {
		t.Fatal(err)
	}
	sheet, err := p.Scale(givens)
	if err != nil {
		t.Fatal(err)
	}
	vessels := make([]print.FormVessel, len(labels))
	for i, l := range labels {
		vessels[i] = print.FormVessel{Label: l, Sheet: sheet}
	}
	var out bytes.Buffer
	if err := print.Form(&out, p, vessels, o); err != nil {
		t.Fatal(err)
	}
	return p, out.String()
}

// The form of every protocol has a blank for every reading, under the name that a table of readings gives it, and fits
// its page.
func TestFormHasABlankForEveryReading(t *testing.T) {
	for _, id := range protocols.IDs() {
		for _, o := range []print.Options{{}, {Ascii: true}, {Width: 60}} {
			p, text := form(t, id, nil, o, "A", "B")
			if n := strings.Count(text, "\f"); n != 1 {
				t.Errorf("%s: %d form feeds for two vessels", id, n)
			}
			for _, st := range p.Stages {
				for _, r := range st.Readings {
					want := 2 // two vessels
					if r.IsList() || r.Kind == protocol.Series && st.Portions > 0 {
						want = 2 * st.Portions // a series is gone on with in each portion
					}
					if n := strings.Count(text, "["+r.ID+"]"); n != want {
						t.Errorf("%s: [%s] stands there %d times, want %d", id, r.ID, n, want)
					}
				}
			}
			width := o.Width
			if width == 0 {
				width = 80
			}
			for line := range strings.Lines(text) {
				if w := lipgloss.Width(strings.Trim(line, "\f\n")); w > width {
					t.Errorf("%s: %d columns wide: %q", id, w, line)
				}
			}
			if o.Ascii && regexp.MustCompile(`[^\x00-\x7f]`).MatchString(text) {
				t.Errorf("%s: more than ASCII", id)
			}
		}
	}
}

// What tells vessels apart stands on each form: its givens, its letter over every stage; what is read once for all stands
// on the first one.
func TestFormsOfSeveralVessels(t *testing.T) {
	p, text := form(t, "ester-batch", map[string]string{"oil_mass": "40"}, print.Options{}, "A", "B")
	first, second, _ := strings.Cut(text, "\f")
	for _, st := range p.Stages {
		for _, want := range []string{st.Title + ", vessel A\n", st.Title + ", vessel B\n"} {
			if !strings.Contains(text, want) {
				t.Errorf("no stage is headed %q", want)
			}
		}
	}
	if n := strings.Count(first, "on the form of"); n != 0 {
		t.Errorf("the first form refers to another one %d times", n)
	}
	if !regexp.MustCompile(`Bath \[bath_temperature\].* on the form of A\n`).MatchString(second) {
		t.Error("the second form asks for the bath again")
	}
	for _, page := range []string{first, second} {
		if !regexp.MustCompile(`(?s)Given\n-+\n.*40(\.0)? g\n.*Have ready`).MatchString(page) {
			t.Error("a form does not say how much oil it is for")
		}
	}
}

func TestFormIsScaled(t *testing.T) {
	_, text := form(t, "ester-batch", map[string]string{"oil_mass": "25"}, print.Options{}, "A")
	for _, want := range []string{"Pour in 25 g of oil", "Add 5.5 mL of catalyst solution", "Interface [interface], 0 to 40 mL"} {
		if !strings.Contains(text, want) {
			t.Errorf("the form of half a batch lacks %q", want)
		}
	}
}
