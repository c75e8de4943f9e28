package reference

import "sync"

// A Limit is what a fuel standard asks of a property. Low or High is NaN where there is none.
type Limit struct {
	Standard  string // "EN 14214"
	Edition   string
	Property  string // "density_15"
	Low, High float64
	Unit      string // UCUM
	Provenance
}

// FuelLimits returns the table: EN 14214, which is for methyl esters, and ASTM D6751.
var FuelLimits = sync.OnceValue(func() []Limit {
	var out []Limit
	for _, r := range read("fuel_limits") {
		out = append(out, Limit{r["standard"], r["edition"], r["property"], r.number("low"), r.number("high"), r["unit"], r.provenance()})
	}
	return out
})

// FuelLimit returns the limit of a standard for a property; of several editions the one that stands first in the table.
func FuelLimit(standard, property string) (Limit, bool) {
	for _, l := range FuelLimits() {
		if l.Standard == standard && l.Property == property {
			return l, true
		}
	}
	return Limit{}, false
}
