package formula

import (
	"math"

	"example.org/meniscus/calc/quantity"
)

// mean returns the mean of a list with the larger of the two uncertainties and the degrees of freedom of their parts,
// by the rule of quantity.Observe.
func mean(args []Value) (Value, error) {
	x := args[0].List
	if len(x) == 0 {
		return Value{}, noValues("mean")
	}
	n := float64(len(x))
	plain := weighted(x, 1/n)
	if len(x) == 1 {
		return named("mean", plain, nil)
	}
	by := make([]float64, len(x))
	for i := range by {
		by[i] = 1 / n
	}
	out := quantity.Observe(x, []quantity.Outcome{{Value: plain.Value, Unit: plain.Unit, By: by}},
		quantity.Scatter{Name: scatterName(args[0]), S: spread(x, plain.Value), DoF: n - 1})
	return named("mean", out[0], nil)
}

// scatterName names the source that the scatter of a list makes: replicates across vessels, repeats otherwise, then
// what was read as far as it is known, then the readings' digest.
func scatterName(v Value) string {
	prefix, what := quantity.Repeats, quantity.SeriesOf(v.List)
	if v.Across != "" {
		prefix, what = quantity.Replicates, v.Across
	}
	if what != "" {
		what += "/"
	}
	return prefix + what + quantity.Digest(v.List)
}

// spread returns the standard deviation of two values or more about their mean, in their unit.
func spread(x []quantity.Quantity, mean float64) float64 {
	var squares float64
	for _, q := range x {
		squares += (q.Value - mean) * (q.Value - mean)
	}
	return math.Sqrt(squares / float64(len(x)-1))
}

// deviation returns the experimental standard deviation.
func deviation(args []Value) (Value, error) {
	x := args[0].List
	switch len(x) {
	case 0:
		return Value{}, noValues("sd")
	case 1:
		return Value{}, &quantity.RangeError{Msg: "sd: a scatter needs two values or more, found one"}
	}
	n := float64(len(x))
	mean := weighted(x, 1/n).Value
	s, unit, f := spread(x, mean), x[0].Unit.Interval(), scaleOf(x[0].Unit)
	d := make([]float64, len(x))
	for i, q := range x {
		if s > 0 {
			d[i] = f * (q.Value - mean) / ((n - 1) * s)
		}
	}
	q := quantity.Combine(s*f, unit, x, d)
	return named("sd", quantity.Scatter{Name: scatterName(args[0]), DoF: n - 1}.Deviation(q, x, f), nil)
}
