package comparison

import (
	"fmt"
	"slices"
	"strings"

	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/calc/stats"
)

// figure writes an uncertainty, a scatter or a difference with its unit.
func (r *Result) figure(x float64) string {
	return strings.TrimRight(quantity.TwoDigits(x)+" "+r.In.Interval().Shown(), " ")
}

func sayOutlier(v Value, group string, o stats.Outlier) string {
	return fmt.Sprintf("Vessel %s of run %d lies far from the others of its group, %s: G = %s, above %s, as it is in one group of twenty by"+
		" chance (Grubbs' test). Look for the reason in its record; it stays in.", v.Vessel, v.Run, group, quantity.Plain(o.G, 3), quantity.Plain(o.Critical, 3))
}

func (r *Result) sayScatter(s *Scatter) string {
	if s.SD == 0 {
		return "Vessels of one group do not scatter at all: were the values copied, or read too coarsely?"
	}
	between := fmt.Sprintf("Vessels of one group scatter by s = %s (%s of freedom)", r.figure(s.SD), degrees(s.DoF))
	if s.Own == 0 {
		return between + "; the readings of one vessel have no declared uncertainty of their own to set beside it."
	}
	of := fmt.Sprintf("the readings of one vessel are uncertain by u = %s", r.figure(s.Own))
	if s.Combined > 1.005*s.Own {
		of += fmt.Sprintf(" (u = %s with what all vessels share, which no scatter shows)", r.figure(s.Combined))
	}
	if s.Larger == "scatter" {
		return between + "; " + of + ". The scatter is larger: more vessels help, a better instrument hardly."
	}
	return between + "; " + of + ". The instruments' uncertainty is larger: the intervals may be too narrow, and a better instrument helps first."
}

func degrees(n int) string {
	if n == 1 {
		return "1 degree"
	}
	return fmt.Sprintf("%d degrees", n)
}

// verdict says what p tells.
func (c *Comparison) verdict(p float64) string {
	if p >= significant {
		return "No difference is shown."
	}
	return "The groups differ by more than they scatter." + c.doubt()
}

// doubt says what else may have made a difference; "" where nothing is known of.
func (c *Comparison) doubt() string {
	for _, with := range c.Confounded {
		if with == "run" || with == "day" {
			return " Whether by what was varied or by the " + with + " can not be told."
		}
		if givens := strings.Fields(with); slices.ContainsFunc(givens, func(id string) bool { return slices.Contains(c.By, id) }) {
			return " Whether by " + c.varied(givens[0]).Title + " or by " + c.varied(givens[1]).Title + " can not be told."
		}
	}
	return ""
}

// sayNeeded says which difference so many replicates show by the test, and how many one as large as seen would need.
func (r *Result) sayNeeded(by stats.Test, sd, seen float64, n int, which string) string {
	said := fmt.Sprintf("With %d of each group and this scatter, a difference of about %s is found four times of five; a smaller one may be"+
		" there all the same.", n, r.figure(stats.DifferenceShown(by, sd, n)))
	if needed, err := stats.ReplicatesNeeded(by, sd, seen); err == nil && needed > n {
		said += fmt.Sprintf(" To show a difference of %s, %s, takes about %d of each group.", r.figure(seen), which, needed)
	}
	return said
}

// sayPlan says which effect a plan of n vessels shows.
func (r *Result) sayPlan(x stats.Effects, n, settings int) string {
	return fmt.Sprintf("An effect whose interval holds 0 is not shown. With %d vessels in %d settings and this scatter, an effect of about %s is found"+
		" four times of five; a smaller one may be there all the same.", n, settings, r.figure(stats.EffectShown(x.U, 1, x.DoF)))
}

// chance says what so many tests at 5 % show where nothing differs. A level divided by the number of tests is Bonferroni's
// (NIST/SEMATECH e-Handbook 7.4.7.3, from memory).
func chance(tests int) string {
	switch tests {
	case 0:
		return ""
	case 1:
		return "One test was made, at 5 %: where nothing differs, one of twenty such tests finds a difference by chance."
	}
	return fmt.Sprintf("%d tests were made, each at 5 %%: where nothing differs, one of twenty finds a difference by chance. What has p below"+
		" %s (0.05 over %d) stands for all of them together.", tests, quantity.TwoDigits(significant/float64(tests)), tests)
}
