package run

import (
	"testing"

	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol"
)

// TestFinerThanTheInstrument: a figure that the instrument does not show is asked about once.
func TestFinerThanTheInstrument(t *testing.T) {
	h := heated(t, "30.0")
	h.asks("2:30", "A", Take{Typed: "31.75"}, "Water: 31.75 °C is finer than Thermometer is read, in steps of 0.1 K. Keep it?")
	h.typed("3:00", "A", "32.25")
	if dev := h.engine.State.Deviations; len(dev) != 1 || dev[0].Planned != "in steps of 0.1 K" {
		t.Errorf("recorded: %+v", dev)
	}
	h.confirmed("3:10", "A", TakeBack{Why: "by the wall"})
	h.do("3:20", "A", Correct{Typed: "31.7"})
	h.asks("3:30", "A", Take{Typed: "32.75"}, "finer than Thermometer")
	h = heated(t)
	h.asks("0:10", "A", Take{Typed: "126.415"}, "finer than balance is read, in steps of 0.01 g")
	h.typed("0:20", "A", "226.40")
	h.typed("0:30", "A", "11.0")
	h.do("1:30", "A", Forward{})
	h.typed("1:40", "A", "8.5")
	h.asks("2:00", "A", Take{Typed: "30.05"}, "finer than Thermometer") // another instrument
	h = heated(t, "30.0")
	h.typed("2:30", "A", "88.15 [degF]") // 31.19 °C: another thermometer's figures
}

// TestIsFiner: by whole steps of the instrument, however many they are.
func TestIsFiner(t *testing.T) {
	const gram, celsius = "g", "Cel"
	for _, tt := range []struct {
		typed, unit, of string
		step            float64
		want            bool
	}{
		{"16.7", celsius, celsius, 0.1, false},
		{"0.3", celsius, celsius, 0.1, false},
		{"-16.7", celsius, celsius, 0.1, false},
		{"-16.75", celsius, celsius, 0.1, true},
		{"0", celsius, celsius, 0.1, false},
		{"7.5", gram, gram, 0.5, false},
		{"7.2", gram, gram, 0.5, true},
		{"112.3634", gram, gram, 0.0001, false},
		{"112.36345", gram, gram, 0.0001, true},
		{"112.36345 g", gram, gram, 0.0001, true},
		{"112,36345", gram, gram, 0.0001, true},
		{"0.0015 kg", gram, gram, 0.01, false},
		{"1.125 mg", gram, gram, 0.001, false}, // another balance
		{"0.0112364", "kg", gram, 0.01, true},
		{"0.01123", "kg", gram, 0.01, false},
		{"878.55 kg/m3", "g/mL", "g/mL", 0.001, false}, // another hydrometer
		{"31.2", celsius, "[degF]", 0.1, false},        // turned into °C by hand
		{"7.2", gram, gram, 0, false},                  // no step declared
	} {
		r := &protocol.Reading{Kind: protocol.Number, Unit: quantity.MustUnit(tt.unit),
			Instrument: &protocol.Instrument{Unit: quantity.MustUnit(tt.of), Step: tt.step}}
		p, err := parse(r, tt.typed)
		if err != nil {
			t.Fatal(err)
		}
		if got := (claim{parsed: p, r: r, typed: tt.typed}).isFiner(); got != tt.want {
			t.Errorf("%s in %s, in steps of %g %s: finer %t, want %t", tt.typed, tt.unit, tt.step, tt.of, got, tt.want)
		}
	}
}
