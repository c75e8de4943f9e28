package print

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"strings"
	"testing"

	"github.com/charmbracelet/lipgloss"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/comparison"
	"example.org/meniscus/protocol/paper"
	"example.org/meniscus/protocol/run"
)

// comparedRun is a run of testdata/comparison/yield.toml with the rows "vessel,reading,value".
func comparedRun(t *testing.T, id string, day int, rows string) comparison.Source {
	t.Helper()
	text, err := os.ReadFile(testdata + "comparison/yield.toml")
	if err != nil {
		t.Fatal(err)
	}
	p, err := protocol.Load("yield.toml", text)
	if err != nil {
		t.Fatal(err)
	}
	table := paper.Header + "\n"
	for row := range strings.Lines(rows) {
		table += fmt.Sprintf("%s,,2026-03-%02dT09:00:00Z\n", strings.TrimSpace(row), day)
	}
	events, err := paper.Read(strings.NewReader(table), p, id, paper.Options{Run: id, Program: "meniscus 0.1"})
	if err != nil {
		t.Fatal(err)
	}
	state, err := run.Fold(events)
	if err != nil {
		t.Fatal(err)
	}
	return comparison.Source{Name: id, State: state, Hash: strings.Repeat("0123456789abcdef", 4)}
}

func batch(label, givens string, yield string) string {
	var b strings.Builder
	for _, g := range strings.Fields(givens) {
		fmt.Fprintf(&b, "%s,%s\n", label, strings.Replace(g, "=", ",", 1))
	}
	if yield != "" {
		fmt.Fprintf(&b, "%s,yield_read,%s\n", label, yield)
	}
	return b.String()
}

// comparisons has a page of each kind, on invented yields.
func comparisons(t *testing.T) map[string]*comparison.Comparison {
	t.Helper()
	set := func(sources ...comparison.Source) *comparison.Comparison {
		c, err := comparison.Of(sources, comparison.Options{})
		if err != nil {
			t.Fatal(err)
		}
		return c
	}
	rape := batch("A", "oil=rapeseed", "92.4") + batch("B", "oil=rapeseed", "90.9") + batch("C", "oil=rapeseed", "93.3")
	coco := batch("D", "oil=coconut", "86.2") + batch("E", "oil=coconut", "88.7") + batch("F", "oil=coconut", "84.9")
	missing := batch("G", "oil=coconut", "")
	olive := batch("H", "oil=olive", "89.6") + batch("I", "oil=olive", "91.2") + batch("J", "oil=olive", "90.1")
	plan := func(a, b, c, d string) string {
		return batch("A", "ratio=6 hold=30", a) + batch("B", "ratio=9 hold=30", b) + batch("C", "ratio=6 hold=60", c) + batch("D", "ratio=9 hold=60", d)
	}
	return map[string]*comparison.Comparison{
		"compare-two":   set(comparedRun(t, "monday", 2, rape), comparedRun(t, "tuesday", 3, coco+missing)),
		"compare-three": set(comparedRun(t, "monday", 2, rape+coco+olive)),
		"compare-plan":  set(comparedRun(t, "monday", 2, plan("82.1", "89.8", "86.9", "94.3")), comparedRun(t, "tuesday", 3, plan("83.5", "88.6", "85.5", "93.1"))),
		"compare-blocks": set(comparedRun(t, "monday", 2, batch("A", "oil=rapeseed", "88.1")+batch("B", "oil=coconut", "86.2")+batch("C", "oil=olive", "87.3")+batch("D", "oil=palm", "85.9")),
			comparedRun(t, "tuesday", 3, batch("A", "oil=rapeseed", "93.6")+batch("B", "oil=coconut", "91.4")+batch("C", "oil=olive", "92.7")+batch("D", "oil=palm", "91.7")),
			comparedRun(t, "friday", 6, batch("A", "oil=rapeseed", "90.4")+batch("B", "oil=coconut", "88.3")+batch("C", "oil=olive", "89.7"))),
		"compare-two-blocks": set(comparedRun(t, "monday", 2, batch("A", "oil=rapeseed", "92.1")+batch("B", "oil=rapeseed", "91.4")+batch("C", "oil=coconut", "90.2")+batch("D", "oil=coconut", "90.8")),
			comparedRun(t, "tuesday", 3, batch("A", "oil=rapeseed", "87.9")+batch("B", "oil=coconut", "86.9")+batch("C", "oil=coconut", "86.1")),
			comparedRun(t, "friday", 6, batch("A", "oil=rapeseed", "95.2")+batch("B", "oil=coconut", "93.5"))),
		"compare-pairs": set(comparedRun(t, "monday", 2, batch("A", "oil=rapeseed", "92.4")+batch("B", "oil=rapeseed", "90.9")+batch("C", "oil=coconut", "86.2")+batch("D", "oil=coconut", "88.7"))),
	}
}

func TestComparisonForms(t *testing.T) {
	all := comparisons(t)
	for _, f := range []struct {
		name, of string
		write    func(io.Writer, *comparison.Comparison) error
	}{
		{"compare-two.txt", "compare-two", func(w io.Writer, c *comparison.Comparison) error { return CompareText(w, c, Options{}) }},
		{"compare-two-48-ascii.txt", "compare-two", func(w io.Writer, c *comparison.Comparison) error {
			return CompareText(w, c, Options{Width: 48, Ascii: true})
		}},
		{"compare-three.txt", "compare-three", func(w io.Writer, c *comparison.Comparison) error { return CompareText(w, c, Options{}) }},
		{"compare-plan.txt", "compare-plan", func(w io.Writer, c *comparison.Comparison) error { return CompareText(w, c, Options{}) }},
		{"compare-pairs.txt", "compare-pairs", func(w io.Writer, c *comparison.Comparison) error { return CompareText(w, c, Options{}) }},
		{"compare-blocks.txt", "compare-blocks", func(w io.Writer, c *comparison.Comparison) error { return CompareText(w, c, Options{}) }},
		{"compare-two-blocks.txt", "compare-two-blocks", func(w io.Writer, c *comparison.Comparison) error { return CompareText(w, c, Options{}) }},
		{"compare-two-blocks.csv", "compare-two-blocks", CompareCSV},
		{"compare-blocks.json", "compare-blocks", CompareJSON},
		{"compare.json", "compare-two", CompareJSON},
		{"compare.csv", "compare-plan", CompareCSV},
	} {
		t.Run(f.name, func(t *testing.T) {
			var out bytes.Buffer
			if err := f.write(&out, all[f.of]); err != nil {
				t.Fatal(err)
			}
			golden(t, f.name, out.Bytes())
		})
	}
}

func TestNoLineOfAComparisonIsWiderThanThePage(t *testing.T) {
	for name, c := range comparisons(t) {
		for _, width := range []int{20, 48, 80, 120} {
			var out bytes.Buffer
			if err := CompareText(&out, c, Options{Width: width}); err != nil {
				t.Fatal(err)
			}
			for line := range strings.Lines(out.String()) {
				if got := lipgloss.Width(strings.TrimRight(line, "\n")); got > width {
					t.Errorf("%s at %d columns: %d in %q", name, width, got, line)
				}
			}
		}
	}
}

// What strangers wrote reaches neither a terminal nor a spreadsheet as a command.
func TestHostileComparisonDoesNoHarm(t *testing.T) {
	c := comparisons(t)["compare-two"]
	const bad = "=cmd\x1b]0;x\a\u202e"
	c.Protocol.Title, c.Runs[0].ID, c.Runs[0].Message, c.Vessels[0].Label = bad, bad, bad, bad
	c.Varied[0].Title, c.Vessels[1].Givens[0].Text, c.Groups[0].Name = bad, bad, bad
	c.Remarks[0], c.Message, c.NotCompared[0] = bad, bad, bad
	r := &c.Results[0]
	r.Title, r.Message, r.NotShown, r.WhyNoTest, r.Scatter.Message = bad, bad, bad, bad, bad
	r.Values[0].Group, r.Values[0].Vessel, r.Values[0].Message, r.Groups[0].Group, r.Groups[0].Message, r.Difference.A = bad, bad, bad, bad, bad, bad
	var text, rows, object bytes.Buffer
	for _, err := range []error{CompareText(&text, c, Options{}), CompareCSV(&rows, c), CompareJSON(&object, c)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	for _, out := range []string{text.String(), rows.String(), object.String()} {
		if strings.ContainsAny(out, "\x1b\a\u202e") {
			t.Errorf("a control character got through:\n%q", out)
		}
	}
	if strings.Contains(rows.String(), ",=cmd") || strings.Contains(rows.String(), "\n=cmd") {
		t.Errorf("a spreadsheet would take a cell for a formula:\n%s", rows.String())
	}
}
