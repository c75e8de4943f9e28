package print

import (
	"bytes"
	"encoding/csv"
	"flag"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/charmbracelet/lipgloss"
	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/paper"
	"example.org/meniscus/protocol/summary"
)

var update = flag.Bool("update", false, "write the golden files anew")

const testdata = "../../testdata/"

func weighings(t testing.TB) *protocol.Protocol {
	t.Helper()
	text, err := os.ReadFile(testdata + "paper/weighings.toml")
	if err != nil {
		t.Fatal(err)
	}
	p, err := protocol.Load("weighings.toml", text)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func summed(t testing.TB, p *protocol.Protocol, rows string) *summary.Summary {
	t.Helper()
	events, err := paper.Read(strings.NewReader(rows), p, "readings.csv", paper.Options{Run: "weighings-1", Program: "meniscus 0.1"})
	if err != nil {
		t.Fatal(err)
	}
	s, err := summary.Of(p, events)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// sample is a run with something in every section.
func sample(t testing.TB) *summary.Summary {
	s := summed(t, weighings(t), paper.Header+`
A,wanted,"10,0",g,2026-03-02T09:30:00+01:00
A,lot,LOT 7,,2026-03-02T09:31:00+01:00
A,empty,112.36,g,2026-03-02T09:31:30+01:00
A,full,122.35,g,2026-03-02T09:33:00+01:00
A,standing_since,,,2026-03-02T09:34:00+01:00
A,temperature,"23,40",Cel,2026-03-02T09:35:00+01:00
A,temperature,31.0,Cel,2026-03-02T09:37:00+01:00
A,look,cloudy,,2026-03-02T09:38:00+01:00
A,capped,yes,,
A,efflux,7:30,,2026-03-02T09:46:00+01:00
A,titre,2.19,,2026-03-02T09:50:00+01:00
A,titre,2180,uL,2026-03-02T09:52:00+01:00
B,empty,110.00,g,2026-03-02T09:40:00+01:00
B,full,109.00,g,2026-03-02T09:41:00+01:00
`)
	minute := func(n int) time.Duration { return time.Duration(n) * time.Minute }
	wrong := 102.35
	a := &s.Vessels[0]
	a.Readings[2].Corrections = []summary.Correction{{Typed: "102.35", Value: &wrong, Why: "digits swapped"}}
	a.Notes = []summary.Note{{Text: "Draught from the door while the balance settled, so it was read twice.", Elapsed: minute(3)}}
	a.Deviations = append(a.Deviations, summary.Deviation{Kind: "late", What: "Wait, wait", Planned: "4:00 to 10:00, aim 5:00",
		Done: "12:40", Why: "called to the door", Elapsed: minute(16)})
	s.Notes = []summary.Note{{Text: "Shared bench.", Elapsed: minute(1)}}
	s.Restarts = []summary.Restart{{GapS: 95, Elapsed: minute(18)}}
	s.Vessels[1].GivenUp = "spilled"
	return s
}

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	file := filepath.Join(testdata, "print", name)
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(string(want), string(got)); d != "" {
		t.Errorf("%s (-want +got):\n%s", name, d)
	}
}

func TestForms(t *testing.T) {
	s := sample(t)
	text := func(o Options) func(io.Writer) error {
		return func(w io.Writer) error { return Text(w, s, o) }
	}
	forms := []struct {
		name  string
		write func(io.Writer) error
	}{
		{"page.txt", text(Options{})},
		{"page-budget.txt", text(Options{Budget: true})},
		{"page-48-ascii.txt", text(Options{Width: 48, Ascii: true})},
		{"page.md", func(w io.Writer) error { return Markdown(w, s, Options{}) }},
		{"page.html", func(w io.Writer) error { return HTML(w, s, Options{}) }},
		{"readings.csv", func(w io.Writer) error { return CSV(w, s) }},
		{"summary.json", func(w io.Writer) error { return JSON(w, s) }},
	}
	for _, f := range forms {
		t.Run(f.name, func(t *testing.T) {
			var first, again bytes.Buffer
			if err := f.write(&first); err != nil {
				t.Fatal(err)
			}
			if err := f.write(&again); err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(first.Bytes(), again.Bytes()) {
				t.Error("written twice, it differs")
			}
			golden(t, f.name, first.Bytes())
		})
	}
}

// A run's own readings, written as CSV and read back, give the same results to the last digit.
func TestReadingsGoThroughCSVUnchanged(t *testing.T) {
	p := weighings(t)
	rows := "A,wanted,10.1,g,\nA,empty,112.36,,\nA,full,122.350000001,,0.3333\nA,temperature,23.4,,1.1\nA,temperature,22.1,,7.77\n" +
		"A,titre,2190.7,uL,8\nA,titre,2.18,,9\nA,titre,\"2,22\",,10\nA,efflux,1:02.3,,11\nB,empty,110,,1\nB,full,120.01,,2\n"
	for _, start := range []string{"", "2026-03-02T08:30:00Z"} {
		first := summed(t, p, paper.Header+"\n"+rows)
		if start != "" {
			var err error
			if first.Run.Start, err = time.Parse(time.RFC3339, start); err != nil {
				t.Fatal(err)
			}
			first.Run.Begun = start
		}
		var out bytes.Buffer
		if err := CSV(&out, first); err != nil {
			t.Fatal(err)
		}
		second := summed(t, p, out.String())
		if d := cmp.Diff(figures(first), figures(second)); d != "" {
			t.Errorf("start %q: results differ (-before +after):\n%s", start, d)
		}
	}
}

type figureOf struct {
	Vessel, ID string
	Value, U   float64
	Status     summary.Status
}

func figures(s *summary.Summary) []figureOf {
	var out []figureOf
	list := func(vessel string, rs []summary.Result) {
		for _, r := range rs {
			f := figureOf{Vessel: vessel, ID: r.ID, Status: r.Status}
			if r.Value != nil {
				f.Value, f.U = *r.Value, *r.StandardUncertainty
			}
			out = append(out, f)
		}
	}
	list("", s.Results)
	for _, v := range s.Vessels {
		list(v.Label, v.Results)
	}
	return out
}

// evil is what a protocol or an operator might bring along.
const evil = "<script>alert(1)</script> [x](javascript:1) | `a` \x1b[31mred\x1b[0m \u202eesrever \u009b2J\nline"

func hostile(t *testing.T) *summary.Summary {
	s := sample(t)
	s.Protocol.Title = evil
	s.Vessels[0].Results[0].Say = evil
	s.Vessels[0].Readings[0].Text = evil
	s.Vessels[0].Notes[0].Text = evil
	s.Vessels[0].Label = "=1+1"
	s.References = []string{evil, "- item", "1. first"}
	return s
}

func TestHostileTextDoesNoHarm(t *testing.T) {
	s := hostile(t)
	var text, page, markdown bytes.Buffer
	for _, err := range []error{Text(&text, s, Options{}), HTML(&page, s, Options{}), Markdown(&markdown, s, Options{})} {
		if err != nil {
			t.Fatal(err)
		}
	}
	for name, form := range map[string]string{"text": text.String(), "HTML": page.String(), "Markdown": markdown.String()} {
		for _, c := range form {
			if c != '\n' && (c < ' ' || c >= 0x7f && c < 0xa0 || c == '\u202e') {
				t.Errorf("%s carries the control character %U", name, c)
			}
		}
		if !strings.Contains(form, "x1b") {
			t.Errorf("%s does not show the escape", name)
		}
	}
	for name, form := range map[string]string{"HTML": page.String(), "Markdown": markdown.String()} {
		if strings.Contains(form, "<script") {
			t.Errorf("%s carries the script", name)
		}
	}
	for _, raw := range []string{"[x]", "| `a`", "\n- item", "\n1. first"} {
		if strings.Contains(markdown.String(), raw) {
			t.Errorf("Markdown carries %q as it is", raw)
		}
	}
}

func TestCSVDefusesFormulas(t *testing.T) {
	tests := []struct{ in, want string }{
		{"=1+1", "'=1+1"}, {"+cmd", "'+cmd"}, {"-", "'-"}, {"@SUM(A1)", "'@SUM(A1)"}, {"'=1", "''=1"},
		{"-3.5", "-3.5"}, {"+2e-05", "+2e-05"}, {"LOT 7", "LOT 7"}, {"it's", "it's"}, {"", ""}, {"\t=1", "' =1"},
	}
	for _, tt := range tests {
		if got := disarmed(tt.in)[0]; got != tt.want {
			t.Errorf("%q became %q, want %q", tt.in, got, tt.want)
		}
	}
	var out bytes.Buffer
	if err := CSV(&out, hostile(t)); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&out).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for i, row := range rows {
		if len(row) != 5 {
			t.Errorf("row %d has %d cells", i+1, len(row))
		}
		if strings.HasPrefix(row[0], "=") {
			t.Errorf("row %d begins with a formula: %q", i+1, row[0])
		}
	}
}

func TestNoLineIsWiderThanThePage(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := sample(t)
		words := rapid.StringOf(rapid.SampledFrom([]rune("abc  é°±µ漢字-.,\x1b\n")))
		s.Vessels[0].Results[0].Title = words.Draw(rt, "title")
		s.Vessels[0].Results[0].Say = words.Draw(rt, "say")
		s.Vessels[0].Checks[0].Source = words.Draw(rt, "source")
		s.Vessels[0].Notes[0].Text = words.Draw(rt, "note")
		o := Options{Width: rapid.IntRange(20, 130).Draw(rt, "width"), Ascii: rapid.Bool().Draw(rt, "ascii"), Budget: true}
		var out bytes.Buffer
		if err := Text(&out, s, o); err != nil {
			rt.Fatal(err)
		}
		for _, l := range strings.Split(out.String(), "\n") {
			if lipgloss.Width(l) > o.Width {
				rt.Fatalf("a line of %d columns on a page of %d: %q", lipgloss.Width(l), o.Width, l)
			}
			if o.Ascii && strings.ContainsFunc(l, func(c rune) bool { return c > '~' }) {
				rt.Fatalf("no ASCII: %q", l)
			}
		}
	})
}

func TestTextReturnsTheWritersError(t *testing.T) {
	r, w := io.Pipe()
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	s := sample(t)
	for name, err := range map[string]error{"text": Text(w, s, Options{}), "Markdown": Markdown(w, s, Options{}),
		"HTML": HTML(w, s, Options{}), "CSV": CSV(w, s), "JSON": JSON(w, s)} {
		if err == nil {
			t.Errorf("%s: no error from a closed pipe", name)
		}
	}
}

func TestALateEntryIsMarked(t *testing.T) {
	s := sample(t)
	var before, after bytes.Buffer
	if err := Text(&before, s, Options{}); err != nil {
		t.Fatal(err)
	}
	r := &s.Vessels[0].Readings[0]
	r.Entered, r.EnteredAt = r.Clock.Add(7*time.Minute), "2026-03-02T08:39:00.000Z"
	if err := Text(&after, s, Options{}); err != nil {
		t.Fatal(err)
	}
	const mark = "Entered later, at "
	if strings.Contains(before.String(), mark) || strings.Count(after.String(), mark) != 1 {
		t.Errorf("one reading was entered later:\n%s", after.String())
	}
}
