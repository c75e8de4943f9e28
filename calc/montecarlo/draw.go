package montecarlo

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat/distuv"

	"example.org/meniscus/calc/quantity"
)

// A drawer gives one deviate of a source.
type drawer func(r *rand.Rand) float64

// drawers returns how each source is drawn, with the random numbers of one block.
func drawers(sources []quantity.Source, pcg *rand.PCG) []drawer {
	out := make([]drawer, len(sources))
	for i, s := range sources {
		out[i] = drawerOf(s, pcg)
	}
	return out
}

func drawerOf(s quantity.Source, pcg *rand.PCG) drawer {
	switch {
	case s.Shape == quantity.Rectangular:
		return func(r *rand.Rand) float64 { return math.Sqrt(3) * (2*r.Float64() - 1) }
	case s.Shape == quantity.Triangular:
		return func(r *rand.Rand) float64 { return math.Sqrt(6) * (r.Float64() + r.Float64() - 1) }
	case s.DoF > 0 && !math.IsInf(s.DoF, 1):
		t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: s.DoF, Src: pcg}
		return func(*rand.Rand) float64 { return t.Rand() }
	}
	return (*rand.Rand).NormFloat64
}
