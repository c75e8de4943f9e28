package protocols_test

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol"
	"example.org/meniscus/protocols"
)

// whose says for which ester a standard's limits are.
var whose = map[string]string{"EN": "methyl ester: for ethyl ester an orientation", "ASTM": "esters of any one alcohol", "ANP": "methyl and ethyl ester"}

// TestLimitsAreTheStandards holds every check that names a fuel standard, and the givens taken from one, against the table
// of the standard.
func TestLimitsAreTheStandards(t *testing.T) {
	text, _ := protocols.Text("ester-batch")
	p, err := protocol.Load("ester-batch.toml", text)
	if err != nil {
		t.Fatal(err)
	}
	property := map[string]string{"viscosity": "kinematic_viscosity_40", "still_going_off": "methanol_or_ethanol"} // else they have one name
	limits, checked := fuelLimits(t), 0
	for _, c := range p.Checks {
		of, ok := whose[strings.Fields(c.Source)[0]]
		if !ok {
			continue
		}
		if !strings.Contains(c.Say.String(), of) {
			t.Errorf("the check of %s by %s does not say that it is %q: %s", c.Result.ID, c.Source, of, c.Say)
		}
		name := c.Result.ID
		if other, ok := property[name]; ok {
			name = other
		}
		l, ok := limits[c.Source+" "+name]
		if got := (limit{bound(c.Low), bound(c.High)}); !ok || got != l {
			t.Errorf("%s is checked against %+v, the table has %+v (%s)", name, got, l, c.Source)
		}
		checked++
	}
	if checked < 8 {
		t.Errorf("%d checks name a standard, want density, viscosity, acid value and iodine value, the viscosity of two others, "+
			"and density at 20 °C and ethanol", checked)
	}
	content, viscosity := p.Given("standard_ester_content"), p.Given("standard_viscosity")
	for _, g := range []struct{ what, got, want string }{
		{content.ID, amount(content.Value), limits[content.Source+" ester_content"].low},
		{viscosity.ID, amount(viscosity.Value), limits[viscosity.Source+" kinematic_viscosity_40"].high},
	} {
		if g.got != g.want {
			t.Errorf("%s = %s, the table has %q", g.what, g.got, g.want)
		}
	}
}

// A limit is a row of the table; "" is no limit.
type limit struct{ low, high string }

// fuelLimits reads the table by source and property; each row has its source.
func fuelLimits(t *testing.T) map[string]limit {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "testdata", "reference", "fuel_limits.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	figure := func(text, unit string) string {
		if text == "" {
			return ""
		}
		x, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatal(err)
		}
		return amount(quantity.Exact(x, quantity.MustUnit(unit)))
	}
	out := map[string]limit{}
	for _, r := range rows[1:] { // standard, edition, property, low, high, unit, source, how_seen
		out[r[6]+" "+r[2]] = limit{figure(r[3], r[5]), figure(r[4], r[5])}
	}
	return out
}

func bound(b *protocol.Bound) string {
	if b == nil {
		return ""
	}
	return amount(b.Quantity)
}

func amount(q quantity.Quantity) string { return quantity.Plain(q.Value, -1) + " " + q.Unit.String() }
