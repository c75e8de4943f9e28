package quantity

import (
	"math"
	"strconv"
	"strings"
)

// Text returns q for people: the value, rounded to the decimal place of its expanded uncertainty's second significant
// digit (JCGM 100:2008, 7.2.6), then "±" and that uncertainty, then the unit as it is shown. Without uncertainty the
// value stands alone, to six significant digits.
func (q Quantity) Text() string {
	value, expanded := q.Digits()
	if expanded != "" {
		value += " ± " + expanded
	}
	return strings.TrimRight(value+" "+q.Unit.Shown(), " ")
}

// Digits returns the value and its expanded uncertainty as decimal text with the same number of decimals; expanded is
// "" when there is none.
func (q Quantity) Digits() (value, expanded string) {
	u, _ := q.Expanded()
	const dust = 1e-13 // of the value: less than a float64 carries
	if u <= dust*math.Abs(q.Value) || math.IsNaN(u) || math.IsInf(u, 0) {
		return Plain(q.Value, 6), ""
	}
	d := decimals(u)
	return fixed(q.Value, d), fixed(u, d)
}

// Plain returns x to the given number of significant digits, without an exponent where that can be read.
func Plain(x float64, digits int) string {
	s := strconv.FormatFloat(x, 'g', digits, 64)
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || v == 0 || math.Abs(v) >= 1e9 || math.Abs(v) < 1e-6 {
		return zeroSign(s)
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// TwoDigits returns a standard or expanded uncertainty to two significant digits, with the zeros that belong to them: 0.10,
// not 0.1 (JCGM 100:2008, 7.2.6).
func TwoDigits(u float64) string {
	if u == 0 || math.IsNaN(u) || math.IsInf(u, 0) {
		return Plain(u, 2)
	}
	return Rounded(u, u)
}

// Rounded returns x to the decimal place of the second significant digit of its uncertainty u, which must be a number
// other than 0.
func Rounded(x, u float64) string { return fixed(x, decimals(u)) }

// decimals returns how many decimals show u to two significant digits after rounding; negative to the left of the point.
func decimals(u float64) int {
	s := strconv.FormatFloat(u, 'e', 1, 64) // d.de±xx: rounding 0.0996 to 0.10 is done here
	exp, _ := strconv.Atoi(s[strings.IndexByte(s, 'e')+1:])
	return 1 - exp
}

// fixed returns x rounded to d decimals; d may be negative.
func fixed(x float64, d int) string {
	if d > 12 || d < -12 {
		return strconv.FormatFloat(x, 'e', 3, 64)
	}
	if d >= 0 {
		return zeroSign(strconv.FormatFloat(x, 'f', d, 64))
	}
	p := math.Pow10(-d)
	return zeroSign(strconv.FormatFloat(math.RoundToEven(x/p)*p, 'f', 0, 64))
}

// zeroSign takes the minus from a zero.
func zeroSign(s string) string {
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}
