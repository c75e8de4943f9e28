package command

import (
	"encoding/json"

	"example.org/meniscus/protocol/plan"
)

// planJSON writes the plan for programs. Where windows cannot be kept, bound_min is the makespan of the plan if that is proven,
// and left out if not.
func (e *env) planJSON(t *timetable, a planning) error {
	type step struct {
		ID    string  `json:"id"`
		Start float64 `json:"start_min"`
		End   float64 `json:"end_min"`
	}
	type vessel struct {
		Label string `json:"label"`
		Steps []step `json:"steps"`
	}
	type violation struct {
		Vessel string  `json:"vessel"`
		From   string  `json:"from"`
		To     string  `json:"to"`
		By     float64 `json:"by_min"`
		Remedy string  `json:"remedy"`
	}
	p := t.plan
	out := struct {
		Makespan   float64     `json:"makespan_min"`
		OverWait   float64     `json:"overwait_min"`
		Feasible   bool        `json:"feasible"`
		Proven     bool        `json:"proven"`
		Bound      *float64    `json:"bound_min,omitempty"`
		LeastOver  float64     `json:"overwait_bound_min"`
		Start      string      `json:"start,omitempty"`
		Until      *float64    `json:"until_min,omitempty"` // since the start
		OverBy     *float64    `json:"over_until_min,omitempty"`
		Violations []violation `json:"violations"`
		Vessels    []vessel    `json:"vessels"`
		Why        *whyJSON    `json:"why,omitempty"`
	}{Makespan: p.Makespan.Minutes(), OverWait: p.OverWait.Minutes(), Feasible: p.Feasible(), Proven: p.Proven,
		LeastOver: p.LeastOverWait.Minutes(), Start: a.start, Violations: []violation{}, Why: whyForPrograms(t.why)}
	bound := p.Bound.Minutes()
	if !p.Feasible() {
		bound = out.Makespan
	}
	if p.Feasible() || p.Proven {
		out.Bound = &bound
	}
	if a.end > 0 {
		until, over := a.end.Minutes(), a.late(p).Minutes()
		out.Until, out.OverBy = &until, &over
	}
	for _, x := range p.Violations {
		out.Violations = append(out.Violations, violation{x.Vessel, x.From, x.To, x.By.Minutes(), x.Remedy})
	}
	for v, vs := range p.Problem.Vessels {
		w := vessel{Label: vs.Label}
		for j, s := range vs.Steps {
			w.Steps = append(w.Steps, step{s.ID, p.Start[v][j].Minutes(), p.End(v, j).Minutes()})
		}
		out.Vessels = append(out.Vessels, w)
	}
	enc := json.NewEncoder(e.out)
	enc.SetIndent("", "  ")
	return enc.Encode(out)
}

// whyJSON says what binds. binds is yes, no or unknown; proven says that saves_min is exact.
type whyJSON struct {
	Alone float64     `json:"alone_min"`
	Chain bool        `json:"chain_binds"`
	Loads []loadJSON  `json:"loads"`
	Tried []triedJSON `json:"tried"`
}

type loadJSON struct {
	Resource string  `json:"resource"`
	Places   int     `json:"places"`
	Busy     float64 `json:"busy_min"`
	Share    float64 `json:"share"`
	AtLeast  float64 `json:"at_least_min"`
}

type triedJSON struct {
	Kind     plan.Kind   `json:"kind"`
	Resource string      `json:"resource,omitempty"`
	Now      int         `json:"now,omitempty"`
	Break    *[2]float64 `json:"break_min,omitempty"`
	Vessels  []string    `json:"vessels,omitempty"`
	From     string      `json:"from,omitempty"`
	To       string      `json:"to,omitempty"`
	Makespan float64     `json:"makespan_min"`
	Excess   float64     `json:"excess_min"`
	Saves    float64     `json:"saves_min"`
	Binds    plan.Answer `json:"binds"`
	Proven   bool        `json:"proven"`
}

func whyForPrograms(why *plan.Reasons) *whyJSON {
	if why == nil {
		return nil
	}
	out := &whyJSON{Alone: why.Alone.Minutes(), Chain: why.Chain, Loads: []loadJSON{}, Tried: []triedJSON{}}
	for _, l := range why.Loads {
		out.Loads = append(out.Loads, loadJSON{l.Resource, l.Places, l.Busy.Minutes(), l.Share, l.AtLeast.Minutes()})
	}
	for _, t := range why.Trials {
		j := triedJSON{Kind: t.Kind, Resource: t.Resource, Now: t.Now, Vessels: t.Vessels, From: t.From, To: t.To,
			Makespan: t.Makespan.Minutes(), Excess: t.Excess.Minutes(), Saves: t.Saves.Minutes(), Binds: t.Binds, Proven: t.Proven}
		if t.Kind == plan.NoBreak {
			j.Break = &[2]float64{t.Break.From.Minutes(), t.Break.To.Minutes()}
		}
		out.Tried = append(out.Tried, j)
	}
	return out
}
