package quantity

import (
	"math"
	"slices"
	"strconv"
)

// Prefixes of the names of sources that an observed scatter makes.
const (
	Fits       = "fit:"        // readings about a fitted curve or line
	Repeats    = "repeats:"    // readings of one thing about their mean: they say nothing of the next batch
	Replicates = "replicates:" // whole vessels about their mean: batches, burns
)

// A Scatter is what readings show by themselves of how uncertain they are: the standard deviation of one reading about
// a mean or a fitted curve, in the readings' unit, and its degrees of freedom.
type Scatter struct {
	Name string // of the sources that come of it; outcomes of the same readings and the same model share it
	S    float64
	DoF  float64
	// Seen says how far each input moves its own residual: 1 for a reading, the slope for the x of a line; all 1 when
	// nil.
	Seen []float64
	// N is how many of the inputs, counted from the first, are the readings that scatter; all when 0.
	N int
}

// An Outcome is a value made of readings, with its derivative by each.
type Outcome struct {
	Value float64
	Unit  Unit
	By    []float64
}

// Observe returns the outcomes with the uncertainties of the inputs or, where the inputs scatter more than these
// explain, with the scatter.
//
// The rule: the sources of an input are its own when no other input has them (its step, its tolerance), and shared
// otherwise (an instrument's offset). Own errors differ from reading to reading, so they are in the scatter already,
// and to add both would count them twice (JCGM 100:2008, 4.3.10). The larger is taken: a scatter S above the inputs'
// own root-mean-square uncertainty replaces their own sources; a smaller one takes as much of their variance as it
// shows and leaves them the rest, because a coarse scale can repeat itself without being right (JCGM 100:2008,
// F.2.2.1). So the uncertainty is the larger one, and the part that rests on a few readings has their few degrees of
// freedom (G.4.1): what they bring grows with S and nowhere jumps. Shared sources stay in any case: scatter cannot show
// them.
//
// The covariance of the outcomes from the scatter is S²·B·Bᵀ, with B their derivatives; it is laid on independent
// sources Name/1, Name/2, … (its Cholesky factor; Name alone for one outcome), so outcomes that share a Name are
// correlated as they should be, as long as the first outcomes are the same in each call. Alone keeps what the inputs
// alone would give.
func Observe(inputs []Quantity, outcomes []Outcome, sc Scatter) []Quantity {
	out := make([]Quantity, len(outcomes))
	if anyDrawn(inputs) {
		for i, o := range outcomes {
			out[i] = Quantity{Value: o.Value, Unit: o.Unit, Drawn: true}
		}
		return out
	}
	shared := sharedSources(inputs)
	seen := sc.DoF > 0 && sc.S > 0
	common := inputs
	if seen {
		part := sc.S / sc.own(inputs, shared)
		common = ownTimes(inputs, shared, math.Sqrt(math.Max(0, 1-part*part)))
	}
	for i, o := range outcomes {
		out[i] = Combine(o.Value, o.Unit, common, o.By)
		if out[i].Alone == nil {
			out[i].Alone = present(gather(inputs, o.By, Quantity.alone))
		}
	}
	if !seen {
		return out
	}
	n := sc.readings(inputs)
	for i, l := range cholesky(outcomes, n) {
		for k, x := range l[:i+1] {
			s := Source{Name: sc.Name, DoF: sc.DoF}
			if len(outcomes) > 1 {
				s.Name += "/" + strconv.Itoa(k+1)
			}
			out[i].By = merge(1, out[i].By, 1, []Effect{{s, sc.S * x}})
		}
	}
	return out
}

func (sc Scatter) readings(inputs []Quantity) int {
	if sc.N > 0 {
		return sc.N
	}
	return len(inputs)
}

// own returns the root mean square, over the readings, of what their own sources let a residual vary.
func (sc Scatter) own(inputs []Quantity, shared []Source) float64 {
	var sum float64
	for i, q := range inputs {
		seen := 1.0
		if sc.Seen != nil {
			seen = sc.Seen[i]
		}
		for _, e := range q.By {
			if !contains(shared, e.Source) {
				sum += seen * e.Amount * seen * e.Amount
			}
		}
	}
	return math.Sqrt(sum / float64(sc.readings(inputs)))
}

// sharedSources returns the sources that more than one input has, in order.
func sharedSources(inputs []Quantity) []Source {
	n := 0
	for _, q := range inputs {
		n += len(q.By)
	}
	all := make([]Source, 0, n)
	for _, q := range inputs {
		for _, e := range q.By {
			all = append(all, e.Source)
		}
	}
	slices.SortFunc(all, Source.compare)
	out := all[:0]
	for i := 1; i < len(all); i++ {
		if all[i] == all[i-1] && (len(out) == 0 || out[len(out)-1] != all[i]) {
			out = append(out, all[i])
		}
	}
	return out
}

func contains(sorted []Source, s Source) bool {
	_, found := slices.BinarySearchFunc(sorted, s, Source.compare)
	return found
}

// ownTimes returns the inputs with f times the effects of their own sources.
func ownTimes(inputs []Quantity, shared []Source, f float64) []Quantity {
	out := slices.Clone(inputs)
	if len(shared) == 0 && f == 0 {
		for i := range out {
			out[i].By, out[i].Alone = nil, nil
		}
		return out
	}
	n := 0
	for _, q := range inputs {
		n += len(q.By)
	}
	kept := make([]Effect, 0, n)
	for i, q := range inputs {
		from := len(kept)
		for _, e := range q.By {
			if !contains(shared, e.Source) {
				e.Amount *= f
			}
			if e.Amount != 0 {
				kept = append(kept, e)
			}
		}
		out[i].By, out[i].Alone = kept[from:len(kept):len(kept)], nil
	}
	return out
}

// cholesky returns the Cholesky factor of B·Bᵀ over the first n inputs. An outcome that follows from those before it
// adds no source of its own: what is left of its variance is then dust of the arithmetic.
func cholesky(outcomes []Outcome, n int) [][]float64 {
	const dust = 1e-12 // of the variance
	p := len(outcomes)
	flat, out := make([]float64, p*p), make([][]float64, p)
	for i := range out {
		out[i] = flat[i*p : (i+1)*p]
	}
	for i, o := range outcomes {
		for k := 0; k <= i; k++ {
			sum := dot(o.By[:n], outcomes[k].By[:n])
			for j := 0; j < k; j++ {
				sum -= out[i][j] * out[k][j]
			}
			switch {
			case k < i && out[k][k] > 0:
				out[i][k] = sum / out[k][k]
			case k == i && sum > dust*dot(o.By[:n], o.By[:n]):
				out[i][i] = math.Sqrt(sum)
			}
		}
	}
	return out
}

func dot(x, y []float64) (sum float64) {
	for i := range x {
		sum += x[i] * y[i]
	}
	return sum
}
