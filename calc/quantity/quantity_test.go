package quantity

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// normal returns a source of the given name whose uncertainty is known.
func normal(name string) Source { return Source{Name: name, DoF: Known()} }

func near(a, b, tolerance float64) bool { return math.Abs(a-b) <= tolerance }

// must returns a function that ends the test on an error.
func must(t *testing.T) func(Quantity, error) Quantity {
	return func(q Quantity, err error) Quantity {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return q
	}
}

// Two weighings on one balance: what they share goes, what each has of its own stays (JCGM 100:2008, 5.2.2 and F.1.2.3,
// from memory: correlated errors of one instrument cancel in a difference).
func TestSharedOffsetCancelsInADifference(t *testing.T) {
	must := must(t)
	g := unit(t, "g")
	before := Exact(142.86, g).With(normal("reading:before/step"), 0.003).With(normal("instrument:balance/offset"), 0.05)
	after := Exact(141.65, g).With(normal("reading:after/step"), 0.004).With(normal("instrument:balance/offset"), 0.05)
	burnt := must(Sub(before, after))
	want := []Effect{{normal("reading:after/step"), -0.004}, {normal("reading:before/step"), 0.003}}
	if d := cmp.Diff(want, burnt.By); d != "" {
		t.Errorf("effects of the difference: %s", d)
	}
	if !near(burnt.U(), 0.005, 1e-15) { // 3-4-5
		t.Errorf("u = %g, want 0.005", burnt.U())
	}
	both := must(Add(before, after))
	if want := math.Sqrt(0.1*0.1 + 0.005*0.005); !near(both.U(), want, 1e-15) {
		t.Errorf("u of the sum = %g, want %g: the offset counts twice", both.U(), want)
	}
}

func TestTemperatures(t *testing.T) {
	cel, k, f := unit(t, "Cel"), unit(t, "K"), unit(t, "[degF]")
	tests := []struct {
		what string
		got  func() (Quantity, error)
		want Quantity
		err  string
	}{
		{"difference", func() (Quantity, error) { return Sub(Exact(45.5, cel), Exact(20.1, cel)) }, Exact(25.4, k), ""},
		{"interval added", func() (Quantity, error) { return Add(Exact(20, cel), Exact(5, k)) }, Exact(25, cel), ""},
		{"added to an interval", func() (Quantity, error) { return Add(Exact(5, k), Exact(20, cel)) }, Exact(25, cel), ""},
		{"interval taken", func() (Quantity, error) { return Sub(Exact(20, cel), Exact(5, k)) }, Exact(15, cel), ""},
		{"Fahrenheit difference", func() (Quantity, error) { return Sub(Exact(212, f), Exact(32, f)) }, Exact(100, k), ""},
		{"two scales", func() (Quantity, error) { return Sub(Exact(100, cel), Exact(32, f)) }, Exact(100, k), ""},
		{"interval added to Fahrenheit", func() (Quantity, error) { return Add(Exact(32, f), Exact(100, k)) }, Exact(212, f), ""},
		{"two added", func() (Quantity, error) { return Add(Exact(20, cel), Exact(5, cel)) }, Quantity{},
			"two temperatures cannot be added: add an interval in K, or take the mean"},
		{"taken from an interval", func() (Quantity, error) { return Sub(Exact(20, k), Exact(5, cel)) }, Quantity{}, "a temperature cannot be taken from K"},
		{"opposite", func() (Quantity, error) { return Neg(Exact(20, cel)) }, Quantity{},
			"a temperature on a scale with its own zero has no opposite: take a difference first"},
		{"product", func() (Quantity, error) { return Mul(Exact(20, cel), Ratio(2)) }, Quantity{},
			"a temperature on a scale with its own zero enters no product or quotient: take a difference first"},
		{"quotient", func() (Quantity, error) { return Div(Ratio(2), Exact(20, cel)) }, Quantity{},
			"a temperature on a scale with its own zero enters no product or quotient: take a difference first"},
		{"power", func() (Quantity, error) { return Pow(Exact(20, cel), 2) }, Quantity{},
			"a temperature on a scale with its own zero has no power: take a difference first"},
		{"mass", func() (Quantity, error) { return Add(Exact(20, cel), Exact(2, unit(t, "g"))) }, Quantity{}, "units do not fit: Cel + g"},
	}
	for _, tt := range tests {
		got, err := tt.got()
		if tt.err != "" {
			if err == nil || err.Error() != tt.err {
				t.Errorf("%s: error %v, want %s", tt.what, err, tt.err)
			}
			continue
		}
		if err != nil || got.Unit != tt.want.Unit || !near(got.Value, tt.want.Value, 1e-12) {
			t.Errorf("%s: %.17g %s, %v, want %g %s", tt.what, got.Value, got.Unit, err, tt.want.Value, tt.want.Unit)
		}
	}
}

// An uncertainty on a Fahrenheit scale is in its own degrees, 5/9 K each.
func TestUncertaintyFollowsTheScale(t *testing.T) {
	must := must(t)
	cel, k, f := unit(t, "Cel"), unit(t, "K"), unit(t, "[degF]")
	q := Exact(140, f).With(normal("a"), 0.9)
	for _, tt := range []struct {
		got  Quantity
		want float64
	}{
		{q, 0.9}, {must(q.To(cel)), 0.5}, {must(q.To(k)), 0.5}, {must(Sub(q, Exact(32, f))), 0.5}, {must(Add(q, Exact(1, k))), 0.9},
		{must(Add(Exact(140, f), Exact(1, k).With(normal("a"), 0.5))), 0.9}, {must(Sub(Exact(60, cel), q)), 0.5},
	} {
		if !near(tt.got.U(), tt.want, 1e-12) {
			t.Errorf("%g %s: u = %g, want %g", tt.got.Value, tt.got.Unit, tt.got.U(), tt.want)
		}
	}
}

func TestRangeErrors(t *testing.T) {
	uncertainZero := Ratio(0).With(normal("a"), 1)
	tests := []struct {
		what string
		got  func() (Quantity, error)
		want string
	}{
		{"1/0", func() (Quantity, error) { return Div(Ratio(1), Ratio(0)) }, "division by zero"},
		{"(-1)^0.5", func() (Quantity, error) { return Pow(Ratio(-1), 0.5) }, "no value at -1"},
		{"0^-1", func() (Quantity, error) { return Pow(Ratio(0), -1) }, "no value at 0"},
		{"uncertain 0^0.5", func() (Quantity, error) { return Pow(uncertainZero, 0.5) }, "no finite uncertainty at 0"},
		{"uncertain power of 0", func() (Quantity, error) { return Raise(Ratio(0), Ratio(2).With(normal("a"), 1)) }, "no finite uncertainty: an uncertain power of 0"},
	}
	for _, tt := range tests {
		q, err := tt.got()
		var r *RangeError
		if !errors.As(err, &r) || err.Error() != tt.want {
			t.Errorf("%s = %v, error %v, want %s", tt.what, q, err, tt.want)
		}
	}
}

func TestPowers(t *testing.T) {
	must := must(t)
	side := Exact(3, unit(t, "mm")).With(normal("a"), 0.1)
	square := must(Pow(side, 2))
	if square.Value != 9 || square.Unit.String() != "mm2" || !near(square.U(), 0.6, 1e-15) { // 2 x u, by hand
		t.Errorf("square = %v", square)
	}
	if q := must(Pow(Exact(50, unit(t, "%")), 2)); q.Value != 0.25 || q.Unit != One {
		t.Errorf("(50 %%)^2 = %v", q)
	}
	if q := must(Pow(uncertain(0, "a", 1), 0)); q.Value != 1 || q.U() != 0 {
		t.Errorf("x^0 = %v", q)
	}
	if _, err := Pow(side, 0.5); err == nil || err.Error() != "mm can only be raised to a whole number from -9 to 9" {
		t.Errorf("mm^0.5: %v", err)
	}
	q := must(Raise(Ratio(2), uncertain(3, "b", 0.1))) // d(2^x)/dx = 2^x ln 2
	if q.Value != 8 || !near(q.U(), 0.1*8*math.Ln2, 1e-14) {
		t.Errorf("2^3 = %v, u = %g", q.Value, q.U())
	}
	if _, err := Raise(side, uncertain(3, "b", 0.1)); err == nil || err.Error() != "mm can only be raised to an exact number" {
		t.Errorf("mm^(3 ± 0.1): %v", err)
	}
}

func uncertain(x float64, name string, u float64) Quantity { return Ratio(x).With(normal(name), u) }

func TestCompare(t *testing.T) {
	for _, tt := range []struct {
		a, b string
		want int
	}{{"500 uL", "0.5 mL", 0}, {"1 g", "1 kg", -1}, {"1 h", "59 min", 1}, {"100 Cel", "211 [degF]", 1}} {
		must := must(t)
		if c, err := Compare(must(ParseQuantity(tt.a)), must(ParseQuantity(tt.b))); err != nil || c != tt.want {
			t.Errorf("Compare(%s, %s) = %d, %v, want %d", tt.a, tt.b, c, err, tt.want)
		}
	}
	if _, err := Compare(Exact(1, unit(t, "g")), Exact(1, unit(t, "mL"))); err == nil || err.Error() != "units do not fit: g compared with mL" {
		t.Errorf("g with mL: %v", err)
	}
}

func drawQuantity(t *rapid.T, label string, u Unit) Quantity {
	q := Exact(rapid.Float64Range(-1e3, 1e3).Draw(t, label), u)
	for _, s := range rapid.SliceOfN(rapid.SampledFrom([]string{"a", "b", "c", "d"}), 0, 3).Draw(t, label+" sources") {
		q = q.With(normal(s), rapid.Float64Range(0.001, 1).Draw(t, label+" u"))
	}
	return q
}

// a + b - b is a, also in its uncertainty; a * b / b is a.
func TestGroupLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u, v := drawUnit(t, "u"), drawUnit(t, "v")
		a, b, c := drawQuantity(t, "a", u), drawQuantity(t, "b", u), drawQuantity(t, "c", v)
		if math.Abs(c.Value) < 1e-3 {
			c.Value = 1e-3
		}
		sum, err1 := Add(a, b)
		back, err2 := Sub(sum, b)
		turned, err3 := Add(b, a)
		product, err4 := Mul(a, c)
		whole, err5 := Div(product, c)
		if err := errors.Join(err1, err2, err3, err4, err5); err != nil {
			t.Fatal(err)
		}
		alike := func(what string, x, y Quantity, scale float64) {
			if x.Unit != y.Unit || !near(x.Value, y.Value, 1e-12*scale) || !near(x.U(), y.U(), 1e-11*scale) {
				t.Fatalf("%s: %v and %v", what, x, y)
			}
		}
		alike("a + b - b", back, a, 1e4)
		alike("a + b and b + a", sum, turned, 1)
		alike("a * c / c", whole, a, 1e4*(1+c.U()/math.Abs(c.Value)))
	})
}

// A sum by Combine is the sum by Add, to the last bit of every effect's order.
func TestCombineEqualsAdd(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := drawQuantity(t, "a", One), drawQuantity(t, "b", One), drawQuantity(t, "c", One)
		ab, err1 := Add(a, b)
		abc, err2 := Add(ab, c)
		if err := errors.Join(err1, err2); err != nil {
			t.Fatal(err)
		}
		got := Combine(abc.Value, One, []Quantity{a, b, c}, []float64{1, 1, 1})
		if d := cmp.Diff(abc.By, got.By); d != "" {
			t.Fatal(d)
		}
	})
}

func ExampleSub() {
	g := MustUnit("g")
	balance := Source{Name: "instrument:balance/offset", Shape: Rectangular}
	before := Exact(142.86, g).With(balance, Rectangular.HalfWidth(0.05)).With(Source{Name: "reading:before/step"}, 0.002)
	after := Exact(141.655, g).With(balance, Rectangular.HalfWidth(0.05)).With(Source{Name: "reading:after/step"}, 0.002)
	burnt, err := Sub(before, after)
	if err != nil {
		fmt.Println(err)
	}
	fmt.Printf("burned %s, u = %.4f g\n", burnt.Text(), burnt.U())
	// Output: burned 1.2050 ± 0.0055 g, u = 0.0028 g
}
