package reference

import (
	"math"
	"testing"

	"example.org/meniscus/calc/quantity"
)

// Two acids of one doubt each, worked by hand: w = p/(p+q), x = (w/M)/(w/M + (1-w)/N) and D = 2 - x, with the law of
// propagation (JCGM 100:2008, 5.1.2).
func TestWithin(t *testing.T) {
	const p, q, m, n = 60.0, 40.0, 282.468, 280.452 // g/mol of C18H34O2 and C18H32O2, IUPAC 2021 abridged masses
	oil, err := NewProfile("two", map[string]float64{"18:1": p, "18:2": q})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "u of the bonds of an exact oil", oil.DoubleBonds().U(), 0, 0, "nothing is declared")
	w, u := p/100, 1/math.Sqrt(3)
	uw := u * math.Hypot(p, q) / (100 * 100)
	moles := w/m + (1-w)/n
	got := oil.Within(1).DoubleBonds()
	near(t, "u of the double bonds", got.U(), uw/(m*n*moles*moles), 1e-6, "by hand")
	near(t, "u of the mean mass", less(oil.Within(1).FattyAcid(), oil.FattyAcid()), uw*math.Abs(1/m-1/n)/(moles*moles), 1e-5, "by hand: M = 1/moles")
	for i, name := range []string{"profile:two/18:1", "profile:two/18:2"} {
		if s := got.By[i].Source; s.Name != name || s.Shape != quantity.Rectangular {
			t.Errorf("source %d is %+v, want %s, rectangular", i, s, name)
		}
	}
	rare, _ := NewProfile("rare", map[string]float64{"18:1": 99.5, "18:2": 0.5})
	if f := rare.Within(2).Fractions[1]; math.Abs(f.U-0.5/math.Sqrt(3)) > 1e-12 {
		t.Errorf("u of an acid of 0.5 %% is %g %%: it cannot be less than none", f.U)
	}
	pure, _ := NewProfile("pure", map[string]float64{"18:1": 100})
	near(t, "u of a pure acid's bonds", pure.Within(3).DoubleBonds().U(), 0, 1e-12, "there is nothing else that it could be")
	if oil.Fractions[0].U != 0 {
		t.Error("Within changes the profile that it was asked of")
	}
}

// less returns the standard uncertainty that a has more than b, sources being independent.
func less(a, b quantity.Quantity) float64 { return math.Sqrt(a.U()*a.U() - b.U()*b.U()) }

// The Codex standards give a range for each acid and one for the iodine value. An oil that may lie anywhere in the one
// should be about as uncertain as one that may lie anywhere in the other.
func TestOilsAreAsUncertainAsTheirStandards(t *testing.T) {
	for _, id := range OilIDs() {
		p, _ := FindOil(id)
		iodine, err := quantity.Div(known("I2"), p.Triglyceride())
		if err == nil {
			iodine, err = quantity.Mul(iodine, p.DoubleBonds())
		}
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range OilRanges(id) {
			if r.Property != "iodine_value" {
				continue
			}
			ratio := 300 * iodine.U() / ((r.High - r.Low) / math.Sqrt(12))
			if ratio < 0.6 || ratio > 1.4 {
				t.Errorf("%s: u of the iodine value is %.2f of that of its range %g to %g (%s)", id, ratio, r.Low, r.High, r.Provenance)
			}
		}
	}
}

// An oil that is known by its name only has no acid that is taken as exact, unless its standard leaves it no room.
func TestEveryAcidOfAnOilHasARange(t *testing.T) {
	for _, id := range OilIDs() {
		p, _ := FindOil(id)
		for _, f := range p.Fractions {
			if f.U == 0 {
				t.Errorf("%s: %s = %.1f %% has no range", id, f.Acid, f.Percent)
			}
		}
	}
}
