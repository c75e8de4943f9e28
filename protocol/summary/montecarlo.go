package summary

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/montecarlo"
	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol/run"
)

// Trials is what a Monte Carlo run makes of a result, in its unit.
type Trials struct {
	Trials              int      `json:"trials"`
	Seed                uint64   `json:"seed"`
	Failed              int      `json:"failed"`               // trials in which the result had no value
	Mean                *float64 `json:"mean"`                 // null where a source has no mean: two repeats
	StandardUncertainty *float64 `json:"standard_uncertainty"` // null where a source has none: three repeats or fewer
	Low                 *float64 `json:"low"`                  // interval of 95 %: the shortest, or one as short about the middle
	High                *float64 `json:"high"`
	Tolerance           *float64 `json:"tolerance"` // δ: half a unit of the last of two digits of the result's u
	Judgement           string   `json:"judgement"` // "agrees", "differs" or "undecided"
	Matters             bool     `json:"matters"`   // a reader would act on it: an end or the mean is off by more than a tenth of ±
	Message             string   `json:"message"`   // "" where it does not matter
}

// mostValues bounds what is held of the trials at a time: 256 MB.
const mostValues = 32 << 20

// A target is a row of results that is worked out again and again.
type target struct {
	row     *Result
	vessel  string
	id      string // of the result
	element int    // of a list
	// still are the sources of inputs that an observed scatter stands for, wholly or in part; they do not shift the
	// input, lest they count twice.
	still []int
	// inner are the effects that are added to each trial by their derivative: of sources that arise inside a
	// calculation (table values, fits, scatter), and what is left of those that are still.
	inner []weight
}

// Trials repeats every result that is not exact by sampling (JCGM 101:2008) and sets the outcome beside it. out must be
// the summary of s. Readings and givens are sampled and the formulas evaluated anew, so curvature shows; what a table,
// a fit or an observed scatter adds inside a calculation enters by its derivative.
func (out *Summary) Trials(s *run.State, o montecarlo.Options) error {
	if err := o.Check(); err != nil {
		return err
	}
	in := inputsOf(s)
	of := len(in.sources)
	var targets []*target
	for i := range out.Vessels {
		targets = append(targets, in.targets(out.Vessels[i].Label, out.Vessels[i].Results, of)...)
	}
	targets = append(targets, in.targets("", out.Results, of)...)
	groups := alike(targets, max(1, mostValues/o.Trials))
	for i, group := range groups {
		part := o
		if o.Progress != nil {
			part.Progress = func(share float64) { o.Progress((float64(i) + share) / float64(len(groups))) }
		}
		if err := in.sample(group, part); err != nil {
			return err
		}
	}
	out.MonteCarlo = sayTogether(targets, o.Trials)
	return nil
}

// sayTogether is the one line for all results whose trials change nothing.
func sayTogether(targets []*target, trials int) string {
	var same, of int
	for _, t := range targets {
		if m := t.row.MonteCarlo; m != nil {
			of++
			if !m.Matters {
				same++
			}
		}
	}
	switch {
	case of == 0:
		return ""
	case same == of:
		return fmt.Sprintf("%d trials give the interval of each result, to a tenth of its ±", trials)
	}
	return fmt.Sprintf("%d trials give the interval of %d of %d results, to a tenth of its ±; where they do not, it is said there", trials, same, of)
}

// targets returns the rows that a source may reach, also where the chain rule sees none (x² at 0); the first so many
// sources are those of inputs.
func (in *inputs) targets(vessel string, rows []Result, ofInputs int) []*target {
	sheet := in.trial().sheets[vessel]
	var out []*target
	for i := range rows {
		r := &rows[i]
		id, n, list := strings.Cut(r.ID, ".")
		if r.Status != OK || r.Quantity.U() == 0 && sheet.Cell(id).Fixed() {
			continue
		}
		t := &target{row: r, vessel: vessel, id: id}
		if list {
			t.element, _ = strconv.Atoi(n)
			t.element--
		}
		for _, w := range in.weigh(r.Quantity.By) {
			if w.source >= ofInputs {
				t.inner = append(t.inner, w)
			}
		}
		for _, e := range r.Quantity.InstrumentsAlone().By {
			n, drawn := in.number[e.Source]
			left := effect(r.Quantity, e.Source)
			if !drawn || n >= ofInputs || math.Abs(left-e.Amount) <= 1e-9*math.Abs(e.Amount) {
				continue
			}
			t.still = append(t.still, n)
			if left != 0 {
				t.inner = append(t.inner, weight{n, left})
			}
		}
		slices.Sort(t.still)
		out = append(out, t)
	}
	return out
}

// effect returns what a source does to q, 0 when it does nothing.
func effect(q quantity.Quantity, s quantity.Source) float64 {
	for _, e := range q.By {
		if e.Source == s {
			return e.Amount
		}
	}
	return 0
}

// alike groups the targets that draw the same sources, no more than so many to a group, in the order of the first.
func alike(targets []*target, most int) [][]*target {
	var out [][]*target
	for _, t := range targets {
		i := slices.IndexFunc(out, func(g []*target) bool { return len(g) < most && slices.Equal(g[0].still, t.still) })
		if i < 0 {
			out = append(out, []*target{t})
			continue
		}
		out[i] = append(out[i], t)
	}
	return out
}

func (in *inputs) sample(group []*target, o montecarlo.Options) error {
	newModel := func() montecarlo.Model {
		t := in.trial()
		cells := make([]*formula.Cell, len(group))
		t.begin(make([]float64, len(in.sources)), nil) // the readings as they are: every core's fits begin from theirs
		for k, one := range group {
			cells[k] = t.sheets[one.vessel].Cell(one.id)
			cells[k].At(0)
		}
		return func(deviates, y []float64) {
			t.begin(deviates, group[0].still)
			for k, one := range group {
				y[k] = cells[k].At(one.element)
				for _, w := range one.inner {
					y[k] += w.amount * t.drawn[w.source]
				}
			}
		}
	}
	values, err := montecarlo.Run(in.sources, len(group), newModel, o)
	if err != nil {
		return err
	}
	var rows sync.WaitGroup
	for k, one := range group {
		rows.Add(1)
		go func() {
			defer rows.Done()
			one.row.MonteCarlo = trialsOf(one.row.Quantity, values[k], o)
		}()
	}
	rows.Wait()
	return nil
}

func trialsOf(q quantity.Quantity, values []float64, o montecarlo.Options) *Trials {
	out := &Trials{Trials: o.Trials, Seed: o.Seed}
	got, ok := montecarlo.Summarise(values)
	out.Failed = got.Failed
	if !ok {
		out.Judgement, out.Matters = string(montecarlo.Differs), true
		out.Message = fmt.Sprintf("Monte Carlo: %d of %d trials have no value. Do not trust the uncertainty above.", got.Failed, got.Trials)
		return out
	}
	if q.U() == 0 && got.U == 0 {
		return nil // exact either way
	}
	judgement, tolerance := got.Judge(q)
	out.Low, out.High = number(got.Low), number(got.High)
	dof := fewest(q)
	if dof > 1 {
		out.Mean = number(got.Mean)
	}
	if dof > 2 {
		out.StandardUncertainty = number(got.U)
	}
	out.Tolerance, out.Judgement = number(tolerance), string(judgement)
	if out.Matters = got.Matters(q); out.Matters {
		out.Message = said(q, got, judgement)
	}
	return out
}

// fewest returns the fewest degrees of freedom of a source behind q. Student's t has no mean with one of them and no
// standard deviation with two (JCGM 101:2008, 6.4.9.4), so what trials give for them is an accident.
func fewest(q quantity.Quantity) float64 {
	least := quantity.Known()
	for _, e := range q.By {
		if e.Source.Shape == quantity.Normal {
			least = min(least, e.Source.DoF)
		}
	}
	return least
}

// said tells a person what the trials mean; figures have the places of two digits of u.
func said(q quantity.Quantity, o montecarlo.Outcome, j montecarlo.Judgement) string {
	u := q.U()
	if u == 0 { // the chain rule has no digit to go by
		u = o.U
	}
	figure := func(x float64) string { return quantity.Rounded(x, u) }
	expanded, _ := q.Expanded()
	interval := strings.TrimRight(fmt.Sprintf("%s to %s %s", figure(o.Low), figure(o.High), q.Unit.Shown()), " ")
	head := fmt.Sprintf("Monte Carlo, %d trials: u = %s, 95 %% from %s", o.Trials, quantity.TwoDigits(o.U), interval)
	if fewest(q) <= 2 {
		head = fmt.Sprintf("Monte Carlo, %d trials: 95 %% from %s, and no u, which so few repeats leave without bound", o.Trials, interval)
	}
	if o.Failed > 0 {
		head += fmt.Sprintf(" (%d trials have no value)", o.Failed)
	}
	chain := fmt.Sprintf("%s to %s", figure(q.Value-expanded), figure(q.Value+expanded))
	switch {
	case q.Value < o.Low || q.Value > o.High:
		return head + ". The value itself lies outside: it is made of scatter, which sampling adds to, and neither interval is to be quoted."
	case j == montecarlo.Differs && o.Inside(q):
		return head + ". The chain rule (" + chain + ") is wider than need be."
	case j == montecarlo.Differs:
		return head + ". The chain rule (" + chain + ") is not good enough here: quote the trials."
	case j == montecarlo.Undecided:
		return head + "; the chain rule gives " + chain + ", the same as far as so many trials can tell."
	}
	return head + ". The chain rule agrees."
}
