package command_test

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/journal"
	"example.org/meniscus/protocol/paper"
)

// yieldRun keeps the journal of a run of testdata/comparison/yield.toml in which each oil has these yields, a vessel each.
func yieldRun(t *testing.T, path string, day int, oils []string, yields [][]float64) {
	t.Helper()
	text, err := os.ReadFile("../../testdata/comparison/yield.toml")
	if err != nil {
		t.Fatal(err)
	}
	p, err := protocol.Load("yield.toml", text)
	if err != nil {
		t.Fatal(err)
	}
	rows, label := paper.Header+"\n", 'A'
	for i, oil := range oils {
		for _, y := range yields[i] {
			rows += fmt.Sprintf("%c,oil,%s,,2026-03-%02dT09:00:00Z\n%c,yield_read,%g,,\n", label, oil, day, label, y)
			label++
		}
	}
	events, err := paper.Read(strings.NewReader(rows), p, path, paper.Options{Run: filepath.Base(path), Program: "meniscus test"})
	if err != nil {
		t.Fatal(err)
	}
	w, err := journal.Create(path, events[0])
	if err != nil {
		t.Fatal(err)
	}
	if err := w.Append(events[1:]...); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
}

// Journals in, the figures of a comparison out.
func TestCompareJournals(t *testing.T) {
	const yields = "invented yields, worked by hand with NIST/SEMATECH e-Handbook formulas"
	one, two := filepath.Join(t.TempDir(), "one.journal"), filepath.Join(t.TempDir(), "two.journal")
	rapeseed, coconut := []float64{92.4, 90.9, 93.3}, []float64{86.2, 88.7, 84.9}
	yieldRun(t, one, 2, []string{"rapeseed", "coconut"}, [][]float64{rapeseed[:2], coconut[:1]})
	yieldRun(t, two, 3, []string{"rapeseed", "coconut"}, [][]float64{rapeseed[2:], coconut[1:]})
	var got struct {
		Confounded []string
		Tests      int
		Results    []struct {
			ID         string
			Difference struct {
				Difference, T, P float64
				Half             float64 `json:"half_interval"`
				DoF              float64 `json:"degrees_of_freedom"`
			}
		}
	}
	if err := json.Unmarshal([]byte(call(t, "compare", one, two, "--format", "json")), &got); err != nil {
		t.Fatal(err)
	}
	if len(got.Results) != 1 || got.Results[0].ID != "yield_mass" || got.Tests != 1 || len(got.Confounded) != 0 {
		t.Fatalf("%+v: want yield_mass alone, one test, nothing confounded", got)
	}
	d := got.Results[0].Difference
	for _, tt := range []struct {
		what              string
		got, want, within float64
	}{{"difference", d.Difference, 5.60, 0.005}, {"half interval", d.Half, 3.94, 0.005}, {"t", d.T, 4.254, 0.0005}, {"degrees of freedom", d.DoF, 3.364, 0.0005},
		{"p", d.P, 0.0189, 0.00005}} {
		if !(math.Abs(tt.got-tt.want) <= tt.within) {
			t.Errorf("%s = %g, want %g ± %g (%s)", tt.what, tt.got, tt.want, tt.within, yields)
		}
	}
	text := call(t, "compare", one, two)
	if !strings.Contains(text, "5.6       3.9  4.25                3.36  0.019") {
		t.Errorf("the page does not have the difference in figures that it carries:\n%s", text)
	}
}

func TestCompareConfoundedRuns(t *testing.T) {
	one, two := filepath.Join(t.TempDir(), "one.journal"), filepath.Join(t.TempDir(), "two.journal")
	yieldRun(t, one, 2, []string{"rapeseed"}, [][]float64{{92.4, 90.9, 93.3}})
	yieldRun(t, two, 3, []string{"coconut"}, [][]float64{{86.2, 88.7, 84.9}})
	if text := call(t, "compare", one, two); !strings.Contains(text, "Run and group can not be told apart: rapeseed in run 1, coconut in run 2.") {
		t.Errorf("it is not told that each oil has its own run:\n%s", text)
	}
}
