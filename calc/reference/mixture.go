package reference

import (
	"slices"
	"sync"
)

// A Part is one substance of a mixture. What a mixture holds beside its parts is taken as harmless.
type Part struct {
	Substance string  // id of the table of substances
	Share     float64 // by mass, 0 to 1
}

// watery is the share of water from which a flash point follows the table of solutions in water.
const watery = 0.3

// MixtureStatements returns the hazard statements of a mixture by the simple rules, the gravest first: limits of
// strength of each substance, corrosive and irritant shares added up over theirs, and the estimate of acute toxicity
// (Regulation (EC) 1272/2008 Annex I, 3.1.3.6, 3.2.3.3 and 3.3.3.3). It is an orientation: a safety data sheet knows
// more. A pure substance is a mixture of one part.
func MixtureStatements(parts []Part) []string {
	var codes []string
	for _, l := range hazardLimits() {
		if share := shareOf(l.substance, parts); l.holds(share, parts) {
			codes = append(codes, l.code)
		}
	}
	if sumOver("H314", parts) >= 1 {
		codes = append(codes, "H314")
	}
	codes = append(codes, acuteStatements(parts)...)
	return Together(codes)
}

// Together returns statements as one label carries them: each once, none that a graver one of them says too, the
// gravest first and equally grave ones in the order of their codes (Regulation (EC) 1272/2008 Annex I, 1.3 and UN GHS
// 1.4.10.5.3.3).
func Together(codes []string) []string {
	out := slices.Clone(codes)
	slices.Sort(out)
	out = slices.Compact(out)
	for _, graver := range codes {
		out = slices.DeleteFunc(out, func(c string) bool { return slices.Contains(saidBy[graver], c) })
	}
	slices.SortStableFunc(out, ByGravity)
	return out
}

// saidBy has the statements that go without saying beside a graver one.
var saidBy = map[string][]string{
	"H224": {"H225", "H226"},
	"H225": {"H226"},
	"H314": {"H315", "H318", "H319"},
	"H318": {"H319"},
	"H300": {"H301", "H302"},
	"H301": {"H302"},
	"H310": {"H311", "H312"},
	"H311": {"H312"},
	"H370": {"H371"},
	"H372": {"H373"},
}

// A hazardLimit says from which share on, and below which, a substance gives a mixture a statement.
type hazardLimit struct {
	substance, in, code string
	from, below         float64 // shares; below is 0 where it has no end
	Provenance
}

var hazardLimits = sync.OnceValue(func() []hazardLimit {
	var out []hazardLimit
	for _, r := range read("hazard_limits") {
		l := hazardLimit{r["substance"], r["in"], r["code"], r.number("from_percent") / 100, 0, r.provenance()}
		if r["below_percent"] != "" {
			l.below = r.number("below_percent") / 100
		}
		out = append(out, l)
	}
	return out
})

// holds reports whether the limit gives its statement. One without a solvent gives way, in water, to those for water.
func (l hazardLimit) holds(share float64, parts []Part) bool {
	if share < l.from || l.below > 0 && share >= l.below {
		return false
	}
	inWater := shareOf("water", parts) >= watery
	if l.in == "water" {
		return inWater
	}
	return !inWater || !slices.ContainsFunc(hazardLimits(), func(o hazardLimit) bool {
		return o.in == "water" && o.substance == l.substance && o.isFlammable() && l.isFlammable()
	})
}

func (l hazardLimit) isFlammable() bool { return HazardClasses()[l.code].Class == "Flammable liquids" }

// sumOver adds the shares of the parts, each over its own limit for the statement: 1 and more gives the statement.
func sumOver(code string, parts []Part) float64 {
	var sum float64
	for _, l := range hazardLimits() {
		if l.code == code {
			sum += shareOf(l.substance, parts) / l.from
		}
	}
	return sum
}

// acuteStatements follow from the estimate of acute toxicity: 1/ATE is the sum of share/ATE over the parts.
func acuteStatements(parts []Part) []string {
	inverse := map[string]float64{} // kg/mg, by route
	for _, r := range read("acute_toxicity") {
		inverse[r["route"]] += shareOf(r["substance"], parts) / r.number("mg_per_kg")
	}
	var out []string
	for _, c := range []struct {
		route, code  string
		above, until float64 // mg/kg: Regulation (EC) 1272/2008 Annex I, table 3.1.1
	}{
		{"swallowed", "H300", 0, 50}, {"swallowed", "H301", 50, 300}, {"swallowed", "H302", 300, 2000},
		{"skin", "H310", 0, 200}, {"skin", "H311", 200, 1000}, {"skin", "H312", 1000, 2000},
	} {
		if ate := 1 / inverse[c.route]; ate > c.above && ate <= c.until {
			out = append(out, c.code)
		}
	}
	return out
}

func shareOf(substance string, parts []Part) float64 {
	var sum float64
	for _, p := range parts {
		if p.Substance == substance {
			sum += p.Share
		}
	}
	return sum
}
