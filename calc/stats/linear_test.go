package stats

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"testing"
)

// rows reads a table of testdata/stats, without its head.
func rows(t *testing.T, name string) [][]string {
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
	return all[1:]
}

// laid is a set of testdata/stats/blocks.csv: the values of each group, and their runs from 0.
func laid(t *testing.T, set string, group func(row []string) string) (names []string, values [][]float64, runs [][]int) {
	t.Helper()
	for _, row := range rows(t, "blocks.csv") {
		if row[0] != set {
			continue
		}
		g := slices.Index(names, group(row))
		if g < 0 {
			g = len(names)
			names, values, runs = append(names, group(row)), append(values, nil), append(runs, nil)
		}
		values[g] = append(values[g], number(t, row[5]))
		runs[g] = append(runs[g], int(number(t, row[1]))-1)
	}
	return names, values, runs
}

const worked = "R 4.2.2, lm and anova, testdata/stats/blocks_worked.csv"

// Groups over runs, of one size and of several, one vessel lost, with the run as a block and without.
func TestBlocksOfR(t *testing.T) {
	for _, row := range rows(t, "blocks_worked.csv") {
		if row[0] == "plan" {
			continue
		}
		names, values, runs := laid(t, row[0], func(row []string) string { return row[2] })
		if row[1] == "FALSE" {
			runs = nil
		}
		v, err := ANOVA(values, runs)
		if err != nil {
			t.Errorf("%s: %v", row[0], err)
			continue
		}
		what := row[0] + ", blocked " + row[1] + ", " + row[2] + ": "
		close := func(name string, got float64, column int) {
			t.Helper()
			want := number(t, row[column])
			near(t, what+name, got, want, 1e-9*math.Abs(want), worked)
		}
		close("error degrees of freedom", float64(v.Within.DoF), 7)
		if row[2] == "oil" {
			close("F", v.F, 5)
			close("degrees of freedom", float64(v.Between.DoF), 6)
			close("SS between", v.Between.SS, 8)
			close("SS within", v.Within.SS, 9)
			close("p", v.P, 10)
			continue
		}
		d, err := v.Difference(0, slices.Index(names, row[2]))
		if err != nil {
			t.Fatal(err)
		}
		close("difference", d.Value, 3)
		close("u", d.U, 4)
		close("p", d.P, 10)
		near(t, what+"half interval", d.Half, quantile(float64(d.DoF))*d.U, 1e-12, "t·u")
	}
}

// A full plan in three runs, of which one vessel was lost: 3/3/3/2.
func TestPlanInBlocksOfR(t *testing.T) {
	names, values, runs := laid(t, "plan", func(row []string) string { return row[3] + " " + row[4] })
	if !slices.Equal(names, []string{"6 30", "9 30", "6 60", "9 60"}) || len(values[3]) != 2 {
		t.Fatalf("settings %v with %v", names, values)
	}
	effects := map[string]int{"a": 0, "b": 1, "a:b": 2}
	for _, row := range rows(t, "blocks_worked.csv") {
		if row[0] != "plan" {
			continue
		}
		blocks := runs
		if row[1] == "FALSE" {
			blocks = nil
		}
		x, err := EffectsOf([]string{"a", "b"}, values, blocks)
		if err != nil {
			t.Fatal(err)
		}
		e, what := x.Effects[effects[row[2]]], "blocked "+row[1]+", "+row[2]+": "
		u, dof := number(t, row[4]), number(t, row[7])
		near(t, what+"effect", e.E, number(t, row[3]), 1e-9, worked)
		near(t, what+"half interval", e.Half, quantile(dof)*u, 1e-9, worked)
		near(t, what+"u", x.LeastSure, u, 1e-9, worked)
		near(t, what+"p", e.P, number(t, row[10]), 1e-9*number(t, row[10]), worked)
		near(t, what+"degrees of freedom", float64(x.DoF), dof, 0, worked)
	}
}

// What a model can not tell is refused.
func TestBlocksThatTellNothing(t *testing.T) {
	_, err := ANOVA([][]float64{{1, 2, 4}, {5, 7, 6}}, [][]int{{0, 0, 0}, {1, 1, 1}})
	refused(t, "a run each", err, "no chain of blocks that share groups joins all groups: they can not be told apart from the blocks")
	_, err = ANOVA([][]float64{{1, 2}, {5, 7}, {2, 3}}, [][]int{{0, 1}, {0, 1}, {0, 1}})
	refused(t, "few", err, "6 values in 3 groups and 2 blocks leave 2 degrees of freedom for the scatter: a test needs 3 or more; the means alone stand")
	_, err = ANOVA([][]float64{{1.1, 2.2, 3.3, 4.4}, {2.1, 3.2, 4.3, 5.4}}, [][]int{{0, 1, 2, 3}, {0, 1, 2, 3}})
	refused(t, "sums of run and group", err, "no group scatters at all: were the values copied, or read too coarsely?")
	// Two settings with an even number of high factors in one run, two in the other: what both factors do together is the run's.
	x, err := EffectsOf([]string{"a", "b"}, [][]float64{{1, 2, 1}, {5, 4, 5}, {3, 3, 4}, {6, 7, 7}}, [][]int{{0, 0, 0}, {1, 1, 1}, {1, 1, 1}, {0, 0, 0}})
	if err != nil || len(x.Effects) != 2 || !slices.Equal(x.NotApart, []string{"a × b"}) || x.DoF != 8 {
		t.Errorf("%+v, %v: want a and b with 8 degrees of freedom, and a × b not told apart", x, err)
	}
}

// One vessel lost of two groups of three, or of four groups of two, ends nothing.
func TestOneLostVessel(t *testing.T) {
	for _, groups := range [][][]float64{{oilA, oilB[:2]}, {{82.1, 83.5}, {89.8, 88.6}, {86.9, 85.5}, {94.3}}} {
		if v, err := ANOVA(groups, nil); err != nil || v.Within.DoF != LeastErrorDoF || !(v.P < 0.1) {
			t.Errorf("%v: %+v, %v: want a test", groups, v, err)
		}
	}
}
