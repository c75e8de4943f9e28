package timetable_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocols"
)

// BenchmarkPlan makes the timetable anew, once for each act of days with late hands. It reports the longest time that one
// took, and the longest of nineteen in twenty.
func BenchmarkPlan(b *testing.B) {
	for _, id := range protocols.IDs() {
		for _, vessels := range []int{2, 4, 6} {
			b.Run(fmt.Sprintf("%s/%d", id, vessels), func(b *testing.B) {
				var took []time.Duration
				for b.Loop() {
					for seed := range uint64(4) {
						took = append(took, planDay(b, bare(b, id), vessels, late(seed))...)
					}
				}
				slices.Sort(took)
				b.ReportMetric(took[len(took)-1].Seconds()*1000, "longest-ms")
				b.ReportMetric(took[len(took)*19/20].Seconds()*1000, "p95-ms")
				b.ReportMetric(float64(len(took))/float64(b.N), "plans/op")
			})
		}
	}
}

// planDay lives through a day, and returns how long each timetable after the first one took.
func planDay(b *testing.B, text string, vessels int, hands func(time.Duration) time.Duration) []time.Duration {
	var took []time.Duration
	d := newBench(b, text, vessels, &run.Bench{})
	for d.state().Ended == nil {
		if task := d.keeper.Ask(d.state(), d.clock.now, d.inHand); task != nil {
			begin := time.Now()
			found := task.Plan()
			if d.state().Timetable() != nil {
				took = append(took, time.Since(begin))
			}
			if found.Err != nil {
				b.Fatal(found.Err)
			}
			if found.News {
				if err := d.engine.KeepTimetable(found.Planned); err != nil {
					b.Fatal(err)
				}
				d.keeper.Kept(d.state())
			}
		}
		d.next(hands)
	}
	return took
}

// bare is a protocol with its times and places alone, without pauses, reminders and gates, so that a day needs no other key
// than Enter.
func bare(t testing.TB, id string) string {
	t.Helper()
	text, _ := protocols.Text(id)
	p, err := protocol.Load(id+".toml", text)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	b.WriteString("format = 1\n[protocol]\nid = \"batch\"\ntitle = \"Batch\"\nversion = \"1\"\npurpose = \"Times alone.\"\n")
	for _, r := range p.Resources {
		fmt.Fprintf(&b, "[resource.%s]\ntitle = %q\nplaces = %d\nwith_hands = %t\n", r.ID, r.Title, r.Places, r.WithHands)
	}
	for _, st := range p.Stages {
		fmt.Fprintf(&b, "[[stage]]\nid = %q\ntitle = %q\nsay = %q\nportions = %d\nattended = %t\n", st.ID, st.Title, st.Title, st.Portions, st.Attended)
		if len(st.Uses) > 0 {
			fmt.Fprintf(&b, "uses = [ '%s' ]\n", strings.Join(st.Uses, "', '"))
		}
		if st.HasHands() {
			b.WriteString("steps = [ 'Do it' ]\n")
		}
		if !st.Hands.IsZero() {
			fmt.Fprintf(&b, "hands = %s\n", window(st.Hands))
		}
		if st.Clock != nil {
			fmt.Fprintf(&b, "wait_last = %t\nclock = %s\n", st.WaitLast, window(*st.Clock))
		}
	}
	return b.String()
}

func window(w protocol.Window) string {
	var parts []string
	for _, x := range []struct {
		key string
		d   time.Duration
	}{{"at_least", w.AtLeast}, {"aim", w.Aim}, {"at_most", w.AtMost}} {
		if x.d > 0 {
			parts = append(parts, fmt.Sprintf("%s = \"%d s\"", x.key, x.d/time.Second))
		}
	}
	return "{ " + strings.Join(parts, ", ") + " }"
}
