package quantity

import (
	"math"
	"sort"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"
)

// DoF returns the effective degrees of freedom of q's combined uncertainty by the Welch-Satterthwaite formula (JCGM
// 100:2008, G.4.1); +Inf when every source's uncertainty is taken as known, or there is none. The sources of one fit
// rest on one estimated scatter, so they count as one term: as many as they may be, they know no more than it does.
func (q Quantity) DoF() float64 {
	u := q.U()
	if u == 0 {
		return Known()
	}
	var sum float64
	for i := 0; i < len(q.By); {
		e, share := q.By[i].Source, 0.0
		for estimate := e.estimate(); i < len(q.By) && q.By[i].Source.DoF == e.DoF && q.By[i].Source.estimate() == estimate; i++ {
			r := q.By[i].Amount / u
			share += r * r
		}
		if !math.IsInf(e.DoF, 1) && e.DoF > 0 {
			sum += share * share / e.DoF
		}
	}
	if sum == 0 {
		return Known()
	}
	return 1 / sum
}

// estimate names the estimated standard deviation that s rests on: its own name, or that of its fit.
func (s Source) estimate() string {
	if !strings.HasPrefix(s.Name, Fits) {
		return s.Name
	}
	return s.Name[:strings.LastIndexByte(s.Name, '/')+1]
}

// CoverageFactor returns Student's t for a two-sided coverage of 95 % with dof degrees of freedom, never below one;
// 1.96 for infinitely many. Between whole numbers it is the t of the fraction, where JCGM 100:2008, G.4.1 lets one
// interpolate or cut: so a reading that moves a little moves it a little.
func CoverageFactor(dof float64) float64 {
	const many = 1e6 // where t is the normal's to a millionth, and its algorithm begins to lose digits
	if dof > many || math.IsNaN(dof) {
		return distuv.UnitNormal.Quantile(0.975)
	}
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: math.Max(1, dof)}.Quantile(0.975)
}

// Expanded returns the expanded uncertainty of q for a coverage of 95 %, in q's unit, and the coverage factor behind it
// (JCGM 100:2008, 6.2 and G.6.4).
func (q Quantity) Expanded() (expanded, k float64) {
	k = CoverageFactor(q.DoF())
	return k * q.U(), k
}

// A Share is one source's part in a combined uncertainty: its contribution |c|·u in the quantity's unit, and its
// square over the variance.
type Share struct {
	Source       string
	Contribution float64
	Share        float64
}

// Budget returns the sources behind q, the largest contribution first; sources alike are ordered by name.
func (q Quantity) Budget() []Share {
	u := q.U()
	if u == 0 {
		return nil
	}
	out := make([]Share, 0, len(q.By))
	for _, e := range q.By {
		c := math.Abs(e.Amount)
		out = append(out, Share{e.Source.Name, c, (c / u) * (c / u)})
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Contribution > out[j].Contribution })
	return out
}
