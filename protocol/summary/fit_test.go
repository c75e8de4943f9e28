package summary_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"example.org/meniscus/calc/montecarlo"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/summary"
)

// settling is a run with an invented settling series, and results of its fit by the formulas.
func settling(t testing.TB, formulas ...string) *run.State {
	t.Helper()
	var blocks strings.Builder
	blocks.WriteString(`
[instrument.cylinder]
title = "Cylinder"
unit = "mL"
step = "0.5 mL"
graduation = "0.5 mL"
[[given]]
id = "left"
value = "0.5 mL"
[[given]]
id = "down"
value = "0 min"
[[stage]]
id = "settle"
title = "Settle"
clock = { at_least = "1 min", aim = "40 min", at_most = "60 min" }
  [[stage.reading]]
  id = "layer"
  kind = "series"
  unit = "mL"
  instrument = "cylinder"
`)
	for i, f := range formulas {
		unit := map[bool]string{true: "min", false: "mL"}[strings.HasPrefix(f, "settled_at") || strings.HasPrefix(f, "settling_delay") || strings.HasPrefix(f, "settling_time")]
		fmt.Fprintf(&blocks, "[[result]]\nid = \"r%d\"\nformula = %q\nunit = %q\n", i, f, unit)
	}
	var rows strings.Builder
	for i, x := range []float64{3, 7, 10, 12, 13.5, 14.5, 15.5, 16.5, 17, 17, 17} {
		fmt.Fprintf(&rows, "A,layer,%g,,00:%02d:00\n", x, []int{2, 4, 6, 8, 10, 12, 15, 20, 25, 30, 35}[i])
	}
	return worked(t, blocks.String(), rows.String())
}

var (
	shared = []string{"settled_volume(layer, down)", "settling_delay(layer, down)", "settling_time_constant(layer, down)",
		"settling_rms(layer, down)", "settled_at(layer, down, left)"}
	// apart is shared with each fit written in its own way.
	apart = []string{"settled_volume(layer, down)", "settling_delay(layer,down)", "settling_time_constant(layer , down)",
		"settling_rms(layer,  down)", "settled_at(layer  , down, left)"}
)

// Results that share a fit are the same, to the last bit, as results that are fitted one by one.
func TestSharedFitChangesNothing(t *testing.T) {
	figures := func(formulas []string) string {
		out := tried(t, settling(t, formulas...), 2000, 1)
		text, err := json.Marshal(out.Vessels[0].Results)
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	got, want := figures(shared), figures(apart)
	if got != want {
		t.Errorf("a shared fit gives\n%s, single fits\n%s", got, want)
	}
	if strings.Count(got, `"failed":0`) != len(shared) {
		t.Errorf("not every result has its trials: %s", got)
	}
}

// Five results of one fit against five fits, in the same run.
func BenchmarkSharedFit(b *testing.B) {
	one, five := settling(b, shared...), settling(b, apart...)
	took := func(s *run.State) time.Duration {
		begin := time.Now()
		if err := summary.FromState(s).Trials(s, montecarlo.Options{Trials: 5000, Seed: 1}); err != nil {
			b.Fatal(err)
		}
		return time.Since(begin)
	}
	var together, singly time.Duration
	for range b.N {
		together, singly = together+took(one), singly+took(five)
	}
	b.ReportMetric(float64(singly)/float64(together), "times-faster")
}
