package summary

import (
	"math"
	"os"
	"strings"
	"testing"
	"unicode/utf8"

	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol"
)

func weighings(t *testing.T) *protocol.Protocol {
	t.Helper()
	text, err := os.ReadFile("../../testdata/paper/weighings.toml")
	if err != nil {
		t.Fatal(err)
	}
	p, err := protocol.Load("weighings.toml", text)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestSourcesAreNamedInWords(t *testing.T) {
	p := weighings(t)
	tests := []struct{ name, want string }{
		{"instrument:balance/offset", "shared offset of Top-pan balance"},
		{"reading:titre.2/step", "smallest step of Titre 2"},
		{"reading:titre@A/graduation/2.35", "graduation error of Titre at 2.35 in A"},
		{"reading:empty@B/step", "smallest step of Flask, empty in B"},
		{"given:wanted", "Mass wanted"},
		{"given:wanted@B", "Mass wanted in B"},
		{"instrument:balance/gain", "shared gain of Top-pan balance"},
		{"reading:empty@B/u", "repeatability of Flask, empty in B"},
		{"table:atomic_mass/C", "table value, atomic mass C"},
		{"table:oil/rapeseed/18:1", "18:1 in rapeseed"},
		{"profile:bench_oil/18:1", "18:1 in bench oil"},
		{"fit:settling/ab12cd/1", "scatter about the fit of settling"},
		{"replicates:specific_energy/ab12cd/1", "scatter between the replicates of specific energy"},
		{"repeats:titre.1-3/ab12cd/1", "scatter of repeated titre.1-3"},
		{"scatter", "scatter"},
		{"reading:gone/step", "smallest step of gone"},
	}
	for _, tt := range tests {
		if got := sourceOf(tt.name, p).title; got != tt.want {
			t.Errorf("%s is called %q, want %q", tt.name, got, tt.want)
		}
	}
}

// The advice goes by remedy: two small steps of one balance count together.
func TestAdviceNamesTheOneThingThatHelpsMost(t *testing.T) {
	cylinder := &protocol.Instrument{ID: "cylinder", Title: "Cylinder", Unit: quantity.MustUnit("mL"), Step: 0.5, Graduation: 0.5, U: 0.1}
	p := weighings(t)
	p.Instruments = append(p.Instruments, cylinder)
	with := func(names ...string) quantity.Quantity {
		q := quantity.Ratio(1)
		for i, n := range names {
			q = q.With(quantity.Source{Name: n}, []float64{3, 2.5, 2}[i])
		}
		return q
	}
	tests := []struct {
		q    quantity.Quantity
		want string
	}{
		{with("instrument:cylinder/graduation", "given:wanted"),
			"The 0.5 mL graduation error of the cylinder is 59 % of the variance: take a smaller vessel or one of a better class, or weigh instead."},
		{with("instrument:cylinder/step"),
			"The 0.5 mL step of the cylinder is all of the variance: take a narrower vessel with finer marks, or weigh instead."},
		{with("instrument:cylinder/u"),
			"The 0.1 mL repeatability of the cylinder is all of the variance: practise the reading, take the mean of several, or measure a larger volume."},
		{with("given:wanted", "reading:empty/step", "reading:full/step"),
			"The 0.01 g step of the top-pan balance is 53 % of the variance: read on a finer scale."},
		{with("given:wanted"), "The given “Mass wanted” is all of the variance: find a better value for it, by a certificate or by measuring it."},
		{with("replicates:energy/ab/1", "given:wanted"),
			"The scatter between the replicates is 59 % of the variance: repeat the experiment; a better instrument would change little."},
		{with("fit:settling/ab/1"), "The scatter about the fit is all of the variance: take more readings, over a longer time."},
		{with("table:heat/elemental"), "The table value “heat elemental” is all of the variance: find a better value, or measure it on this material."},
		{with("given:wanted", "profile:bench_oil/18:1", "profile:bench_oil/18:2"),
			"The composition of bench oil is 53 % of the variance: have the fatty acids of this very oil analysed."},
		{quantity.Ratio(1), ""},
	}
	for _, tt := range tests {
		causes, got := causesOf(tt.q, p)
		if got != tt.want {
			t.Errorf("advice is\n%s, want\n%s", got, tt.want)
		}
		var sum float64
		for i, c := range causes {
			if sum += c.Share; i > 0 && c.Share > causes[i-1].Share {
				t.Errorf("%s: causes are not in order of their share", got)
			}
		}
		if len(causes) > 0 && math.Abs(sum-1) > 1e-12 {
			t.Errorf("%s: the shares add up to %g", got, sum)
		}
	}
}

func TestScatterStandsBesideTheInstruments(t *testing.T) {
	reading := func(x float64, name string) quantity.Quantity {
		return quantity.Exact(x, quantity.MustUnit("g")).With(quantity.Source{Name: "reading:" + name + "/step"}, 0.1)
	}
	observe := func(name string, s float64) quantity.Quantity {
		x := []quantity.Quantity{reading(1, "m.1"), reading(2, "m.2"), reading(3, "m.3"), reading(4, "m.4")}
		mean := quantity.Outcome{Value: 2.5, Unit: quantity.MustUnit("g"), By: []float64{0.25, 0.25, 0.25, 0.25}}
		return quantity.Observe(x, []quantity.Outcome{mean}, quantity.Scatter{Name: name, S: s, DoF: 3})[0]
	}
	tests := []struct {
		q             quantity.Quantity
		of, dominates string
		observed      float64
		says          string
	}{
		{observe("replicates:energy", 1.2), "replicates", "scatter", 0.6,
			"Instruments, givens and tables give u = 0.050 g; the replicates scatter by u = 0.60 g, and that dominates."},
		{observe("repeats:m", 1.2), "repeats", "scatter", 0.6,
			"Instruments, givens and tables give u = 0.050 g; the repeated readings scatter by u = 0.60 g, and that dominates. Several readings of one batch are not replicates of the batch."},
		{observe("replicates:energy", 0.02), "", "instruments", 0.01,
			"The readings scatter no more than their instruments explain. Instruments, givens and tables give u = 0.050 g."},
	}
	for _, tt := range tests {
		got := scatterOf(tt.q)
		if got == nil || got.Of != tt.of || got.Dominates != tt.dominates || math.Abs(got.Observed-tt.observed) > 1e-12 ||
			math.Abs(got.Instruments-0.05) > 1e-12 || got.Message != tt.says {
			t.Errorf("got %+v, want %s, %s, %g (s/√4) and 0.05 (0.1/√4):\n%s", got, tt.of, tt.dominates, tt.observed, tt.says)
		}
	}
	if got := scatterOf(reading(1, "m")); got != nil {
		t.Errorf("a single weighing has a scatter: %+v", got)
	}
}

// Titles come from strangers' files: none makes the naming fail.
func TestOddTitlesAreNamed(t *testing.T) {
	p := weighings(t)
	for _, odd := range []string{",", ", x", "é", "Ω", "pH paper", "A", "\u0301"} {
		p.Instruments[0].Title = odd
		if c := sourceOf("instrument:"+p.Instruments[0].ID+"/offset", p); c.what == "" || c.title == "" || !utf8.ValidString(capital(c.what)) {
			t.Errorf("an instrument titled %q makes the cause %+v", odd, c)
		}
	}
	for _, odd := range []string{"", ":", "reading:", "instrument:/", "given:@", "fit:", "@/:", "reading:.1@/step"} {
		if c := sourceOf(odd, p); strings.Contains(c.title, "%!") {
			t.Errorf("the source %q makes the cause %+v", odd, c)
		}
	}
}
