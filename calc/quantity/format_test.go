package quantity

import (
	"math"
	"testing"
)

// expandedBy returns x in the unit of code with the given expanded uncertainty.
func expandedBy(t *testing.T, x float64, code string, expanded float64) Quantity {
	return Exact(x, unit(t, code)).With(normal("a"), expanded/CoverageFactor(Known()))
}

// The uncertainty has two significant digits and the value its decimals (JCGM 100:2008, 7.2.6).
func TestText(t *testing.T) {
	tests := []struct {
		q    Quantity
		want string
	}{
		{expandedBy(t, 14.0912, "kJ/g", 0.2449), "14.09 ± 0.24 kJ/g"},
		{expandedBy(t, 0.01169, "1/min", 0.000996), "0.0117 ± 0.0010 1/min"}, // rounds up to the next decade
		{expandedBy(t, 878.3, "kg/m3", 12.3), "878 ± 12 kg/m³"},
		{expandedBy(t, 12345, "J", 1234), "12300 ± 1200 J"},
		{expandedBy(t, 60.04, "Cel", 0.5), "60.04 ± 0.50 °C"},
		{expandedBy(t, -0.0001, "g", 0.05), "0.000 ± 0.050 g"}, // no minus before a zero
		{expandedBy(t, 0.924, "1", 0.011), "0.924 ± 0.011"},
		{expandedBy(t, 92.4, "%", 1.1), "92.4 ± 1.1 %"},
		{expandedBy(t, 5, "g", 1e-17), "5 g"}, // dust of the arithmetic is no uncertainty
		{Exact(52.67, unit(t, "g")), "52.67 g"},
		{Exact(1.0/3, unit(t, "mL")), "0.333333 mL"},
		{Exact(1234567, unit(t, "J")), "1234570 J"},
		{Exact(0, unit(t, "g")), "0 g"},
		{Ratio(7.95), "7.95"},
	}
	for _, tt := range tests {
		if got := tt.q.Text(); got != tt.want {
			t.Errorf("Text() = %q, want %q", got, tt.want)
		}
	}
	negative := Exact(-1, One)
	negative.Value *= 0
	if got := negative.Text(); got != "0" {
		t.Errorf("minus zero is shown as %q", got)
	}
}

func TestDigits(t *testing.T) {
	if v, u := expandedBy(t, 20.6512, "K", 0.1234).Digits(); v != "20.65" || u != "0.12" {
		t.Errorf("Digits() = %s, %s", v, u)
	}
	if got := Plain(1e12, 6) + " " + Plain(2.5e-9, 6); got != "1e+12 2.5e-09" {
		t.Errorf("Plain: %s", got)
	}
}

// An uncertainty has two significant digits (JCGM 100:2008, 7.2.6), also when the second is a zero.
func TestTwoDigits(t *testing.T) {
	tests := []struct {
		u    float64
		want string
	}{
		{0.1, "0.10"}, {0.0996, "0.10"}, {0.35, "0.35"}, {2, "2.0"}, {30, "30"}, {1234, "1200"}, {0.0000461, "0.000046"},
		{0, "0"}, {math.Inf(1), "+Inf"},
	}
	for _, tt := range tests {
		if got := TwoDigits(tt.u); got != tt.want {
			t.Errorf("TwoDigits(%g) = %q, want %q", tt.u, got, tt.want)
		}
	}
}
