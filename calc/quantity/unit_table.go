package quantity

// An Atom is a unit that stands for itself in UCUM, with how it is shown to people.
type Atom struct {
	Code   string // UCUM, case-sensitive
	Shown  string // as on a label: °C, µL
	Name   string
	Metric bool // takes prefixes
}

type meaning struct {
	dim     dimension
	mant    float64
	exp     int
	zero    float64
	special bool
}

type entry struct {
	Atom
	meaning
}

var (
	length      = dimension{0: 1}
	volume      = dimension{0: 3}
	mass        = dimension{1: 1}
	duration    = dimension{2: 1}
	temperature = dimension{3: 1}
	substance   = dimension{4: 1}
	angle       = dimension{5: 1}
	luminous    = dimension{6: 1}
	charge      = dimension{7: 1}
	acidity     = dimension{8: 1}
	force       = dimension{0: 1, 1: 1, 2: -2}
	pressure    = dimension{0: -1, 1: 1, 2: -2}
	energy      = dimension{0: 2, 1: 1, 2: -2}
	power       = dimension{0: 2, 1: 1, 2: -3}
	viscosity   = dimension{0: -1, 1: 1, 2: -1}
	kinematic   = dimension{0: 2, 2: -1}
	ratio       = dimension{}
)

// atoms are the units that a bench meets. Values: The Unified Code for Units of Measure, version 2.1, tables of base,
// derived and customary units (from memory; SI Brochure 9th ed. for the SI ones). Mass is in gram, as in UCUM.
var atoms = []entry{
	{Atom{"m", "m", "metre", true}, meaning{dim: length, mant: 1}},
	{Atom{"g", "g", "gram", true}, meaning{dim: mass, mant: 1}},
	{Atom{"s", "s", "second", true}, meaning{dim: duration, mant: 1}},
	{Atom{"K", "K", "kelvin", true}, meaning{dim: temperature, mant: 1}},
	{Atom{"mol", "mol", "mole", true}, meaning{dim: substance, mant: 1}},
	{Atom{"rad", "rad", "radian", true}, meaning{dim: angle, mant: 1}},
	{Atom{"cd", "cd", "candela", true}, meaning{dim: luminous, mant: 1}},
	{Atom{"C", "C", "coulomb", true}, meaning{dim: charge, mant: 1}},
	{Atom{"Cel", "°C", "degree Celsius", false}, meaning{dim: temperature, mant: 1, zero: 273.15, special: true}},
	{Atom{"[degF]", "°F", "degree Fahrenheit", false}, meaning{dim: temperature, mant: 5.0 / 9, zero: 459.67 * 5 / 9, special: true}},
	{Atom{"min", "min", "minute", false}, meaning{dim: duration, mant: 60}},
	{Atom{"h", "h", "hour", false}, meaning{dim: duration, mant: 3600}},
	{Atom{"d", "d", "day", false}, meaning{dim: duration, mant: 86400}},
	{Atom{"L", "L", "litre", true}, meaning{dim: volume, mant: 1, exp: -3}},
	{Atom{"l", "L", "litre", true}, meaning{dim: volume, mant: 1, exp: -3}},
	{Atom{"t", "t", "tonne", true}, meaning{dim: mass, mant: 1, exp: 6}},
	{Atom{"N", "N", "newton", true}, meaning{dim: force, mant: 1, exp: 3}},
	{Atom{"Pa", "Pa", "pascal", true}, meaning{dim: pressure, mant: 1, exp: 3}},
	{Atom{"bar", "bar", "bar", true}, meaning{dim: pressure, mant: 1, exp: 8}},
	{Atom{"J", "J", "joule", true}, meaning{dim: energy, mant: 1, exp: 3}},
	{Atom{"W", "W", "watt", true}, meaning{dim: power, mant: 1, exp: 3}},
	{Atom{"cal", "cal", "calorie", true}, meaning{dim: energy, mant: 4.184, exp: 3}},
	{Atom{"P", "P", "poise", true}, meaning{dim: viscosity, mant: 1, exp: 2}},
	{Atom{"St", "St", "stokes", true}, meaning{dim: kinematic, mant: 1, exp: -4}},
	{Atom{"Hz", "Hz", "hertz", true}, meaning{dim: dimension{2: -1}, mant: 1}},
	{Atom{"A", "A", "ampere", true}, meaning{dim: dimension{2: -1, 7: 1}, mant: 1}},
	{Atom{"V", "V", "volt", true}, meaning{dim: dimension{0: 2, 1: 1, 2: -2, 7: -1}, mant: 1, exp: 3}},
	{Atom{"Ohm", "Ω", "ohm", true}, meaning{dim: dimension{0: 2, 1: 1, 2: -1, 7: -2}, mant: 1, exp: 3}},
	{Atom{"deg", "°", "degree of angle", false}, meaning{dim: angle, mant: 3.14159265358979323846 / 180}},
	{Atom{"[in_i]", "in", "inch", false}, meaning{dim: length, mant: 2.54, exp: -2}},
	{Atom{"[pH]", "pH", "pH", false}, meaning{dim: acidity, mant: 1}},
	{Atom{"%", "%", "percent", false}, meaning{dim: ratio, mant: 1, exp: -2}},
	{Atom{"[ppth]", "‰", "per mille", false}, meaning{dim: ratio, mant: 1, exp: -3}},
	{Atom{"[ppm]", "ppm", "part per million", false}, meaning{dim: ratio, mant: 1, exp: -6}},
}

var prefixes = map[string]int{
	"Y": 24, "Z": 21, "E": 18, "P": 15, "T": 12, "G": 9, "M": 6, "k": 3, "h": 2, "da": 1,
	"d": -1, "c": -2, "m": -3, "u": -6, "n": -9, "p": -12, "f": -15,
}

var table = func() map[string]entry {
	t := make(map[string]entry, len(atoms))
	for _, e := range atoms {
		t[e.Code] = e
	}
	return t
}()

// Atoms returns the units that the program knows, in the table's order.
func Atoms() []Atom {
	out := make([]Atom, len(atoms))
	for i, e := range atoms {
		out[i] = e.Atom
	}
	return out
}

// lookup finds an atom and the prefix before it, if any. An atom of its own (min, cd, mol) wins over a prefixed reading.
func lookup(code string) (prefix string, e entry, ok bool) {
	if e, ok = table[code]; ok {
		return "", e, true
	}
	for _, n := range []int{2, 1} {
		if len(code) <= n {
			continue
		}
		exp, isPrefix := prefixes[code[:n]]
		if e, ok = table[code[n:]]; isPrefix && ok && e.Metric {
			e.exp += exp
			return code[:n], e, true
		}
	}
	return "", entry{}, false
}
