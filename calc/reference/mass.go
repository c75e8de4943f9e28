package reference

import (
	"fmt"
	"strconv"
	"sync"

	"example.org/meniscus/calc/quantity"
)

// A Count is how many atoms of an element one formula unit holds; a mean composition may hold a fraction.
type Count struct {
	Symbol string
	Atoms  float64
}

var atomicMasses = sync.OnceValue(func() map[string]quantity.Quantity {
	out := map[string]quantity.Quantity{}
	for _, r := range read("atomic_masses") {
		out[r["symbol"]] = r.quantity("g_per_mol", "g/mol", "atomic_mass/"+r["symbol"])
	}
	return out
})

// AtomicMass returns the standard atomic weight of an element in g/mol (IUPAC 2021, abridged).
func AtomicMass(symbol string) (quantity.Quantity, bool) {
	q, ok := atomicMasses()[symbol]
	return q, ok
}

// Composition reads a chemical formula without brackets, such as "C2H6O" or "C8H5O4K". Elements keep the order of their
// first mention.
func Composition(formula string) ([]Count, error) {
	var out []Count
	for rest := formula; rest != ""; {
		symbol := leading(rest)
		if _, ok := AtomicMass(symbol); !ok {
			return nil, &quantity.RangeError{Msg: fmt.Sprintf(
				"the chemical formula %q has no known element at %q: write element signs and counts, as in C2H6O", formula, rest)}
		}
		rest = rest[len(symbol):]
		digits := 0
		for digits < len(rest) && rest[digits] >= '0' && rest[digits] <= '9' {
			digits++
		}
		n := 1
		if digits > 0 {
			var err error
			if n, err = strconv.Atoi(rest[:digits]); err != nil || n < 1 || n > 1000 {
				return nil, &quantity.RangeError{Msg: fmt.Sprintf("the chemical formula %q has the count %s: write 1 to 1000", formula, rest[:digits])}
			}
		}
		rest = rest[digits:]
		out = addCount(out, symbol, float64(n))
	}
	if out == nil {
		return nil, &quantity.RangeError{Msg: "the chemical formula is empty: write element signs and counts, as in C2H6O"}
	}
	return out, nil
}

// leading returns the element sign that s begins with: a capital, and the small letter after it if there is one.
func leading(s string) string {
	if s[0] < 'A' || s[0] > 'Z' {
		return ""
	}
	if len(s) > 1 && s[1] >= 'a' && s[1] <= 'z' {
		return s[:2]
	}
	return s[:1]
}

func addCount(counts []Count, symbol string, n float64) []Count {
	for i := range counts {
		if counts[i].Symbol == symbol {
			counts[i].Atoms += n
			return counts
		}
	}
	return append(counts, Count{symbol, n})
}

var molarMasses sync.Map // chemical formula -> quantity.Quantity

// MolarMass returns the molar mass in g/mol of a chemical formula, from the atomic masses and with their uncertainty.
func MolarMass(formula string) (quantity.Quantity, error) {
	if q, ok := molarMasses.Load(formula); ok {
		return q.(quantity.Quantity), nil
	}
	counts, err := Composition(formula)
	if err != nil {
		return quantity.Quantity{}, err
	}
	q := massOf(counts)
	molarMasses.Store(formula, q)
	return q, nil
}

// massOf returns the molar mass in g/mol of known elements.
func massOf(counts []Count) quantity.Quantity {
	var sum float64
	inputs := make([]quantity.Quantity, len(counts))
	derivatives := make([]float64, len(counts))
	for i, c := range counts {
		inputs[i], _ = AtomicMass(c.Symbol)
		derivatives[i] = c.Atoms
		sum += c.Atoms * inputs[i].Value
	}
	return quantity.Combine(sum, quantity.MustUnit("g/mol"), inputs, derivatives)
}

// massValue is massOf without its uncertainty.
func massValue(counts []Count) (sum float64) {
	for _, c := range counts {
		q, _ := AtomicMass(c.Symbol)
		sum += c.Atoms * q.Value
	}
	return sum
}
