package plan

import (
	"slices"
	"testing"

	"example.org/meniscus/protocol"
)

// soaks has waits in a row, one of them in two portions, and a place that is held while it waits.
const soaks = `
format = 1
[protocol]
id = "soaks"
title = "Soaks"
version = "1"
purpose = "Times alone."
[resource.bath]
title = "Bath"
places = 2
[resource.rack]
title = "Rack"
places = 2
[[stage]]
id = "load"
title = "Load"
steps = ["Load"]
hands = "2 min"
[[stage]]
id = "soak"
title = "Soak"
say = "Leave it."
uses = ["bath"]
clock = { at_least = "4 min", aim = "5 min", at_most = "9 min" }
[[stage]]
id = "cool"
title = "Cool"
say = "Leave it."
portions = 2
wait_last = true
uses = ["rack"]
clock = { at_least = "10 min", aim = "10 min", at_most = "12 min" }
[[stage]]
id = "rinse"
title = "Rinse"
steps = ["Rinse"]
uses = ["bath"]
hands = "1 min"
clock = { at_least = "3 min", aim = "3 min", at_most = "6 min" }
[[stage]]
id = "pour"
title = "Pour"
steps = ["Pour"]
hands = "2 min"
[[stage]]
id = "stand"
title = "Stand"
say = "Leave it."
uses = ["rack"]
clock = { at_least = "7 min", aim = "7 min" }
`

// TestWaitsInARow: between two waits there is a step of a moment, each wait keeps its own window, and a place is held until
// the wait that uses it is over.
func TestWaitsInARow(t *testing.T) {
	p, err := protocol.Load("soaks.toml", []byte(soaks))
	if err != nil {
		t.Fatal(err)
	}
	v := derive(p, false)
	var ids []string
	for _, s := range v.Steps {
		ids = append(ids, s.ID)
	}
	if want := []string{"load", "cool.1", "cool.2", "rinse", "pour", "end"}; !slices.Equal(ids, want) {
		t.Fatalf("the steps are %v, want %v", ids, want)
	}
	if s := v.Steps[1]; s.Hands != grain || s.Operators != 1 {
		t.Errorf("to end the soak takes %v of %d pairs of hands, want a moment of one", s.Hands, s.Operators)
	}
	if want := []Wait{{0, 1, minutes(5), minutes(5), minutes(9)}, {1, 2, minutes(10), minutes(10), minutes(12)},
		{2, 3, minutes(10), minutes(10), minutes(12)}, {3, 4, minutes(3), minutes(3), minutes(6)}, {4, 5, minutes(7), minutes(7), Forever}}; !slices.Equal(v.Waits, want) {
		t.Errorf("the waits are %v, want %v", v.Waits, want)
	}
	if want := []Hold{{"bath", 0, 1}, {"bath", 3, 4}, {"rack", 1, 3}, {"rack", 4, 5}}; !slices.Equal(v.Holds, want) {
		t.Errorf("the holds are %v, want %v", v.Holds, want)
	}
}
