package montecarlo

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// The ends of an interval are read from ordered tails as from values that are all in order, however many are alike.
func TestOrderTails(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		y := rapid.SliceOfN(rapid.OneOf(rapid.Float64(), rapid.SampledFrom([]float64{-1, 0, 1})), 1, 300).Draw(t, "y")
		want := slices.Clone(y)
		slices.Sort(want)
		orderTails(y)
		k := len(y) - covered(len(y))
		if !slices.Equal(y[:k], want[:k]) || !slices.Equal(y[len(y)-k:], want[len(y)-k:]) {
			t.Fatalf("tails of %v are not those of %v", y, want)
		}
		if slices.Sort(y); !slices.Equal(y, want) {
			t.Fatalf("%v is not %v: a value was lost", y, want)
		}
	})
}
