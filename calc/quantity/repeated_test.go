package quantity

import "testing"

func TestSeriesOf(t *testing.T) {
	read := func(names ...string) Quantity {
		q := Exact(1, One)
		for _, n := range names {
			q = q.With(normal(n), 0.1)
		}
		return q
	}
	tests := []struct {
		readings []Quantity
		want     string
	}{
		{[]Quantity{read("reading:layer.2@A/step"), read("reading:layer.3@A/step")}, "layer.2-3@A"},
		{[]Quantity{read("reading:layer.1/step", "reading:layer/graduation/3"), read("reading:layer.2/step", "reading:layer/graduation/3")}, "layer.1-2"},
		{[]Quantity{read("reading:layer.1@B/step", "reading:layer@B/graduation/3", "instrument:glass/graduation")}, "layer.1-1@B"},
		{[]Quantity{read("reading:layer.1/step", "reading:blank/step")}, ""}, // made of two readings
		{[]Quantity{read("reading:layer.1/step"), read("reading:other.2/step")}, ""},
		{[]Quantity{read("reading:layer/graduation/3")}, ""}, // a reading that stands alone
		{[]Quantity{Exact(1, One)}, ""},
		{nil, ""},
	}
	for _, tt := range tests {
		if got := SeriesOf(tt.readings); got != tt.want {
			t.Errorf("SeriesOf(%+v) = %q, want %q", tt.readings, got, tt.want)
		}
	}
}
