package summary

import (
	"errors"
	"math"
	"strconv"
	"strings"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
)

// results works out the results and checks of a vessel, or with "" those of the whole run.
func results(s *run.State, vessel string) ([]Result, []Check) {
	rows, checks := []Result{}, []Check{}
	var values formula.Values
	var whole *witness
	if vessel == "" {
		whole = newWitness(s)
		values = whole
	} else {
		values = s.Values(vessel)
	}
	for _, r := range s.Protocol.Results {
		if r.OfRun != (vessel == "") {
			continue
		}
		value, err := values.Value(r.ID) // keeps what it has worked out
		own := resultRows(s, vessel, r, value, err)
		if whole != nil && own[0].Status == OK {
			own[0].Message = whole.without(r.ID)
		}
		own[0].Verdicts = verdicts(s, vessel, r, values)
		rows = append(rows, own...)
		for _, c := range s.Protocol.Checks {
			if c.Result == r {
				checks = append(checks, checkRows(c, own, values, c.Say.Fill(figures{s, vessel}, 0))...)
			}
		}
	}
	return rows, checks
}

func resultRows(s *run.State, vessel string, r *protocol.Result, v formula.Value, err error) []Result {
	name, say := title(r.Title, r.ID), r.Say.Fill(figures{s, vessel}, 0)
	row := func(id, name string) Result {
		return Result{ID: id, Title: name, Unit: r.Unit.String(), Say: say, Budget: []Share{}}
	}
	switch {
	case err != nil:
		out := row(r.ID, name)
		out.Status, out.Message = why(s.Protocol, vesselOfState(s, vessel), err)
		return []Result{out}
	case v.Kind == formula.Number:
		out := row(r.ID, name)
		out.fill(v.Number, s.Protocol)
		return []Result{out}
	case (v.Kind == formula.List || v.Kind == formula.Series) && len(v.List) > 0:
		out := make([]Result, len(v.List))
		for i, q := range v.List {
			out[i] = row(nth(r.ID, i), name+" "+strconv.Itoa(i+1))
			out[i].fill(q, s.Protocol)
			if i > 0 {
				out[i].Say = "" // once is enough
			}
		}
		return out
	}
	out := row(r.ID, name)
	out.Status, out.Message = Impossible, "its formula gives no number"
	return []Result{out}
}

// fill sets the figures from q.
func (r *Result) fill(q quantity.Quantity, p *protocol.Protocol) {
	if math.IsNaN(q.Value) || math.IsInf(q.Value, 0) {
		r.Status, r.Message = Impossible, "the readings give no finite value"
		return
	}
	expanded, k := q.Expanded()
	r.Status, r.Quantity = OK, q
	r.Value, r.StandardUncertainty, r.ExpandedUncertainty = number(q.Value), number(q.U()), number(expanded)
	r.CoverageFactor, r.DegreesOfFreedom = number(k), number(q.DoF())
	if q.U() == 0 {
		r.ExpandedUncertainty = number(0)
		return
	}
	for _, b := range q.Budget() {
		r.Budget = append(r.Budget, Share{b.Source, sourceOf(b.Source, p).title, b.Contribution, b.Share})
	}
	r.Causes, r.Advice = causesOf(q, p)
	r.Scatter = scatterOf(q)
}

// why says in a sentence why a result has no value.
func why(p *protocol.Protocol, v *run.Vessel, err error) (Status, string) {
	var missing *formula.MissingError
	if !errors.As(err, &missing) {
		return Impossible, err.Error()
	}
	id, portion, ofPortion := strings.Cut(missing.Name, ".")
	reading := p.Reading(id)
	if reading == nil {
		return Missing, missing.Error()
	}
	said := title(reading.Title, reading.ID)
	if ofPortion {
		said += ", portion " + portion
	}
	said += " (" + missing.Name + ") was not taken"
	if v != nil {
		for _, t := range v.Taken {
			if t.Reading.ID == reading.ID && t.NotTaken && t.Why != "" && (!ofPortion || strconv.Itoa(t.Portion) == portion) {
				return Missing, said + ": " + t.Why
			}
		}
	}
	return Missing, said
}

func vesselOfState(s *run.State, label string) *run.Vessel {
	for _, v := range s.Vessels {
		if v.Label == label {
			return v
		}
	}
	return nil
}
