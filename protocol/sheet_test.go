package protocol

import (
	"errors"
	"math"
	"slices"
	"testing"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
	"github.com/google/go-cmp/cmp"
)

func scaled(t *testing.T, set map[string]string) *Sheet {
	t.Helper()
	s, err := everything(t).Scale(set)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestScale(t *testing.T) {
	tests := []struct {
		mass string
		want []string // solution, then the portions
	}{
		{"", []string{"26.5 mL", "11.0 mL", "8.5 mL", "7.0 mL"}}, // the portions of the demo batch of 50 g
		{"100 g", []string{"53.0 mL", "22.5 mL", "17.0 mL", "14.0 mL"}},
		{"0,1 kg", []string{"53.0 mL", "22.5 mL", "17.0 mL", "14.0 mL"}},
		{"25", []string{"13.5 mL", "5.5 mL", "4.5 mL", "3.5 mL"}},
	}
	for _, tt := range tests {
		set := map[string]string{}
		if tt.mass != "" {
			set["oil_mass"] = tt.mass
		}
		s := scaled(t, set)
		got := make([]string, 4)
		got[0], _ = s.Show("solution_volume", 0)
		for portion := 1; portion <= 3; portion++ {
			got[portion], _ = s.Show("portion_volume", portion)
		}
		if d := cmp.Diff(tt.want, got); d != "" {
			t.Errorf("%q (-want +got):\n%s", tt.mass, d)
		}
	}
}

func TestScaleRefuses(t *testing.T) {
	p := everything(t)
	tests := []struct {
		set  map[string]string
		want string
	}{
		{map[string]string{"oil_mass": "500 g"}, `oil_mass = "500 g": more than 250 g; allowed is 10 g to 250 g`},
		{map[string]string{"oil_mass": "5"}, `oil_mass = "5": less than 10 g; allowed is 10 g to 250 g`},
		{map[string]string{"room": "31"}, `room = "31": more than 30 °C; allowed is up to 30 °C`},
		{map[string]string{"room": "-500"}, `room = "-500": -500 °C is below absolute zero`},
		{map[string]string{"oil": "rapesed"}, `oil = "rapesed": it is none of the choices; write "rapeseed"`},
		{map[string]string{"oil": "x"}, `oil = "x": it is none of the choices; write practice_oil, rapeseed`},
		{map[string]string{"oilmass": "5"}, `oilmass = "5": this protocol has no such given; write oil_mass`},
		{map[string]string{"zz": "5", "aa": "5"}, `aa = "5": this protocol has no such given; it has oil, oil_mass, dose, room, lot` + "\n" +
			`zz = "5": this protocol has no such given; it has oil, oil_mass, dose, room, lot`},
	}
	for _, tt := range tests {
		_, err := p.Scale(tt.set)
		var g *GivenError
		if !errors.As(err, &g) || err.Error() != tt.want {
			t.Errorf("%v:\n got %v\nwant %s", tt.set, err, tt.want)
		}
	}
}

func TestSheetValue(t *testing.T) {
	s := scaled(t, map[string]string{"oil": "practice_oil", "lot": "A 17"})
	mass, err := s.Value("oil_mass")
	if err != nil || mass.Number.U() != 0.02 || mass.Number.DoF() != 8 || mass.Number.By[0].Source.Name != "given:oil_mass" {
		t.Errorf("oil_mass = %+v, %v; want u = 0.02 g with 8 degrees of freedom", mass.Number, err)
	}
	if v, _ := s.Value("solution_volume"); v.Number.U() != 0 {
		t.Errorf("u of a rounded amount = %g, want 0: it is what is measured out", v.Number.U())
	}
	if v, _ := s.Value("oil"); v.Row == nil {
		t.Error("a choice that names a profile of the file carries no row")
	}
	if v, _ := s.Value("catalyst.shares"); len(v.List) != 3 || v.List[1].Value != 0.32 {
		t.Errorf("catalyst.shares = %+v", v)
	}
	var missing *formula.MissingError
	if _, err := s.Value("flask"); !errors.As(err, &missing) {
		t.Errorf("flask: got %v, want a *MissingError", err)
	}
	if got := s.Protocol.Stage("charge").Say.Fill(s, 0); got != "Weigh 50 g of practice_oil." {
		t.Errorf("say = %q", got)
	}
	if v, _ := s.Value("lot"); v.Text != "A 17" {
		t.Errorf("lot = %q, want the text that was given", v.Text)
	}
	if got, _ := s.Show("room", 0); got != "21 °C" {
		t.Errorf("room = %q", got)
	}
	if got, _ := s.Show("portion_volume", 0); got != "11.0 mL, 8.5 mL, 7.0 mL" {
		t.Errorf("portion_volume = %q", got)
	}
}

func TestWarnings(t *testing.T) {
	if got := scaled(t, nil).Warnings(); len(got) != 0 {
		t.Errorf("warnings %q, want none", got)
	}
	if got := scaled(t, nil).Fits(); !slices.Equal(got, []string{"Catalyst solution 26.5 mL fits 100 mL"}) {
		t.Errorf("fits %q", got)
	}
	if got := scaled(t, map[string]string{"oil_mass": "211,3 g"}).Fits(); len(got) != 0 {
		t.Errorf("what does not fit fits: %q", got)
	}
	got := scaled(t, map[string]string{"oil_mass": "211,3 g"}).Warnings()
	want := []string{"Catalyst solution 112.0 mL does not fit 100 mL: take less than 211.3 g of oil"}
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("-want +got:\n%s", d)
	}
	got = scaled(t, map[string]string{"dose": "-0.5"}).Warnings()
	if len(got) != 4 || got[0] != "Catalyst solution comes out below zero (-25.0 mL): check the givens" {
		t.Errorf("warnings for a negative dose: %q", got)
	}
}

func TestBound(t *testing.T) {
	p := everything(t)
	s := scaled(t, nil)
	added := p.Reading("added")
	for portion, want := range []float64{9.9, 7.65, 6.3} { // 0.9 of 11.0, 8.5 and 7.0 mL
		q, err := added.Low.Value(s, portion+1)
		if err != nil || math.Abs(q.Value-want) > 1e-12 || q.Unit.String() != "mL" {
			t.Errorf("portion %d: expect from %v, %v; want %g mL", portion+1, q, err, want)
		}
	}
	if _, err := added.Low.Value(s, 4); err == nil {
		t.Error("a limit for a fourth portion of three")
	}
	if _, err := p.Reading("full_flask").Low.Value(s, 0); err == nil {
		t.Error("a limit that needs a reading has a value before it is taken")
	}
	if p.Reading("oil_temperature").High != nil {
		t.Error("an open end has a limit")
	}
}

func TestRounded(t *testing.T) {
	tests := []struct{ x, step, want float64 }{
		{11.13, 0.5, 11}, {8.48, 0.5, 8.5}, {6.89, 0.5, 7}, {0.25, 0.5, 0.5}, {0.74, 0.5, 0.5},
		{2.675, 0.01, 2.68}, {1.005, 0.01, 1.01}, // binary fractions just below a half
		{0.3, 0.1, 0.3}, {0.35, 0.1, 0.4}, {-0.25, 0.5, 0}, {12.34, 0, 12.34}, {1234, 50, 1250},
	}
	for _, tt := range tests {
		if got := rounded(tt.x, tt.step); got != tt.want {
			t.Errorf("rounded(%v, %v) = %v, want %v", tt.x, tt.step, got, tt.want)
		}
	}
}

func TestMeasure(t *testing.T) {
	p := everything(t)
	g, mg, cel := quantity.MustUnit("g"), quantity.MustUnit("mg"), quantity.MustUnit("Cel")
	balance, thermometer := p.Instruments[0], p.Instruments[1]
	// u = a/sqrt(3) for a half-width a: JCGM 100:2008, 4.3.7. Step 0.01 g, tolerance 0.02 g, offset 0.05 g, gain 0.1 %.
	want := map[string]float64{
		"reading:flask/step":        0.005 / math.Sqrt(3),
		"reading:flask/tolerance":   0.02 / math.Sqrt(3),
		"instrument:balance/offset": 0.05 / math.Sqrt(3),
		"instrument:balance/gain":   0.1 / math.Sqrt(3), // 0.1 % of 100 g
	}
	for _, tt := range []struct {
		q     quantity.Quantity
		scale float64
	}{{balance.Measure(100, g, "flask"), 1}, {balance.Measure(100e3, mg, "flask"), 1000}} {
		if len(tt.q.By) != len(want) {
			t.Errorf("%d sources, want %d", len(tt.q.By), len(want))
		}
		for _, e := range tt.q.By {
			if w := want[e.Source.Name] * tt.scale; math.Abs(e.Amount-w) > 1e-12*tt.scale {
				t.Errorf("%s: u = %g, want %g", e.Source.Name, e.Amount, w)
			}
		}
	}
	q := thermometer.Measure(21.5, cel, "bath")
	if u, dof := q.By[1].Amount, q.By[1].Source.DoF; q.By[1].Source.Name != "reading:bath/u" || u != 0.3 || dof != 9 {
		t.Errorf("thermometer: %+v, want u = 0.3 K with 9 degrees of freedom", q.By)
	}
	if q := (*Instrument)(nil).Measure(3, g, "x"); q.Value != 3 || len(q.By) != 0 {
		t.Errorf("without an instrument: %+v, want 3 g exactly", q)
	}
}

// What two readings of one balance share is gone from their difference; their steps are not.
func TestMeasureDifference(t *testing.T) {
	balance := *everything(t).Instruments[0]
	balance.Gain = 0
	g := quantity.MustUnit("g")
	d, err := quantity.Sub(balance.Measure(162.41, g, "full"), balance.Measure(112.36, g, "empty"))
	want := math.Sqrt2 * math.Hypot(0.005, 0.02) / math.Sqrt(3)
	if err != nil || math.Abs(d.U()-want) > 1e-12 {
		t.Errorf("u of the difference = %g, %v; want %g", d.U(), err, want)
	}
}

// A gain is shared and in proportion: of two readings their difference keeps it, and a ratio of two masses is rid of it.
func TestMeasureGain(t *testing.T) {
	const root3 = 1.7320508075688772 // JCGM 100:2008, 4.3.7
	g, cel := quantity.MustUnit("g"), quantity.MustUnit("Cel")
	balance := Instrument{ID: "balance", Unit: g, Offset: 0.02, Gain: 0.0004}              // 0.02 g of a 50 g check mass
	thermometer := Instrument{ID: "thermometer", Unit: cel, Offset: 0.25, Gain: 0.25 / 20} // half of 0.5 K, over 20 K
	oil, err := quantity.Sub(balance.Measure(150, g, "full"), balance.Measure(100, g, "empty"))
	near(t, "a difference of 50 g", oil, err, 0.02/root3)
	rise, err := quantity.Sub(thermometer.Measure(35, cel, "after"), thermometer.Measure(15, cel, "before"))
	near(t, "a rise of 20 K", rise, err, 0.25/root3)
	balance.Offset = 0
	share, err := quantity.Div(oil, balance.Measure(25, g, "all"))
	near(t, "a ratio of two masses", share, err, 0)
}

func near(t *testing.T, what string, q quantity.Quantity, err error, u float64) {
	t.Helper()
	if err != nil || math.Abs(q.U()-u) > 1e-12 {
		t.Errorf("%s: %s, u = %g, %v; want u = %g", what, q.Text(), q.U(), err, u)
	}
}

// The limit of error of marked glass holds at every mark, and for the difference of the errors at any two marks: so ISO
// 4788 has it for cylinders (seen in an excerpt of its clause on errors). That holds for two values of one series or of two
// portions as well. Fills of a pipette are as many readings of one mark (JCGM 100:2008, 5.2.2: shared errors add up).
func TestMeasureOnGlass(t *testing.T) {
	const limit = 0.5 // mL
	glass := Instrument{ID: "cylinder", Unit: quantity.MustUnit("mL"), Graduation: limit}
	read := func(x float64, name string) quantity.Quantity { return glass.Measure(x, glass.Unit, name) }
	ratio := func(n float64) []float64 { return []float64{n, n, n} }
	fills := []quantity.Quantity{read(9.8, "added.1@A"), read(9.8, "added.2@A"), read(9.8, "added.3@A")}
	tests := []struct {
		q      quantity.Quantity
		limit  float64
		source string
	}{
		{read(17, "lower"), limit, "the error at any mark"},
		{quantity.Combine(72, glass.Unit, []quantity.Quantity{read(89, "upper"), read(17, "lower")}, []float64{1, -1}), limit,
			"the difference of the errors at any two marks"},
		{quantity.Combine(0, glass.Unit, fills[:2], []float64{-1, 1}), 0, "one mark has one error"},
		{quantity.Combine(4.1, glass.Unit, []quantity.Quantity{read(13.9, "added.1@A"), fills[1]}, []float64{1, -1}), limit,
			"the difference at any two marks, of two portions"},
		{quantity.Combine(4.1, glass.Unit, []quantity.Quantity{read(13.9, "level.7"), read(9.8, "level.6")}, []float64{1, -1}), limit,
			"the difference at any two marks, of two values of a series"},
		{glass.MeasureSum([]float64{9.8, 9.8, 9.8}, glass.Unit, "added.1@A"), 3 * limit, "three fills to one mark"},
		{quantity.Combine(9.8, glass.Unit, fills, ratio(1./3)), limit, "one mark has one error, however often it is read"},
		{quantity.Combine(29.4, glass.Unit, fills, ratio(1)), 3 * limit, "one mark has one error, which three fills add up"},
	}
	for _, tt := range tests {
		if want := tt.limit / math.Sqrt(3); math.Abs(tt.q.U()-want) > 1e-12 {
			t.Errorf("%g mL: u = %g, want %g (%s; JCGM 100:2008, 4.3.7)", tt.q.Value, tt.q.U(), want, tt.source)
		}
	}
}

func TestWithInstruments(t *testing.T) {
	p := everything(t)
	own := "[instrument.balance]\ntitle = \"Ours\"\nunit = \"mg\"\nstep = \"1 mg\"\nchecked = \"2026-05-05\"\n\n[instrument.spare]\nunit = \"mL\"\n"
	q, err := p.WithInstruments("lab.toml", []byte(own))
	if err != nil {
		t.Fatal(err)
	}
	if in := q.Reading("flask").Instrument; in.Title != "Ours" || in != q.Instruments[0] || q.Stage("charge").Readings[0].Instrument != in {
		t.Errorf("flask is weighed with %+v", in)
	}
	if in := p.Reading("flask").Instrument; in.Title != "Top-pan balance" || in.Checked != "2026-05-04" {
		t.Errorf("the protocol itself has changed: %+v", in)
	}
	if r := q.Reading("flask"); r.Stage != q.Stage("charge") {
		t.Error("a reading belongs to a stage of the other protocol")
	}
	_, err = p.WithInstruments("lab.toml", []byte("[instrument.balance]\nunit = \"mL\"\n[instrumnt.x]\nunit = \"g\"\n"))
	want := `lab.toml:2:8: instrument "balance": it reads in mL, and the protocol takes "flask" with it in g` + "\n" +
		`lab.toml:3:1: unknown key "instrumnt" in the file of instruments, which has instrument already`
	if err == nil || err.Error() != want {
		t.Errorf("got %v\nwant %s", err, want)
	}
}
