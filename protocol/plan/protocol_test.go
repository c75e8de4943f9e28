package plan

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocols"
)

func shipped(t testing.TB, id string) *protocol.Protocol {
	t.Helper()
	text, ok := protocols.Text(id)
	if !ok {
		t.Fatalf("no protocol %s ships", id)
	}
	p, err := protocol.Load(id+".toml", text)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func charges(n int, p *protocol.Protocol) []Charge {
	out := make([]Charge, n)
	for i := range out {
		out[i] = Charge{string(rune('A' + i)), p}
	}
	return out
}

// TestShippedProtocols plans what ships, up to six vessels, with the places that the protocols declare and with one place
// in the bath: each time with a proof, of the makespan at least. The case of one vessel has a value from outside: the protocol's own planned time.
func TestShippedProtocols(t *testing.T) {
	for _, id := range protocols.IDs() {
		for n := 1; n <= 6 && n*fraction <= 40; n++ {
			t.Run(fmt.Sprintf("%s/%d", id, n), func(t *testing.T) { shippedPlan(t, id, n, nil) })
			t.Run(fmt.Sprintf("%s/%d narrow", id, n), func(t *testing.T) { shippedPlan(t, id, n, []Place{{"bath", 1}}) })
		}
	}
	if got := FromProtocol(charges(1, shipped(t, "ester-batch")), Options{}).PlacesOf("bath"); got != 4 {
		t.Errorf("%d places in the bath, the protocol declares 4", got)
	}
}

func shippedPlan(t *testing.T, id string, n int, places []Place) {
	t.Helper()
	source := shipped(t, id)
	p := FromProtocol(charges(n, source), Options{Places: places})
	plan, err := Solve(p, Thorough)
	if err != nil {
		t.Fatal(err)
	}
	for _, fault := range faults(p, plan) {
		t.Error(fault)
	}
	overWait := plan.Proven || id == "ester-batch" && n == 6 && places == nil // six batches: only the makespan is proven
	if !plan.Feasible() || plan.Bound != plan.Makespan || !overWait {
		t.Errorf("makespan %v, bound %v, excess %v, proven %v", plan.Makespan, plan.Bound, plan.Excess, plan.Proven)
	}
	if planned := source.Planned(); n == 1 && (plan.Makespan < planned || plan.Makespan > planned+grain*time.Duration(len(p.Vessels[0].Steps))) {
		t.Errorf("one vessel takes %v, the protocol plans %v", plan.Makespan, planned)
	}
}

// TestDerived reads a protocol whose parts are easily counted.
func TestDerived(t *testing.T) {
	v := derive(shipped(t, "ester-batch"), false)
	at := func(id string) int { return slices.IndexFunc(v.Steps, func(s Step) bool { return s.ID == id }) }
	if want := []Hold{{"bath", at("charge"), at("transfer")}}; !slices.Equal(v.Holds, want) {
		t.Errorf("holds are %v, want the bath from charge to transfer: %v", v.Holds, want)
	}
	waits := []struct {
		from, to             string
		atLeast, aim, atMost time.Duration
		why                  string
	}{
		{"charge", "prewarm", 0, Forever, Forever, "no clock between them"},
		{"prewarm", "catalyst.1", minutes(12), minutes(12), minutes(25), "the clock of prewarm"},
		{"catalyst.1", "catalyst.2", minutes(4), minutes(4), minutes(6), "the clock between portions"},
		{"catalyst.3", "seed", minutes(45), minutes(45), minutes(60), "the reaction hold has no hands of its own"},
		{"seed", "transfer", minutes(10), minutes(10), minutes(15), "coalesce has none either"},
		{"settle", "draw-off", minutes(25), Forever, Forever, "it may stand overnight"},
	}
	for _, want := range waits {
		w := Wait{at(want.from), at(want.to), want.atLeast, want.aim, want.atMost}
		if !slices.Contains(v.Waits, w) {
			t.Errorf("there is no wait %v from %s to %s (%s) among %v", w, want.from, want.to, want.why, v.Waits)
		}
	}
	if brisk := derive(shipped(t, "ester-batch"), true); brisk.Waits[at("seed")-1].AtLeast != minutes(40) {
		t.Errorf("brisk, the hold lasts %v, want its at_least of 40 min", brisk.Waits[at("seed")-1].AtLeast)
	}
}

// TestAttended keeps the hands at a burn for its whole time, and lets nothing come between its parts.
func TestAttended(t *testing.T) {
	v := derive(shipped(t, "burn-test"), false)
	burn := slices.IndexFunc(v.Steps, func(s Step) bool { return s.ID == "burn" })
	if got, want := v.Steps[burn].Hands, 30*time.Second+minutes(6); got != want {
		t.Errorf("the burn takes the hands for %v, want %v: 30 s to light it and 6 min of burning", got, want)
	}
	if w := v.Waits[burn]; w.From != burn || w.AtMost != 0 {
		t.Errorf("from the burn to putting it out: %v, want no time at all", w)
	}
	for _, h := range v.Holds {
		if h.Resource == "balance" {
			t.Error("the balance is held through waits; it is a tool")
		}
	}
}

// TestHeldAsDeclared takes a resource for whole stages, with their waits, unless the protocol says with_hands: the same as
// the run says who has it.
func TestHeldAsDeclared(t *testing.T) {
	const stages = `
[protocol]
id = "bake"
title = "Bake"
version = "1"
purpose = "a resource and a wait"
[[stage]]
id = "load"
title = "Load"
steps = ["Put it in"]
hands = "2 min"
clock = { aim = "20 min", at_most = "30 min" }
uses = ["oven"]
[[stage]]
id = "rest"
title = "Rest"
steps = ["Leave it"]
clock = { aim = "5 min" }
uses = ["scale"]
[[stage]]
id = "out"
title = "Out"
steps = ["Take it out"]
hands = "1 min"
`
	tests := []struct {
		declared string
		holds    []Hold // the steps are load, the Enter that begins the rest, out
		makespan time.Duration
		why      string
	}{
		{"[resource.oven]\n[resource.scale]\nwith_hands = true", []Hold{{"oven", 0, 1}}, minutes(2+20+2+20+5+1) + 2*grain, "one oven, one after the other"},
		{"[resource.oven]\nplaces = 2\n[resource.scale]\nwith_hands = true", []Hold{{"oven", 0, 1}}, minutes(2+2+20+5+1) + grain, "two fit"},
		{"[resource.oven]\nwith_hands = true\n[resource.scale]\nwith_hands = true", nil, minutes(2+2+20+5+1) + grain, "the oven is free with the hands"},
		{"[resource.oven]\nwith_hands = true\n[resource.scale]", []Hold{{"scale", 1, 2}}, 0, "the wait has the scale"},
	}
	for _, tt := range tests {
		source, err := protocol.Load("bake.toml", []byte("format = 1\n"+tt.declared+stages))
		if err != nil {
			t.Fatal(err)
		}
		p := FromProtocol(charges(2, source), Options{})
		if got := p.Vessels[0].Holds; !slices.Equal(got, tt.holds) {
			t.Errorf("%s: holds are %v, want %v", tt.why, got, tt.holds)
		}
		plan, err := Solve(p, Thorough)
		if err != nil {
			t.Fatal(err)
		}
		if tt.makespan > 0 && plan.Makespan != tt.makespan {
			t.Errorf("%s: two vessels take %v, want %v", tt.why, plan.Makespan, tt.makespan)
		}
	}
}

func TestBackgroundLoad(t *testing.T) {
	p := shipped(t, "ester-batch")
	one, four := FromProtocol(charges(1, p), Options{}), FromProtocol(charges(4, p), Options{})
	if one.Vessels[0].Steps[0].Hands != p.Stages[0].Hands.Aim {
		t.Errorf("alone, the first step takes %v, want its aim of %v", one.Vessels[0].Steps[0].Hands, p.Stages[0].Hands.Aim)
	}
	if a, b := one.Vessels[0].Steps[0].Hands, four.Vessels[0].Steps[0].Hands; b <= a || b > a*3/2 {
		t.Errorf("with three others to be swirled the first step takes %v, alone %v; want more, and less than half as much again", b, a)
	}
}
