package plan

import (
	"fmt"
	"slices"
	"testing"
	"time"
)

// TestSavingsAreThoseOfPlanningAgain plans again what Why has tried, from the protocol, and wants the same: steps are shorter
// with more hands, since the reminders are shared by them, and a vessel alone has no reminders of others.
func TestSavingsAreThoseOfPlanningAgain(t *testing.T) {
	for _, id := range []string{"ester-batch", "acid-and-catalyst", "burn-test"} {
		for _, n := range []int{1, 2, 3} {
			t.Run(fmt.Sprintf("%s/%d", id, n), func(t *testing.T) {
				source := shipped(t, id)
				base := planned(t, FromProtocol(charges(n, source), Options{}))
				why := Why(base, Thorough)
				if alone := planned(t, FromProtocol(charges(1, source), Options{})); why.Alone != alone.Makespan {
					t.Errorf("a vessel alone takes %v, and planned alone %v", why.Alone, alone.Makespan)
				}
				for _, tr := range why.Trials {
					o := Options{}
					switch tr.Kind {
					case OneMorePair:
						o.Operators = tr.Now + 1
					case OneMorePlace:
						o.Places = []Place{{tr.Resource, tr.Now + 1}}
					default:
						continue
					}
					again := planned(t, FromProtocol(charges(n, source), o))
					if saves := base.Makespan - again.Makespan; saves != tr.Saves || !tr.Proven {
						t.Errorf("one more of %s saves %v (proven: %v), and planned so %v", tr.Resource, tr.Saves, tr.Proven, saves)
					}
				}
			})
		}
	}
}

func planned(t *testing.T, p *Problem) *Plan {
	t.Helper()
	plan, err := Solve(p, Thorough)
	if err != nil {
		t.Fatal(err)
	}
	return plan
}

// TestWhatBinds has a case for each thing that can bind. What the plans come to follows by hand; of the bath from the tables
// of the worked instance: two places 98 min, three 55 min.
func TestWhatBinds(t *testing.T) {
	burn := Vessel{Label: "A", Steps: []Step{{ID: "light", Hands: minutes(2), Operators: 1}, {ID: "out", Hands: minutes(2), Operators: 1}},
		Waits: []Wait{{From: 0, To: 1, AtLeast: minutes(3), Aim: minutes(3), AtMost: minutes(3)}}}
	one := Vessel{Label: "A", Steps: []Step{{ID: "weigh", Hands: minutes(20), Operators: 1}}}
	tests := []struct {
		name  string
		p     *Problem
		chain bool
		want  map[Kind]string
	}{
		{"two places for three batches", &Problem{Vessels: copies(3, batch()), Operators: 1, Places: []Place{{"bath", 2}}}, false,
			map[Kind]string{OneMorePlace: "yes 43m0s", OneMorePair: "no 0s", NoWindows: "no 0s"}},
		// 2 min of work, exactly 1 min of waiting, 2 min of work: nothing fits between, so two vessels follow each other, 10
		// min. Were the wait free to last longer: begun at 0 and 2, ended at 4 and 6, 8 min in all. With four hands, 5 min.
		{"windows that forbid an overlap", &Problem{Vessels: copies(2, waiting(burn, minutes(1))), Operators: 1}, false,
			map[Kind]string{NoWindows: "yes 2m0s", NoWindow: "yes 2m0s", OneMorePair: "yes 5m0s"}},
		// 20 min of work, away from 10 to 30: it begins at 30 and ends at 50. Without the break it takes 20.
		{"a break in the way", &Problem{Vessels: []Vessel{one}, Operators: 1, Breaks: []Interval{{minutes(10), minutes(30)}}}, false,
			map[Kind]string{NoBreak: "yes 30m0s", OneMorePair: "no 0s"}},
		{"one vessel", &Problem{Vessels: []Vessel{batch()}, Operators: 1}, true,
			map[Kind]string{OneMorePair: "no 0s", OneMorePlace: "no 0s", NoWindows: "no 0s"}},
	}
	for _, tt := range tests {
		why := Why(planned(t, tt.p), Thorough)
		if why.Chain != tt.chain {
			t.Errorf("%s: the chain binds: %v, want %v", tt.name, why.Chain, tt.chain)
		}
		got := map[Kind]string{}
		for _, tr := range why.Trials {
			got[tr.Kind] = fmt.Sprintf("%s %v", tr.Binds, tr.Saves)
			if !tr.Proven {
				t.Errorf("%s: %s is not proven", tt.name, tr.Kind)
			}
		}
		if fmt.Sprint(got) != fmt.Sprint(tt.want) {
			t.Errorf("%s: %v, want %v", tt.name, got, tt.want)
		}
	}
}

// waiting returns a vessel whose only wait lasts so long and no longer.
func waiting(v Vessel, exactly time.Duration) Vessel {
	v.Waits = []Wait{{From: 0, To: 1, AtLeast: exactly, Aim: exactly, AtMost: exactly}}
	return v
}

// TestAloneWithoutWaits plans a vessel whose steps hang together by nothing: it takes the sum of them.
func TestAloneWithoutWaits(t *testing.T) {
	p := &Problem{Vessels: []Vessel{{Label: "A", Steps: []Step{{ID: "a", Hands: minutes(2), Operators: 1}, {ID: "b", Hands: minutes(3), Operators: 1}}}}, Operators: 1}
	if why := Why(planned(t, p), Thorough); why.Alone != minutes(5) {
		t.Errorf("alone it takes %v, want 5 min", why.Alone)
	}
}

// TestEachWindowIsTriedOnce lists the waits with a latest end, for all vessels of a kind together.
func TestEachWindowIsTriedOnce(t *testing.T) {
	other := batch()
	other.Waits = slices.Clone(other.Waits[:1])
	other.Steps, other.Holds, other.Label = other.Steps[:2], nil, "X"
	p := &Problem{Vessels: append(copies(2, batch()), other), Operators: 1}
	var got []string
	for _, r := range p.unlimited() {
		got = append(got, fmt.Sprint(r.Vessels, r.From, r.To))
	}
	want := []string{"[A B]loaddose1", "[A B]dose1dose2", "[A B]dose2seed", "[A B]seedpour", "[X]loaddose1"}
	if !slices.Equal(got, want) {
		t.Errorf("tried are %q, want %q", got, want)
	}
}
