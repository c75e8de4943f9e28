package comparison_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"example.org/meniscus/protocol/comparison"
)

// rows reads a table of testdata/stats by the names of its columns.
func rows(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open("../../testdata/stats/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	all, err := r.ReadAll()
	if err != nil || len(all) < 20 {
		t.Fatalf("%s: %d rows, %v", name, len(all), err)
	}
	var out []map[string]string
	for _, row := range all[1:] {
		one := map[string]string{}
		for i, head := range all[0] {
			one[head] = row[i]
		}
		out = append(out, one)
	}
	return out
}

// laid makes the runs of a set of testdata/stats/blocks.csv, each on a day of its own.
func laid(t *testing.T, set string) []comparison.Source {
	t.Helper()
	text := map[string]string{}
	var runs []string
	for i, row := range rows(t, "blocks.csv") {
		if row["set"] != set {
			continue
		}
		if text[row["run"]] == "" {
			runs = append(runs, row["run"])
		}
		for _, id := range []string{"oil", "ratio", "hold"} {
			if row[id] != "" {
				text[row["run"]] += fmt.Sprintf("V%d,%s,%s\n", i, id, row[id])
			}
		}
		text[row["run"]] += fmt.Sprintf("V%d,yield_read,%s\n", i, row["value"])
	}
	var out []comparison.Source
	for i, run := range runs {
		out = append(out, source(t, "run-"+run, 2+i, text[run]))
	}
	return out
}

// workedByR returns R's row of a set.
func workedByR(t *testing.T, set, blocked, what string) func(column string) float64 {
	t.Helper()
	for _, row := range rows(t, "blocks_worked.csv") {
		if row["set"] == set && row["blocked"] == blocked && row["what"] == what {
			return func(column string) float64 {
				x, err := strconv.ParseFloat(row[column], 64)
				if err != nil {
					t.Fatal(err)
				}
				return x
			}
		}
	}
	t.Fatalf("no row for %s, %s, %s", set, blocked, what)
	return nil
}

const byR = "R 4.2.2, lm and anova, testdata/stats/blocks_worked.csv"

// Oils over runs that differ more than the oils do, one vessel lost or none: as they are, nothing is shown; with the run as a
// block, a great deal.
func TestRunAsBlock(t *testing.T) {
	for _, set := range []string{"days", "lost"} {
		c := compared(t, comparison.Options{}, laid(t, set)...)
		r := yieldOf(t, c)
		if c.Blocks != "run" || r.Blocked == nil || r.Blocked.By != "run" || c.Tests != 1 || r.WhyNoTest+r.Blocked.WhyNoTest != "" {
			t.Fatalf("%s: blocks %q, %+v, %d tests, %q", set, c.Blocks, r.Blocked, c.Tests, r.WhyNoTest)
		}
		for blocked, v := range map[string]*comparison.Variance{"FALSE": r.Variance, "TRUE": r.Blocked.Variance} {
			want := workedByR(t, set, blocked, "oil")
			near(t, set+": F", &v.F, want("f"), 1e-9*want("f"), byR)
			near(t, set+": p", &v.P, want("p"), 1e-9*want("p"), byR)
			if float64(v.Between) != want("dof") || float64(v.Within) != want("error_dof") {
				t.Errorf("%s, blocked %s: %d and %d degrees of freedom, want %g and %g (%s)", set, blocked, v.Between, v.Within, want("dof"), want("error_dof"), byR)
			}
		}
		want := workedByR(t, set, "TRUE", "oil")
		near(t, set+": s", r.Blocked.SD, math.Sqrt(want("error_ss")/want("error_dof")), 1e-9, byR)
		if r.Message != "The groups differ by more than they scatter. Which of them does, this test does not tell."+
			" Without blocks it reads: No difference is shown." || !strings.HasPrefix(r.Scatter.Message, "Vessels of one group and run scatter by s = 0.1") {
			t.Errorf("%s: %q, %q", set, r.Message, r.Scatter.Message)
		}
	}
}

func TestTwoOilsInUnevenRuns(t *testing.T) {
	r := yieldOf(t, compared(t, comparison.Options{}, laid(t, "uneven")...))
	d, want := r.Blocked.Difference, workedByR(t, "uneven", "TRUE", "coconut")
	near(t, "difference", &d.D, want("value"), 1e-9, byR)
	near(t, "t", d.T, want("value")/want("u"), 1e-9, byR)
	near(t, "p", d.P, want("p"), 1e-9, byR)
	near(t, "degrees of freedom", d.DoF, want("error_dof"), 0, byR)
	if r.Difference.Test != "Welch" || d.Test != "Student" || d.A != "rapeseed" || r.Message != "The groups differ by more than they scatter."+
		" Without blocks it reads: No difference is shown." {
		t.Errorf("%+v beside %+v: %q", r.Difference, d, r.Message)
	}
}

// A full plan of which one vessel was lost, 3/3/3/2.
func TestPlanWithOneVesselLost(t *testing.T) {
	r := yieldOf(t, compared(t, comparison.Options{}, laid(t, "plan")...))
	for blocked, x := range map[string]*comparison.Effects{"FALSE": r.Effects, "TRUE": r.Blocked.Effects} {
		if x == nil || len(x.Effects) != 3 {
			t.Fatalf("blocked %s: %+v", blocked, x)
		}
		for i, name := range []string{"a", "b", "a:b"} {
			want := workedByR(t, "plan", blocked, name)
			near(t, name, &x.Effects[i].E, want("value"), 1e-9, byR)
			near(t, "p of "+name, x.Effects[i].P, want("p"), 1e-9, byR)
		}
	}
}

// Four oils of three vessels, one lost, in one run; and two oils of three, one lost: both are tested, with one scatter for all.
func TestOneLostVesselEndsNothing(t *testing.T) {
	four := batches('A', "oil=rapeseed", rapeseed...) + batches('D', "oil=coconut", coconut...) + batches('G', "oil=olive", olive...) + batches('J', "oil=palm", 88.1, 87.2)
	r := yieldOf(t, compared(t, comparison.Options{}, source(t, "r", 2, four)))
	if r.Variance == nil || r.Variance.Between != 3 || r.Variance.Within != 7 || r.WhyNoTest != "" || r.Blocked != nil {
		t.Errorf("3/3/3/2: %+v, %q, blocked %+v", r.Variance, r.WhyNoTest, r.Blocked)
	}
	two := batches('A', "oil=rapeseed", rapeseed...) + batches('D', "oil=coconut", coconut[:2]...)
	d := yieldOf(t, compared(t, comparison.Options{}, source(t, "r", 2, two))).Difference
	// s² = (2·1.4700 + 3.1250)/3; t = 4.75/√(s²·(1/3 + 1/2)).
	near(t, "difference", &d.D, 4.75, 1e-9, "92.2 less 87.45")
	near(t, "t", d.T, 3.6596, 0.0001, "R 4.2.2, t.test(c(92.4, 90.9, 93.3), c(86.2, 88.7), var.equal = TRUE)")
	near(t, "p", d.P, 0.03526, 0.00001, "R 4.2.2, t.test(c(92.4, 90.9, 93.3), c(86.2, 88.7), var.equal = TRUE)")
	if d.Test != "Student" {
		t.Errorf("by %s, want Student's t test", d.Test)
	}
}

// What is not shown in blocks is told by the scatter in blocks.
func TestNotShownInBlocks(t *testing.T) {
	var runs []comparison.Source
	for i, pair := range [][2]float64{{90, 89.9}, {93, 93.3}, {87, 86.5}, {95, 95.1}} {
		runs = append(runs, source(t, fmt.Sprint("r", i), 2+i, batches('A', "oil=rapeseed", pair[0])+batches('B', "oil=coconut", pair[1])))
	}
	r := yieldOf(t, compared(t, comparison.Options{}, runs...))
	// Differences of pairs 0.1, -0.3, 0.5, -0.1: mean 0.05, s 0.3416, which is √2·0.2415; 3.009·0.2415 = 0.727.
	const want = "With 4 of each group and this scatter, a difference of about 0.73 % is found four times of five; a smaller one may be there all the" +
		" same. To show a difference of 0.050 %, the one seen here, takes about 369 of each group, one in each run."
	if r.Message != "No difference is shown." || r.NotShown != want {
		t.Errorf("%q\n%q\nwant %q (R 4.2.2, power.t.test of pairs)", r.Message, r.NotShown, want)
	}
}
