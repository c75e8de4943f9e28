package reference

import "sync"

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
			out = append(out, Profile{Name: r["oil"], Provenance: r.provenance()})
		}
		a, err := ParseAcid(r["acid"])
		if err != nil {
			continue // a test counts the rows
		}
		last := &out[len(out)-1]
		last.Fractions = append(last.Fractions, Fraction{a, r.number("percent")})
	}
	for i := range out {
		if p, err := out[i].scaled(); err == nil {
			out[i] = p
		}
	}
	return out
})

// OilIDs returns the names of the oils in the table: one published or typical profile each.
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
