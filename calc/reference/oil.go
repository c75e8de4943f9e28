package reference

import (
	"math"
	"sync"
)

// A Range is what a standard allows for a property of a named oil. Property is a fatty acid ("18:1", in percent by mass
// of all fatty acids), "saponification_value", "iodine_value" or "relative_density" (against water at 20 °C).
type Range struct {
	Oil         string
	Property    string
	Low, High   float64
	Unit        string // UCUM
	Temperature string // of a relative density, in °C; otherwise ""
	Provenance
}

var oils = sync.OnceValue(func() []Profile {
	var out []Profile
	for _, r := range read("oils") {
		if len(out) == 0 || out[len(out)-1].Name != r["oil"] {
			out = append(out, Profile{Name: r["oil"], Provenance: r.provenance(), of: "table:oil/" + r["oil"]})
		}
		a, err := ParseAcid(r["acid"])
		if err != nil {
			continue // a test counts the rows
		}
		last := &out[len(out)-1]
		last.Fractions = append(last.Fractions, Fraction{Acid: a, Percent: r.number("percent"), U: allowed(r["oil"], a)})
	}
	for i := range out {
		if p, err := out[i].scaled(); err == nil {
			out[i] = p
		}
	}
	return out
})

// OilIDs returns the names of the oils in the table: one published or typical profile each, as uncertain as the ranges of
// OilRanges are wide.
func OilIDs() []string {
	var out []string
	for _, p := range oils() {
		out = append(out, p.Name)
	}
	return out
}

// FindOil returns the profile of an oil of the table, or an *UnknownError. The caller must not change its fractions.
func FindOil(id string) (Profile, error) {
	for _, p := range oils() {
		if p.Name == id {
			return p, nil
		}
	}
	return Profile{}, &UnknownError{"oil", id, OilIDs()}
}

// allowed returns the standard uncertainty, in percent, of an acid's part in an oil that is known by its name only: the
// oil at hand lies anywhere in the range of its standard, so it is the width over the root of twelve (JCGM 100:2008,
// 4.3.7; 4.3.8 where the profile is off the middle); 0 where there is no range.
func allowed(oil string, a Acid) float64 {
	for _, r := range OilRanges(oil) {
		if r.Property == a.String() {
			return (r.High - r.Low) / math.Sqrt(12)
		}
	}
	return 0
}

var ranges = sync.OnceValue(func() []Range {
	var out []Range
	for _, r := range read("oil_ranges") {
		out = append(out, Range{r["oil"], r["property"], r.number("low"), r.number("high"), r["unit"], r["temperature_Cel"], r.provenance()})
	}
	return out
})

// OilRanges returns the published ranges of an oil in the table's order; none when there are none.
func OilRanges(oil string) []Range {
	var out []Range
	for _, r := range ranges() {
		if r.Oil == oil {
			out = append(out, r)
		}
	}
	return out
}
