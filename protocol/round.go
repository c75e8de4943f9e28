package protocol

import (
	"math"
	"strconv"
	"strings"

	"example.org/meniscus/calc/quantity"
)

// rounded returns x as the nearest multiple of step, a half upwards; a zero step leaves x as it is. A value that is a
// half but for the last bits of a float counts as a half.
func rounded(x, step float64) float64 {
	if step <= 0 {
		return x
	}
	n := x / step
	n = math.Floor(n + 0.5 + 1e-9*math.Max(1, math.Abs(n)))
	v, err := strconv.ParseFloat(strconv.FormatFloat(n*step, 'g', 15, 64), 64) // 3*0.1 is 0.3
	if err != nil {
		return n * step
	}
	return v + 0 // no negative zero
}

// decimalsOf returns how many decimals a step is written with: 0.5 has one.
func decimalsOf(step float64) int {
	_, fraction, _ := strings.Cut(strconv.FormatFloat(step, 'f', -1, 64), ".")
	return len(fraction)
}

// shown returns a quantity with its unit as people read it, with the decimals of the step it was rounded to, or to four
// significant digits.
func shown(q quantity.Quantity, step float64) string {
	digits := quantity.Plain(q.Value, 4)
	if step > 0 {
		digits = strconv.FormatFloat(q.Value, 'f', decimalsOf(step), 64)
	}
	return withUnit(digits, q.Unit)
}

func withUnit(digits string, u quantity.Unit) string {
	return strings.TrimSpace(digits + " " + u.Shown())
}
