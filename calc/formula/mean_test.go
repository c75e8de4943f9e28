package formula

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.org/meniscus/calc/quantity"
)

// measured returns one reading with a step of its own and an offset that it shares with the others.
func measured(x float64, unit, name string, own, offset float64) quantity.Quantity {
	return quantity.Exact(x, quantity.MustUnit(unit)).With(quantity.Source{Name: "reading:" + name + "/step", Shape: quantity.Rectangular}, own).
		With(quantity.Source{Name: "instrument:balance/offset", Shape: quantity.Rectangular}, offset)
}

func meanOf(t *testing.T, v Value) quantity.Quantity {
	t.Helper()
	out, err := mean([]Value{v})
	if err != nil {
		t.Fatal(err)
	}
	return out.Number
}

// The larger of scatter and the readings' own uncertainty counts, once; what they share stays.
func TestMeanTakesTheLarger(t *testing.T) {
	list := func(own float64) Value {
		v := Value{Kind: List}
		for i, x := range []float64{2.349, 2.361, 2.368} {
			v.List = append(v.List, measured(x, "g", "titre."+string(rune('1'+i)), own, 0.004))
		}
		return v
	}
	const byHand = "by hand: s = 0.009609, s/√3 = 0.005548"
	scattered := meanOf(t, list(0.003))
	if u := scattered.From(quantity.Repeats); math.Abs(u-0.005548) > 5e-7 {
		t.Errorf("repeats give %.6f, want 0.005548 (%s)", u, byHand)
	}
	if u, want := scattered.U(), math.Hypot(0.005548, 0.004); math.Abs(u-want) > 5e-7 {
		t.Errorf("u = %.6f, want %.6f (%s, and the offset)", u, want, byHand)
	}
	if u, want := scattered.InstrumentsAlone().U(), math.Hypot(0.003/math.Sqrt(3), 0.004); math.Abs(u-want) > 1e-12 {
		t.Errorf("instruments alone %.6f, want %.6f (by hand)", u, want)
	}
	if !scattered.Repeated() || scattered.From("reading:") != 0 || !strings.HasPrefix(scattered.By[1].Source.Name, "repeats:titre.1-3/") || scattered.By[1].Source.DoF != 2 {
		t.Errorf("sources %v: want the offset and repeats:titre.1-3/… with 2 degrees of freedom", scattered.By)
	}
	coarse := meanOf(t, list(0.02)) // the step explains the scatter
	if u, want := coarse.U(), math.Hypot(0.02/math.Sqrt(3), 0.004); math.Abs(u-want) > 1e-12 {
		t.Errorf("u = %.6f, want %.6f (by hand: s is less than the own 0.02)", u, want)
	}
	if nu, want := coarse.DoF(), 2*math.Pow((0.02*0.02+3*0.004*0.004)/(0.009609*0.009609), 2); math.Abs(nu/want-1) > 1e-3 {
		t.Errorf("%g degrees of freedom, want %g (by hand: JCGM 100:2008, G.4.1, with the part of s alone estimated)", nu, want)
	}
	d, err := quantity.Sub(scattered, meanOf(t, list(0.003)))
	if err != nil || d.U() > 1e-15 || d.InstrumentsAlone().U() > 1e-15 {
		t.Errorf("a mean less itself has u = %g, %v", d.U(), err)
	}
}

// A mean of readings whose scatter passes what they are uncertain by alone widens as the scatter grows, and nowhere jumps:
// the third reading goes up from where all are alike.
func TestMeanDoesNotJump(t *testing.T) {
	expanded := func(third float64) float64 {
		v := Value{Kind: List}
		for i, x := range []float64{183.0, 183.2, third} {
			v.List = append(v.List, measured(x, "g", "titre."+string(rune('1'+i)), 0.18, 0))
		}
		e, _ := meanOf(t, v).Expanded()
		return e
	}
	last := expanded(183.1)
	for x := 183.101; x < 184; x += 0.001 {
		e := expanded(x)
		if e < last-1e-12 || e > 1.02*last {
			t.Fatalf("at %.3f g the expanded uncertainty goes from %.4f to %.4f", x, last, e)
		}
		last = e
	}
	if last < 1.3 { // by hand: s = 0.529, t(2) = 4.303, s·t/√3 = 1.31
		t.Errorf("in the end %.3f, want that of the scatter alone (by hand)", last)
	}
}

// What the mean claims holds over the whole way from readings that their steps explain to readings that scatter far more.
// The errors of a step are rectangular, the others normal, drawn with a fixed seed; the limits are our aim, no source.
func TestMeanHoldsWhatItClaims(t *testing.T) {
	const trials, own = 4000, 1.0
	draw := rand.New(rand.NewPCG(183, 3))
	for _, n := range []int{3, 5, 10} {
		for _, more := range []float64{0, 0.3, 0.6, 1, 1.5, 2, 4, 20} {
			held := 0
			for range trials {
				v := Value{Kind: List}
				for i := range n {
					x := (2*draw.Float64()-1)*own*math.Sqrt(3) + more*draw.NormFloat64()
					v.List = append(v.List, measured(x, "g", "x."+string(rune('a'+i)), own, 0))
				}
				q := meanOf(t, v)
				if e, _ := q.Expanded(); math.Abs(q.Value) <= e {
					held++
				}
			}
			if share := float64(held) / trials; share < 0.94 || share > 0.98 {
				t.Errorf("%d readings that scatter by %g besides their own: %.3f of the intervals hold the value", n, more, share)
			}
		}
	}
}

// Values that are alike by chance have a scatter and a range that are as uncertain as the values.
func TestAlikeByChance(t *testing.T) {
	b := newBench()
	v := Value{Kind: List}
	for i := range 3 {
		v.List = append(v.List, measured(183, "g", "titre."+string(rune('1'+i)), 0.18, 0.5))
	}
	b.types["x"], b.values["x"] = Type{Kind: List, Unit: quantity.MustUnit("g")}, v
	for _, tt := range []struct {
		text   string
		want   float64
		source string
	}{
		{"max(x) - min(x)", 0.18 * math.Sqrt2, "by hand: the difference of two readings, without the offset that they share"},
		{"sd(x)", 0.18 / 2, "JCGM 100:2008, E.4.3, with two degrees of freedom"},
		{"mean(x)", math.Hypot(0.18/math.Sqrt(3), 0.5), "by hand"},
	} {
		got, _, err := calculate(tt.text, b, b)
		if err != nil || math.Abs(got.Number.U()-tt.want) > 1e-12 {
			t.Errorf("%s: %v with u = %g, %v, want %g (%s)", tt.text, got.Number.Value, got.Number.U(), err, tt.want, tt.source)
		}
	}
}

// Vessels are replicates; readings in one vessel are not.
func TestReplicatesAreNamed(t *testing.T) {
	v := Value{Kind: List, Across: "energy", List: []quantity.Quantity{measured(13, "kJ/g", "a", 0.1, 0), measured(14, "kJ/g", "b", 0.1, 0), measured(15, "kJ/g", "c", 0.1, 0)}}
	q := meanOf(t, v)
	if u := q.From(quantity.Replicates); math.Abs(u-1/math.Sqrt(3)) > 1e-12 || !strings.HasPrefix(q.By[0].Source.Name, "replicates:energy/") {
		t.Errorf("replicates give %g by %v, want 1/√3 by replicates:energy/… (by hand)", u, q.By)
	}
	kept, err := v.each("", quantity.Neg)
	if err != nil || kept.Across != "energy" {
		t.Errorf("a list over vessels is one of %q after arithmetic, %v", kept.Across, err)
	}
	if one := meanOf(t, Value{Kind: List, List: v.List[:1]}); one.Repeated() {
		t.Error("one value has no scatter")
	}
}

// R = V cos φ/I, X = V sin φ/I and Z = V/I set by set: the scatter of the results holds the correlation of the readings.
func TestResistanceAndReactance(t *testing.T) {
	const source = "JCGM 100:2008, H.2, approach 2: R 127.732 u 0.071, X 219.847 u 0.295, Z 254.260 u 0.236"
	volts, amperes, phi := []float64{5.007, 4.994, 5.005, 4.990, 4.999}, []float64{19.663, 19.639, 19.640, 19.685, 19.678}, []float64{1.0456, 1.0438, 1.0468, 1.0428, 1.0433}
	for _, tt := range []struct {
		name          string
		f             func(v, i, phi float64) float64
		want, u, last float64
	}{
		{"R", func(v, i, phi float64) float64 { return v * math.Cos(phi) / i }, 127.732, 0.071, 0.0005},
		{"X", func(v, i, phi float64) float64 { return v * math.Sin(phi) / i }, 219.847, 0.295, 0.001}, // 0.29558, printed 0.295
		{"Z", func(v, i, phi float64) float64 { return v / i }, 254.260, 0.236, 0.0005},
	} {
		list := Value{Kind: List}
		for k := range volts {
			list.List = append(list.List, quantity.Exact(tt.f(volts[k], amperes[k]/1000, phi[k]), quantity.MustUnit("Ohm")))
		}
		q := meanOf(t, list)
		if math.Abs(q.Value-tt.want) > 0.0005 || math.Abs(q.U()-tt.u) > tt.last || q.DoF() != 4 {
			t.Errorf("%s = %.4f, u = %.5f, nu = %g (%s)", tt.name, q.Value, q.U(), q.DoF(), source)
		}
	}
	for _, tt := range []struct {
		x          []float64
		mean, u, d float64
	}{{volts, 4.9990, 0.0032, 0.00005}, {amperes, 19.6610, 0.0095, 0.00005}, {phi, 1.04446, 0.00075, 0.000005}} {
		list := Value{Kind: List}
		for _, x := range tt.x {
			list.List = append(list.List, quantity.Ratio(x))
		}
		if q := meanOf(t, list); math.Abs(q.Value-tt.mean) > tt.d || math.Abs(q.U()-tt.u) > tt.d {
			t.Errorf("mean %.6f, u = %.6f, want %g and %g (JCGM 100:2008, Table H.2)", q.Value, q.U(), tt.mean, tt.u)
		}
	}
}

// Lists that no mean can be taken of are refused or give finite numbers.
func TestMeanOfBadData(t *testing.T) {
	for _, text := range []string{"mean(x)", "sd(x)", "sum(x)"} {
		for _, x := range [][]float64{{}, {1}, {5, 5, 5}, {1e300, -1e300}, {1e308, 1e308}, {math.NaN(), 1}, {math.Inf(1), 1}} {
			b := newBench()
			v := Value{Kind: List}
			for i, y := range x {
				v.List = append(v.List, measured(y, "g", "x."+string(rune('1'+i)), 0.01, 0.02))
			}
			b.types["x"], b.values["x"] = Type{Kind: List, Unit: quantity.MustUnit("g")}, v
			f, _, err := checked(text, b) // and not on a sheet, where no uncertainty can run out of range
			if err != nil {
				t.Fatal(err)
			}
			got, err := f.Eval(b)
			if _, refused := err.(*quantity.RangeError); err != nil && !refused {
				t.Errorf("%s of %v: %v is a %T", text, x, err, err)
			}
			if err == nil && bounded(got, "") != nil {
				t.Errorf("%s of %v = %v", text, x, got.Number)
			}
		}
	}
}
