package reference

import "sync"

// A Hazard is a hazard statement in its official wording.
type Hazard struct {
	Code string // "H225"
	Text string // without a full stop
	Provenance
}

// Hazards returns the table of hazard statements in the order of their codes.
var Hazards = sync.OnceValue(func() []Hazard {
	var out []Hazard
	for _, r := range read("hazards") {
		out = append(out, Hazard{r["code"], r["statement"], r.provenance()})
	}
	return out
})

// Statement returns the official wording of a hazard code such as "H225" or "H301+H311+H331" (UN GHS Annex 3).
func Statement(code string) (text string, ok bool) {
	for _, h := range Hazards() {
		if h.Code == code {
			return h.Text, true
		}
	}
	return "", false
}
