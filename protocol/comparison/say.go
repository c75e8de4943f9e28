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
	of := "one group"
	if r.Blocked != nil && r.Blocked.SD != nil {
		of += " and " + r.Blocked.By
	}
	between := fmt.Sprintf("Vessels of %s scatter by s = %s (%s of freedom)", of, r.figure(s.SD), degrees(s.DoF))
	if s.Own == 0 {
		return between + "; the readings of one vessel have no declared uncertainty of their own to set beside it."
	}
	readings := fmt.Sprintf("the readings of one vessel are uncertain by u = %s", r.figure(s.Own))
	if s.Combined > 1.005*s.Own {
		readings += fmt.Sprintf(" (u = %s with what all vessels share, which no scatter shows)", r.figure(s.Combined))
	}
	if s.Larger == "scatter" {
		return between + "; " + readings + ". The scatter is larger: more vessels help, a better instrument hardly."
	}
	return between + "; " + readings + ". The instruments' uncertainty is larger: the intervals may be too narrow, and a better instrument helps first."
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

// needs is what a test that shows no difference would have needed.
type needs struct {
	shown       float64 // the difference that it finds four times of five
	least, most int     // replicates in a group
	by          stats.Test
	sd, seen    float64
	which       string // what was seen
	each        string // what more is to be said of the groups
}

// sayNeeded says which difference groups of such sizes show, and how many replicates one as large as seen would need.
func (r *Result) sayNeeded(n needs) string {
	of := fmt.Sprint(n.least)
	if n.most > n.least {
		of = fmt.Sprintf("%d to %d", n.least, n.most)
	}
	said := fmt.Sprintf("With %s of each group and this scatter, a difference of about %s is found four times of five; a smaller one may be"+
		" there all the same.", of, r.figure(n.shown))
	if needed, err := stats.ReplicatesNeeded(n.by, n.sd, n.seen); err == nil && needed > n.least {
		said += fmt.Sprintf(" To show a difference of %s, %s, takes about %d of each group%s.", r.figure(n.seen), n.which, needed, n.each)
	}
	return said
}

// sayPlan says which effect a plan of n vessels shows.
func (r *Result) sayPlan(x stats.Effects, n, settings int) string {
	return fmt.Sprintf("An effect whose interval holds 0 is not shown. With %d vessels in %d settings and this scatter, an effect of about %s is found"+
		" four times of five; a smaller one may be there all the same.", n, settings, r.figure(stats.EffectShown(x.LeastSure, 1, x.DoF)))
}

// chance says what so many tests at 5 % show where nothing differs. A level divided by the number of tests is
// Bonferroni's (NIST/SEMATECH e-Handbook 7.4.7.3, from memory).
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
