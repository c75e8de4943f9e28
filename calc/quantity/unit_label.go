package quantity

import (
	"slices"
	"strconv"
	"strings"
)

// slips are what people write for a unit, and the code that is meant.
var slips = map[string]string{
	"°C": "Cel", "degC": "Cel", "C°": "Cel", "celsius": "Cel", "Celsius": "Cel", "ºC": "Cel", "℃": "Cel", "deg C": "Cel", "degree": "Cel",
	"°F": "[degF]", "F": "[degF]", "degF": "[degF]", "k": "K",
	"ml": "mL", "ML": "mL", "Ml": "mL", "cc": "mL", "ccm": "cm3",
	"gr": "g", "G": "g", "gram": "g", "grams": "g", "Kg": "kg", "KG": "kg",
	"sec": "s", "secs": "s", "seconds": "s", "mins": "min", "minutes": "min", "minute": "min",
	"hr": "h", "hrs": "h", "hour": "h", "hours": "h",
	"kj": "kJ", "KJ": "kJ", "Kcal": "kcal", "M": "mol/L", "inch": "[in_i]", "in": "[in_i]",
	"g/100g": "cg/g", "g/100 g": "cg/g", "percent": "%", "‰": "[ppth]", "ppm": "[ppm]", "pH": "[pH]", "ohm": "Ohm", "Ω": "Ohm", "°": "deg",
}

// elsewhere are the UCUM codes of units that are not known here, with their names. What differs from them in capitals
// only is of another kind, so it is no advice.
var elsewhere = map[string]string{
	"S": "siemens", "a": "year", "mo": "month", "eV": "electronvolt", "T": "tesla", "H": "henry", "Wb": "weber", "Bq": "becquerel", "Gy": "gray",
	"Sv": "sievert", "kat": "katal", "lm": "lumen", "lx": "lux", "sr": "steradian", "dyn": "dyne", "B": "bel", "b": "barn", "u": "dalton",
}

// isElsewhere names the unit that is not known here and that an atom is the code of, with or without a prefix; "" when
// it is none.
func isElsewhere(atom string) string {
	if name, ok := elsewhere[atom]; ok {
		return name
	}
	if _, ok := slips[atom]; ok { // pH is no picohenry
		return ""
	}
	for p := range prefixes {
		if rest, ok := strings.CutPrefix(atom, p); ok && rest != "a" && elsewhere[rest] != "" {
			return elsewhere[rest]
		}
	}
	return ""
}

// labelSigns turn the signs of a label into those of a code.
var labelSigns = strings.NewReplacer("µ", "u", "μ", "u", "^", "", "²", "2", "³", "3", "⁻", "-", "¹", "1",
	"*", ".", "·", ".", "⋅", ".", "×", ".", " per ", "/", " / ", "/", " ", ".", "÷", "/")

// labelForm returns the UCUM code for a unit as it stands on a label or is often typed: "µL", "kg/m^3", "°C", "kj/g".
// It returns false when nothing sensible is near, or when code is one already.
func labelForm(code string) (string, bool) {
	if meant, ok := slips[code]; ok {
		return meant, true
	}
	plain := labelSigns.Replace(code)
	var out strings.Builder
	for rest := plain; rest != ""; {
		end := strings.IndexAny(rest, "./()")
		if end < 0 {
			end = len(rest)
		}
		out.WriteString(meantTerm(rest[:end]))
		if end < len(rest) {
			out.WriteByte(rest[end])
			end++
		}
		rest = rest[end:]
	}
	better := out.String()
	if _, err := parseStrict(better); err != nil || better == code {
		return "", false
	}
	return better, true
}

// meantTerm returns the term of a code that is meant by a term of a label, or the term itself.
func meantTerm(term string) string {
	atom, digits := cutExponent(term)
	if _, _, ok := lookup(atom); ok || atom == "" {
		return term
	}
	if meant, ok := slips[atom]; ok && (digits == "" || !strings.Contains(meant, "/")) {
		return meant + digits
	}
	if c := otherCase(atom); c != "" && isElsewhere(atom) == "" {
		return c + digits
	}
	return term
}

// otherCase returns the atom, with or without a prefix, that differs from the given one in capitals only; "" when there
// is none or more than one.
func otherCase(atom string) string {
	var found []string
	for _, e := range atoms {
		if strings.EqualFold(e.Code, atom) {
			return e.Code
		}
		if !e.Metric || e.Code == "l" || len(atom) <= len(e.Code) {
			continue
		}
		for p := range prefixes {
			if strings.EqualFold(p+e.Code, atom) {
				found = append(found, p+e.Code)
			}
		}
	}
	slices.Sort(found) // the prefixes come in no order
	if found = slices.Compact(found); len(found) != 1 {
		return ""
	}
	return found[0]
}

// Shown returns u as people write it: °C, µL, kg/m³, J/(g·K), 1/min, g/100 g; "" for the unit 1.
func (u Unit) Shown() string {
	if u.String() == "cg/g" {
		return "g/100 g" // of iodine values
	}
	var over, under []string
	for _, f := range u.get().factors {
		if f.exp > 0 {
			over = append(over, shownTerm(f.atom, f.exp))
		} else {
			under = append(under, shownTerm(f.atom, -f.exp))
		}
	}
	top, below := strings.Join(over, "·"), strings.Join(under, "·")
	if below == "" {
		return top
	}
	if top == "" {
		top = "1"
	}
	if len(under) > 1 {
		below = "(" + below + ")"
	}
	return top + "/" + below
}

func shownTerm(atom string, exp int) string {
	if exp == 1 {
		return shownAtom(atom)
	}
	return shownAtom(atom) + raisedDigits.Replace(strconv.Itoa(exp))
}

var raisedDigits = strings.NewReplacer("0", "⁰", "1", "¹", "2", "²", "3", "³", "4", "⁴", "5", "⁵", "6", "⁶", "7", "⁷", "8", "⁸", "9", "⁹")

func shownAtom(code string) string {
	prefix, e, _ := lookup(code)
	return strings.Replace(prefix, "u", "µ", 1) + e.Shown
}
