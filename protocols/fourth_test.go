package protocols_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"example.org/meniscus/protocol/summary"
)

// The three and a fourth: the mean of all is as uncertain as their scatter says, s/√n with n - 1 degrees of freedom
// (JCGM 100:2008, 4.2.3 and 4.2.1), the values worked by hand from (titre - blank)·c·56.105/sample.
func TestAFourthTitrationCounts(t *testing.T) {
	var readings [][]string
	for _, r := range demoRows(t, "acid-and-catalyst") {
		row := slices.Clone(r)
		switch {
		case row[1] == "fourth_due":
			row[2] = "due"
		case row[1] == "titre" && row[2] == "2.22":
			row[2] = "2.62"
		}
		readings = append(readings, row)
	}
	s := workedUp(t, "acid-and-catalyst", append(readings, []string{"A", "fourth_sample", "5.00", "", ""}, []string{"A", "fourth_titre", "2.40", "", ""}))
	titrant := 0.2043 / 204.221 / 10.14e-3
	var values []float64
	for _, x := range []struct{ titre, sample float64 }{{2.19, 5.02}, {2.18, 4.97}, {2.62, 5.05}, {2.40, 5.00}} {
		values = append(values, (x.titre-0.06)*titrant*56.105/x.sample)
	}
	var mean, squares float64
	for _, x := range values {
		mean += x / 4
	}
	for _, x := range values {
		squares += (x - mean) * (x - mean)
	}
	rows := s.Vessels[0].Results
	got := rows[slices.IndexFunc(rows, func(r summary.Result) bool { return r.ID == "acid_value" })]
	if math.Abs(*got.Value-mean) > 5e-4 {
		t.Errorf("mean %g, want %g", *got.Value, mean)
	}
	if u := math.Sqrt(squares / 3 / 4); math.Abs(got.Quantity.From("repeats:")-u) > 1e-3*u {
		t.Errorf("the scatter gives u = %g, want s/√4 = %g", got.Quantity.From("repeats:"), u)
	}
	for _, e := range got.Quantity.By {
		if strings.HasPrefix(e.Source.Name, "repeats:") && e.Source.DoF != 3 {
			t.Errorf("%s has %g degrees of freedom, want 3", e.Source.Name, e.Source.DoF)
		}
	}
}

// Three acid values agree within 0.1 mg/g or within 5 % of their mean, whichever is more (common practice, no source).
func TestAgreementOfThree(t *testing.T) {
	tests := []struct {
		third   string  // titre in mL; the others give 2.349 and 2.361 mg/g
		verdict string  // of the range
		limit   float64 // mg/g
	}{
		{"2.22", "inside", 0.05 * 2.3594},
		{"2.285", "undecided", 0.05 * 2.3832}, // 0.112 mg/g apart: more than 0.1, less than 5 %, by less than its uncertainty
		{"2.40", "outside", 0.05 * 2.4252},
	}
	for _, tt := range tests {
		s := reworked(t, "acid-and-catalyst", changes{"titre#3": tt.third})
		for _, c := range s.Vessels[0].Checks {
			if c.Result != "acid_value_range" {
				continue
			}
			if c.Verdict != tt.verdict || math.Abs(*c.High-tt.limit) > 2e-4 {
				t.Errorf("third titre %s mL: %s, at most %g; want %s, %g", tt.third, c.Verdict, *c.High, tt.verdict, tt.limit)
			}
			if !strings.HasPrefix(c.Say, "0.1 mg/g, or 5 % of their mean") {
				t.Errorf("the check says %q", c.Say)
			}
		}
	}
}
