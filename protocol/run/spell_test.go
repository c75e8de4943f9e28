package run

import (
	"slices"
	"testing"
)

// TestSpells: when the hands were at a stage. Work that may rest counts from when they came to it from elsewhere, once they
// have touched it; the first stage, and what a clock ran before, from when it was their turn.
func TestSpells(t *testing.T) {
	toMix := []string{"1:00", "2:00", "3:00"}
	toPour := append(slices.Clip(toMix), "4:00", "5:00", "5:10", "6:00", "7:00", "7:10", "13:10", "13:20")
	toCover := append(slices.Clip(toPour), "14:00", "15:00", "16:00", "16:10", "22:10")
	toWipe := append(slices.Clip(toCover), "23:10", "24:10")
	toFile := append(slices.Clip(toWipe), "25:10", "27:10")
	for name, test := range map[string]struct {
		a, b  []string // Enter in A, and in B meanwhile
		then  []string // and in A again
		spell Spell    // A's last one but those that follow it at once
	}{
		"it rests":              {toMix, nil, nil, Spell{Stage: 1, Portion: 1, From: after(3)}},
		"begun elsewhere":       {toMix, []string{"6:00"}, []string{"9:00"}, Spell{Stage: 1, Portion: 1, From: after(6), Touched: true}},
		"worked elsewhere":      {toMix, []string{"3:30", "6:00"}, []string{"9:00"}, Spell{Stage: 1, Portion: 1, From: after(6), Touched: true}},
		"touched before":        {append(slices.Clip(toMix), "4:00"), []string{"6:00"}, []string{"9:00"}, Spell{Stage: 1, Portion: 1, From: after(3), To: after(9), Touched: true, Ended: true}},
		"stayed with":           {toMix, nil, []string{"5:00"}, Spell{Stage: 1, Portion: 1, From: after(3), Touched: true}},
		"came late from itself": {append(slices.Clip(toMix), "4:00", "5:00", "5:10"), nil, []string{"6:00"}, Spell{Stage: 1, Portion: 2, From: after(5 + 1.0/6), Touched: true}},
		"the first":             {[]string{"1:00"}, []string{"2:00", "4:00"}, []string{"5:00"}, Spell{Stage: 0, Portion: 1, From: after(1), Touched: true}},
		"behind a clock":        {toPour, []string{"14:00", "15:00"}, []string{"16:00"}, Spell{Stage: 3, Portion: 1, From: after(13 + 1.0/3), Touched: true}},
		"attended":              {append(slices.Clip(toPour), "14:00", "15:00"), nil, []string{"18:00"}, Spell{Stage: 4, Portion: 1, From: after(15), Touched: true}},
		"attended, then too":    {toCover, []string{"23:00"}, []string{"24:00"}, Spell{Stage: 5, Portion: 1, From: after(22 + 1.0/6), Touched: true}},
		"behind what was":       {toWipe, []string{"25:00"}, []string{"26:10"}, Spell{Stage: 6, Portion: 1, From: after(25), To: after(26 + 1.0/6), Touched: true, Ended: true}},
		"behind a pause":        {toFile, []string{"28:00"}, []string{"29:10"}, Spell{Stage: 7, Portion: 1, From: after(28), To: after(29 + 1.0/6), Touched: true, Ended: true}},
		"a wait is begun":       {toPour[:9], nil, nil, Spell{Stage: 2, Portion: 1, From: after(7 + 1.0/6), To: after(7 + 1.0/6), Touched: true, Ended: true}},
	} {
		h := beginBench(t)
		h.goes("A", test.a...)
		h.goes("B", test.b...)
		h.goes("A", test.then...)
		v := h.engine.State.Vessel("A")
		k := slices.IndexFunc(v.Spells, func(x Spell) bool { return x.Stage == test.spell.Stage && x.Portion == test.spell.Portion })
		if k < 0 {
			t.Errorf("%s: no such spell among %+v", name, v.Spells)
			continue
		}
		got := v.Spells[k]
		got.rests = false
		if got != test.spell {
			t.Errorf("%s: %+v, want %+v", name, got, test.spell)
		}
		if n := slices.IndexFunc(v.Spells[k+1:], func(x Spell) bool { return x.Stage == test.spell.Stage && x.Portion == test.spell.Portion }); n >= 0 {
			t.Errorf("%s: there are two of it: %+v", name, v.Spells)
		}
	}
}

// TestActed: what counts as an act of the hands is a thing done, not a remark, nor a reading that was read before.
func TestActed(t *testing.T) {
	h := beginBench(t)
	h.goes("A", "1:00", "2:00", "3:00", "4:00", "5:00", "5:10", "6:00", "7:00", "7:10") // it cools
	for _, x := range []struct {
		at   string
		do   Act
		want float64
	}{{"8:00", Note{Text: "the room is cold"}, 7 + 1.0/6}, {"9:00", Take{Typed: "dull", TypedAt: after(8), Late: true}, 7 + 1.0/6},
		{"14:00", Forward{}, 14}, {"14:10", Take{Typed: "clear"}, 14 + 1.0/6}} {
		h.do(x.at, "A", x.do)
		if got := h.engine.State.Acted; got != after(x.want) {
			t.Errorf("at %s, after %T, the hands' last act was at %v, want %v", x.at, x.do, got, after(x.want))
		}
	}
	n := 0
	for _, x := range h.engine.State.Vessel("A").Spells {
		if x.Stage == 2 {
			n++
		}
	}
	if n != 1 {
		t.Errorf("to begin the cooling was one moment, and %d are kept", n)
	}
}
