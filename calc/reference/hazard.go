package reference

import (
	"cmp"
	"sync"
)

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

// A HazardClass is what a statement stands for on a label: the class and category of the hazard, and the signal word.
type HazardClass struct {
	Code     string // of the statement
	Class    string
	Category int    // 1 is the gravest of its class
	Signal   string // "Danger" or "Warning"
	Provenance
}

// HazardClasses returns the classes by the codes of their statements.
var HazardClasses = sync.OnceValue(func() map[string]HazardClass {
	out := map[string]HazardClass{}
	for _, r := range read("hazard_classes") {
		out[r["code"]] = HazardClass{r["code"], r["class"], int(r.number("category")), r["signal"], r.provenance()}
	}
	return out
})

// ByGravity orders two hazard codes, the graver one first: by the signal word, Danger before Warning, then by the category.
// Equally grave ones are equal. One without a signal word, as those of the series EUH, comes last.
func ByGravity(a, b string) int { return cmp.Compare(gravity(a), gravity(b)) }

// gravity is less for a graver hazard. Categories go up to 4.
func gravity(code string) int {
	switch c := HazardClasses()[code]; c.Signal {
	case "Danger":
		return c.Category
	case "Warning":
		return 10 + c.Category
	}
	return 20
}
