package quantity

import (
	"errors"
	"fmt"
	"testing"
)

// TestAFloodOfUnits: units that nobody needs are not kept for ever; those that are known stay usable.
func TestAFloodOfUnits(t *testing.T) {
	before := interned.most
	t.Cleanup(func() { interned.most = before })
	gram := MustUnit("g")
	interned.most = interned.n.Load() + 50
	var refused *UnitError
	for i := range 10_000 {
		if _, err := ParseUnit(fmt.Sprintf("m%d.s%d.g%d", i%17+1, i/17%13+1, i/221%19+1)); err != nil && !errors.As(err, &refused) {
			t.Fatal(err)
		}
		if _, err := ParseUnit(fmt.Sprintf("g{%d}", i)); err != nil && !errors.As(err, &refused) {
			t.Fatal(err)
		}
	}
	if refused == nil {
		t.Error("ten thousand units are kept")
	}
	if n := interned.n.Load(); n > interned.most {
		t.Errorf("%d units are kept, want at most %d", n, interned.most)
	}
	if u, err := ParseUnit("g"); err != nil || u != gram {
		t.Errorf("g is %v (%v) after the flood", u, err)
	}
}
