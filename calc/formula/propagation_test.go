package formula

import (
	"encoding/csv"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"example.org/meniscus/calc/quantity"
)

var abc = []string{"a", "b", "c"}

// sample is a bench of ratios a, b and c.
func sample(x, u [3]float64) bench {
	b := newBench()
	for i, name := range abc {
		q := quantity.Ratio(x[i])
		if u[i] > 0 {
			q = q.With(quantity.Source{Name: name}, u[i])
		}
		b.types[name], b.values[name] = numberIn("1"), Of(q)
	}
	return b
}

// The chain rule against another program for linear propagation.
func TestPropagationHasASecondOpinion(t *testing.T) {
	f, err := os.Open("../../testdata/reference/propagation.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) != 15 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	b := sample([3]float64{1.25, 2.5, 0.75}, [3]float64{0.02, 0.05, 0.01})
	for _, row := range rows[1:] {
		v, _, err := calculate(row[0], b, b)
		if err != nil {
			t.Errorf("%s: %v", row[0], err)
			continue
		}
		for i, got := range []float64{v.Number.Value, v.Number.U()} {
			want, err := strconv.ParseFloat(row[1+i], 64)
			if err != nil || math.Abs(got-want) > 1e-13*math.Max(1, math.Abs(want)) {
				t.Errorf("%s: %.16g, want %.16g, %v (%s)", row[0], got, want, err, row[3])
			}
		}
	}
}

// drawSmooth returns a formula of a, b and c between 1 and 2 that is positive and smooth.
func drawSmooth(t *rapid.T, depth int) string {
	if depth == 0 {
		return rapid.SampledFrom(abc).Draw(t, "name")
	}
	x := drawSmooth(t, depth-1)
	switch rapid.IntRange(0, 7).Draw(t, "operation") {
	case 0:
		return "sqrt(" + x + ")"
	case 1:
		return "ln(1 + " + x + ")"
	case 2:
		return "exp(-" + x + " / 4)"
	case 3:
		return "(" + x + ") ^ 1.5"
	case 4:
		return "(" + x + " + " + drawSmooth(t, depth-1) + ")"
	case 5:
		return "(" + x + ") * (" + drawSmooth(t, depth-1) + ")"
	case 6:
		return "mean(" + x + ", " + x + ")"
	}
	return "(" + x + ") / (1 + " + drawSmooth(t, depth-1) + ")"
}

// asFunction returns a formula as a function of a, b and c.
func asFunction(t *rapid.T, text string) func(x [3]float64) float64 {
	f, err := Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.Check(sample([3]float64{1, 1, 1}, [3]float64{}), functions()); err != nil {
		t.Fatal(err)
	}
	return func(x [3]float64) float64 {
		v, err := f.Eval(sample(x, [3]float64{}))
		if err != nil {
			t.Fatalf("%s at %v: %v", text, x, err)
		}
		return v.Number.Value
	}
}

func drawPoint(t *rapid.T) (x [3]float64) {
	for i := range x {
		x[i] = rapid.Float64Range(1, 2).Draw(t, abc[i])
	}
	return x
}

// Every effect is a derivative times an uncertainty.
func TestEffectsAreDerivatives(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text, x := "("+drawSmooth(t, 3)+")", drawPoint(t)
		b := sample(x, [3]float64{0.01, 0.01, 0.01})
		v, _, err := calculate(text, b, b)
		if err != nil {
			t.Fatalf("%s: %v", text, err)
		}
		f := asFunction(t, text)
		for i, name := range abc {
			const h = 1e-4
			up, down := x, x
			up[i], down[i] = x[i]+h, x[i]-h
			want := 0.01 * (f(up) - f(down)) / (2 * h)
			var got float64
			for _, e := range v.Number.By {
				if e.Source.Name == name {
					got = e.Amount
				}
			}
			if math.Abs(got-want) > 1e-6*math.Max(1, math.Abs(v.Number.Value)) {
				t.Fatalf("%s at %v: effect of %s is %.9g, by differences %.9g", text, x, name, got, want)
			}
		}
	})
}

// Linear propagation against 2000 draws of normal deviates small enough to see little curvature: their standard deviation
// is itself uncertain by 1/√4000, and six of these are allowed.
func TestPropagationAgainstDraws(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	rapid.Check(t, func(t *rapid.T) {
		text, x := drawSmooth(t, 2), drawPoint(t)
		const u, trials = 1e-3, 2000
		const curvature = 1e-5 // a few u², which is all that is left where the derivative is zero
		b := sample(x, [3]float64{u, u, u})
		v, _, err := calculate(text, b, b)
		if err != nil {
			t.Fatalf("%s: %v", text, err)
		}
		f := asFunction(t, text)
		var sum, squares float64
		for range trials {
			var at [3]float64
			for i := range at {
				at[i] = x[i] + u*random.NormFloat64()
			}
			d := f(at) - v.Number.Value
			sum, squares = sum+d, squares+d*d
		}
		if s := math.Sqrt((squares - sum*sum/trials) / (trials - 1)); math.Abs(s-v.Number.U()) > 6/math.Sqrt(2*trials)*v.Number.U()+curvature*math.Max(1, v.Number.Value) {
			t.Fatalf("%s at %v: u = %g, draws scatter by %g", text, x, v.Number.U(), s)
		}
	})
}

// The same value by another order of operations has the same uncertainty.
func TestOrderDoesNotChangeUncertainty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := sample(drawPoint(t), [3]float64{0.01, 0.02, 0.03})
		for _, pair := range [][2]string{
			{"a * (b + c)", "a * b + a * c"}, {"(a + b) + c", "a + (b + c)"}, {"(a * b) / c", "a / c * b"}, {"(a - b) * (a + b)", "a^2 - b^2"},
			{"ln(a * b)", "ln(a) + ln(b)"}, {"exp(a) * exp(b)", "exp(a + b)"}, {"sqrt(a) * sqrt(a)", "a"}, {"1 / (1/a + 1/b)", "a * b / (a + b)"}, {"sum(a, b, c)", "c + b + a"},
		} {
			var q [2]quantity.Quantity
			for i, text := range pair {
				v, _, err := calculate(text, b, b)
				if err != nil {
					t.Fatal(err)
				}
				q[i] = v.Number
			}
			if math.Abs(q[0].U()-q[1].U()) > 1e-13*math.Max(1, q[1].U()) || math.Abs(q[0].Value-q[1].Value) > 1e-13*math.Max(1, math.Abs(q[1].Value)) {
				t.Fatalf("%s and %s: %v", pair[0], pair[1], fmt.Sprint(q))
			}
		}
	})
}
