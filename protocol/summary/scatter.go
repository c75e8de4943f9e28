package summary

import (
	"fmt"
	"math"

	"example.org/meniscus/calc/quantity"
)

// Scatter sets what repeated readings showed beside what the instruments alone would give: standard uncertainties, in
// the result's unit.
type Scatter struct {
	Of          string  `json:"of"` // "replicates", "repeats", "fit", or "" when it is within what the instruments explain
	Observed    float64 `json:"observed_standard_uncertainty"`
	Instruments float64 `json:"instruments_standard_uncertainty"`
	Dominates   string  `json:"dominates"` // "scatter" or "instruments"
	Message     string  `json:"message"`
}

// scatterOf returns nil when no reading behind q was repeated.
func scatterOf(q quantity.Quantity) *Scatter {
	if !q.Repeated() {
		return nil
	}
	out := &Scatter{Instruments: finite(q.InstrumentsAlone().U()), Dominates: "instruments"}
	var most float64
	for _, kind := range []struct{ prefix, of string }{
		{quantity.Replicates, "replicates"}, {quantity.Repeats, "repeats"}, {quantity.Fits, "fit"}} {
		u := finite(q.From(kind.prefix))
		if u > most {
			out.Of, most = kind.of, u
		}
		out.Observed = math.Hypot(out.Observed, u)
	}
	if q.U() <= out.Instruments*(1+1e-9) {
		out.Of = ""
	}
	if out.Observed > out.Instruments {
		out.Dominates = "scatter"
	}
	out.Message = out.say(q.Unit)
	return out
}

func (s *Scatter) say(unit quantity.Unit) string {
	figure := func(u float64) string {
		if unit.Interval().Shown() == "" {
			return quantity.TwoDigits(u)
		}
		return quantity.TwoDigits(u) + " " + unit.Interval().Shown()
	}
	if s.Of == "" {
		return "The readings scatter no more than their instruments explain. Instruments, givens and tables give u = " + figure(s.Instruments) + "."
	}
	source := map[string]string{
		"replicates": "the replicates scatter",
		"repeats":    "the repeated readings scatter",
		"fit":        "the readings scatter about the fit",
	}[s.Of]
	said := fmt.Sprintf("Instruments, givens and tables give u = %s; %s by u = %s, ", figure(s.Instruments), source, figure(s.Observed))
	if s.Dominates == "scatter" {
		said += "and that dominates."
	} else {
		said += "and the former dominate."
	}
	if s.Of == "repeats" {
		said += " Several readings of one batch are not replicates of the batch."
	}
	return said
}
