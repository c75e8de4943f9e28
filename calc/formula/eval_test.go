package formula

import (
	"errors"
	"fmt"
	"math"
	"sync"
	"testing"

	"example.org/meniscus/calc/quantity"
	"pgregory.net/rapid"
)

// The expected values are worked by hand.
func TestEval(t *testing.T) {
	tests := []struct{ text, want string }{
		{"before - after", "1.21 g"}, {"1 + 2 * 3", "7"}, {"(1 + 2) * 3", "9"}, {"7 - 2 - 1", "4"}, {"8 / 4 / 2", "1"}, {"-2^2", "-4"}, {"(-2)^2", "4"},
		{"2^3^2", "512"}, {"2^-1", "0.5"}, {"2 * -3", "-6"}, {"--2", "2"}, {"2^-1^2", "0.5"}, {"1.5e1 + .5", "15.5"}, {"3.", "3"},
		{"end - start", "25.4 K"}, {"start + rise", "45.5 Cel"}, {"rise + start", "45.5 Cel"}, {"end - rise", "20.1 Cel"}, {"water + milli", "150.5 g"},
		{"milli + water", "150500 mg"}, {"water * 2", "300 g"}, {"water / milli", "0.3 g/mg"}, {"share * water", "6000 %.g"}, {"share ^ 2", "0.16"},
		{"factor ^ share", "1.319507911"}, // 2^0.4
		{"sqrt(water * water)", "150 g"}, {"abs(after - before)", "1.21 g"}, {"exp(0)", "1"}, {"ln(exp(2))", "2"}, {"log10(1000)", "3"}, {"log10(share)", "-0.3979400087"},

		{"before > after", "yes"}, {"before < after", "no"}, {"milli == 500 * milli / 500", "yes"}, {"milli != water", "yes"}, {"milli <= milli", "yes"},
		{"milli >= water", "no"}, {"drop < 1 * drop + drop", "yes"}, {"not lit", "no"}, {"not not lit", "yes"}, {"lit and before < after", "no"},
		{"lit or before < after", "yes"}, {"not lit or lit", "yes"}, {"1 < 2 and 2 < 3 or 1 > 2", "yes"}, {"not 1 > 2", "yes"},
		{`fuel == "ester"`, "yes"}, {`fuel != "ester"`, "no"}, {`"ester" == fuel`, "yes"}, {`remark == "clear"`, "yes"}, {"fuel", "ester"},

		{"portions * 2", "[2 g, 4 g, 8 g]"}, {"2 * portions", "[2 g, 4 g, 8 g]"}, {"portions * shares", "[0.5 g, 0.6 g, 0.8 g]"}, {"portions + milli", "[1.5 g, 2.5 g, 4.5 g]"},
		{"-portions", "[-1 g, -2 g, -4 g]"}, {"portions^2", "[1 g2, 4 g2, 16 g2]"}, {"bath - start", "[37.9 K, 39.9 K, 41.9 K]"}, {"sqrt(portions^2)", "[1 g, 2 g, 4 g]"},
		{"2^shares", "[1.414213562, 1.231144413, 1.148698355]"}, {"heights / time", "[0.2 mm/min, 0.6 mm/min]"},

		{"min(portions)", "1 g"}, {"max(portions)", "4 g"}, {"sum(portions)", "7 g"}, {"mean(portions)", "2.333333333 g"}, {"count(portions)", "3"},
		{"first(portions)", "1 g"}, {"last(portions)", "4 g"}, {"nth(portions, 2)", "2 g"}, {"nth(portions, n)", "2 g"}, {"sd(heights)", "1.414213562 mm"},
		{"mean(bath)", "60 Cel"}, {"sd(bath)", "2 K"}, {"last(bath)", "62 Cel"}, {"max(start, end)", "45.5 Cel"}, {"min(milli, water, before)", "500 mg"},
		{"mean(water, milli)", "75.25 g"}, {"sum(milli, milli)", "1000 mg"}, {"mean(water)", "150 g"}, {"count(water)", "1"}, {"first(water)", "150 g"},
		{"max(1, 2, 3)", "3"}, {"sum(1, 2, 3)", "6"}, {"mean(1,5)", "3"},

		{"if(lit, before, after)", "142.86 g"}, {"if(not lit, before, after)", "141.65 g"}, {"if(lit, before, nothing * before)", "142.86 g"},
		{"if(not lit, water, milli)", "0.5 g"}, // in the first outcome's unit
		{`if(lit, "ester", "ethanol") == fuel`, "yes"}, {"if(lit, portions, portions * 2)", "[1 g, 2 g, 4 g]"}, {"if(lit, bath, -(bath - bath) + mean(bath))", "[58 Cel, 60 Cel, 62 Cel]"},
		{"lit or nothing > 1", "yes"}, {"not lit and nothing > 1", "no"},

		{"weight(rapeseed)", "8 g"}, {"weight(water)", "5 g"}, // a number called water does not hide the row
		{`weight("coconut")`, "7 g"}, {"weight(oil)", "7 g"}, {"weight(coconut, start)", "27.1 g"}, {`weight(if(lit, "water", "coconut"))`, "5 g"},
		{"letters(fuel)", "5"}, {"heat(water, rise)", "3.81 kJ"}, {"heat(milli, rise)", "0.0127 kJ"}, {"heat(portions, rise)", "[0.0254 kJ, 0.0508 kJ, 0.1016 kJ]"},
		{"heat(portions, bath - start)", "[0.0379 kJ, 0.0798 kJ, 0.1676 kJ]"}, {"span(bath)", "2 min"},
	}
	for _, tt := range tests {
		v, typ, err := calculate(tt.text, vessel(t), vessel(t))
		if err != nil || shown(v) != tt.want {
			t.Errorf("%s = %s, %v, want %s", tt.text, shown(v), err, tt.want)
			continue
		}
		if v.Kind != typ.Kind || v.Kind == Number && v.Number.Unit != typ.Unit || len(v.List) > 0 && v.List[0].Unit != typ.Unit {
			t.Errorf("%s is a %s, but was said to be a %s in %s", tt.text, v.Kind, typ.Kind, typ.Unit)
		}
	}
}

func TestEvalErrors(t *testing.T) {
	tests := []struct{ text, want string }{
		{"before / (water - water)", "before / (water - water): division by zero"},
		{"ln(0)", "ln: no value at 0"}, {"log10(-1)", "log10: no value at -1"}, {"sqrt(-1)", "sqrt: no value at -1"}, {"exp(1000)", "exp: no value at 1000"},
		{"(-1)^0.5", "(-1)^0.5: no value at -1"}, {"10^300 * 10^300", "10^300 * 10^300 has no finite value"},
		{"portions * pair", "portions * pair: lists of 3 and 2 values do not go together element by element"},
		{"heat(portions, pair * rise / milli)", "heat: lists of 3 and 2 values do not go together element by element"},
		{"nth(portions, 4)", "nth: the list has 3 values, there is no number 4"}, {"nth(portions, 0)", "nth: the list has 3 values, there is no number 0"},
		{"nth(portions, 1.5)", "nth: the list has 3 values, there is no number 1.5"}, {"sd(water)", "sd: a scatter needs two values or more, found one"},
		{"portions / (shares - shares)", "portions / (shares - shares): division by zero"},
	}
	for _, tt := range tests {
		_, _, err := calculate(tt.text, vessel(t), vessel(t))
		var r *quantity.RangeError
		if !errors.As(err, &r) || err.Error() != tt.want {
			t.Errorf("%s: error %v, want %s", tt.text, err, tt.want)
		}
	}
	var m *MissingError
	if _, _, err := calculate("before + nothing * before", vessel(t), vessel(t)); !errors.As(err, &m) || err.Error() != "nothing was not taken" {
		t.Errorf("a name without a value: %v", err)
	}
	f, err := Parse("before - after")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.Eval(vessel(t)); err == nil || err.Error() != "the formula before - after was not checked" {
		t.Errorf("Eval before Check: %v", err)
	}
}

// An empty list has a count and no other value.
func TestEmptyList(t *testing.T) {
	b := vessel(t)
	b.values["portions"] = Value{Kind: List}
	for text, want := range map[string]string{
		"mean(portions)": "mean: the list is empty", "first(portions)": "first: the list is empty", "max(portions)": "max: the list is empty",
		"nth(portions, 1)": "nth: the list has 0 values, there is no number 1",
	} {
		if _, _, err := calculate(text, b, b); err == nil || err.Error() != want {
			t.Errorf("%s: %v, want %s", text, err, want)
		}
	}
	for text, want := range map[string]string{"count(portions)": "0", "portions * 2": "[]", "heat(portions, rise)": "[]"} {
		if v, _, err := calculate(text, b, b); err != nil || shown(v) != want {
			t.Errorf("%s = %s, %v, want %s", text, shown(v), err, want)
		}
	}
}

// A value that is not what Check was told is converted where that can be, and refused where not.
func TestValuesThatDiffer(t *testing.T) {
	b := vessel(t)
	b.values["before"] = Of(quantity.Exact(0.14286, quantity.MustUnit("kg")))
	if v, _, err := calculate("before - after", b, b); err != nil || shown(v) != "1.21 g" {
		t.Errorf("in kg: %s, %v", shown(v), err)
	}
	b.values["before"] = Of(quantity.Exact(1, quantity.MustUnit("mL")))
	if _, _, err := calculate("before - after", b, b); err == nil || err.Error() != "before: mL cannot be given in g" {
		t.Errorf("in mL: %v", err)
	}
	b.values["before"] = Value{Kind: Text, Text: "x"}
	if _, _, err := calculate("before - after", b, b); err == nil || err.Error() != "before: a text stands where a number is expected" {
		t.Errorf("a text: %v", err)
	}
	b.values["portions"] = Value{Kind: List, List: []quantity.Quantity{quantity.Exact(1000, quantity.MustUnit("mg")), quantity.Exact(2, quantity.MustUnit("g"))}}
	if v, _, err := calculate("sum(portions)", b, b); err != nil || shown(v) != "3 g" || b.values["portions"].List[0].Value != 1000 {
		t.Errorf("a list of mixed units: %s, %v; the list itself must stay", shown(v), err)
	}
}

func TestAcross(t *testing.T) {
	tests := []struct{ text, want, missing string }{
		{`across(energy, fuel == "ethanol")`, "[14 kJ/g, 13 kJ/g]", ""},
		{"across(energy)", "[14 kJ/g, 15 kJ/g, 13 kJ/g]", ""},
		{`mean(across(energy, fuel == "ethanol")) - limit`, "3.5 kJ/g", ""},
		{"across(1 / (energy - energy))", "", "1 / (energy - energy) in any vessel was not taken"},
		{`across(energy, fuel == "ester" and energy < 0 * energy)`, "", `energy in any vessel with fuel == "ester" and energy < 0 * energy was not taken`},
		{"count(across(energy, energy > 0 * energy))", "3", ""},
	}
	for _, tt := range tests {
		v, _, err := calculate(tt.text, run(t), run(t))
		if tt.missing == "" && (err != nil || shown(v) != tt.want) {
			t.Errorf("%s = %s, %v, want %s", tt.text, shown(v), err, tt.want)
		}
		var m *MissingError
		if tt.missing != "" && (!errors.As(err, &m) || err.Error() != tt.missing) {
			t.Errorf("%s: %v, want %s", tt.text, err, tt.missing)
		}
	}
	f, err := Parse(`across(energy, fuel == "ester") / limit`)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := f.Check(run(t), functions()); err != nil || len(f.Names()) != 3 {
		t.Errorf("names %v, %v: want energy, fuel, limit", f.Names(), err)
	}
}

// An uncertainty goes through formulas by the chain rule, and what two readings share is kept.
func TestUncertaintyThroughFormulas(t *testing.T) {
	b := newBench()
	give := func(name string, x float64, code, source string, u float64) {
		q := quantity.Exact(x, quantity.MustUnit(code)).With(quantity.Source{Name: source}, u)
		b.types[name], b.values[name] = numberIn(code), Of(q)
	}
	give("m1", 10, "g", "balance", 0.1)
	give("m2", 4, "g", "balance", 0.1)
	give("x", 3, "1", "x", 0.01)
	give("t", 20, "Cel", "t", 0.3)
	tests := []struct {
		text   string
		u      float64
		source string
	}{
		{"m1 - m2", 0, "the shared error cancels"}, {"m1 + m2", 0.2, "and adds up in a sum"}, {"mean(m1, m1)", 0.1, "and stays in a mean"}, {"sum(m1, m2)", 0.2, "0.1 + 0.1"},
		{"mean(m1, m2)", math.Sqrt(0.01 + 9), "scatter √18/√2 beside the shared 0.1"}, {"sd(m1, m2)", 3, "s/√(2(n-1)): a shared error moves no scatter"}, {"x^2", 0.06, "2 x u"}, {"ln(x)", 0.01 / 3, "u / x"}, {"exp(x)", 0.01 * math.Exp(3), "e^x u"},
		{"sqrt(x)", 0.01 / (2 * math.Sqrt(3)), "u / 2√x"}, {"log10(x)", 0.01 / (3 * math.Ln10), "u / (x ln 10)"}, {"abs(-x)", 0.01, "|u|"}, {"2^x", 0.01 * 8 * math.Ln2, "2^x ln 2 u"},
		{"x^x", 0.01 * 27 * (1 + math.Log(3)), "x^x (1 + ln x) u"}, {"max(m1, m2)", 0.1, "that of m1"}, {"mean(t, t)", 0.3, "in degrees"}, {"sd(x, 5)", 1, "√2/√2, JCGM 100:2008, E.4.3"},
	}
	for _, tt := range tests {
		v, _, err := calculate(tt.text, b, b)
		if err != nil || math.Abs(v.Number.U()-tt.u) > 1e-12 {
			t.Errorf("u(%s) = %.15g, %v, want %.15g (%s)", tt.text, v.Number.U(), err, tt.u, tt.source)
		}
	}
}

func TestEvalIsSafeForMany(t *testing.T) {
	f, err := Parse("mean(portions) * factor + sum(portions) - weight(oil)")
	if err != nil {
		t.Fatal(err)
	}
	b := vessel(t)
	if _, err := f.Check(b, functions()); err != nil {
		t.Fatal(err)
	}
	var group sync.WaitGroup
	for range 8 {
		group.Go(func() {
			for range 200 {
				if v, err := f.Eval(b); err != nil || shown(v) != "4.666666667 g" {
					t.Errorf("%s, %v", shown(v), err)
				}
			}
		})
	}
	group.Wait()
}

// A random formula of bare numbers has the value that the same operations of the language Go give.
func TestArithmeticEqualsGo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := newBench()
		text, want := drawFormula(t, b, 4)
		v, _, err := calculate(text, b, b)
		if math.IsNaN(want) {
			var r *quantity.RangeError
			if !errors.As(err, &r) {
				t.Fatalf("%s = %s, %v, but a part of it has no finite value", text, shown(v), err)
			}
			return
		}
		if err != nil || v.Number.Value != want {
			t.Fatalf("%s = %v, %v, want %v", text, v.Number.Value, err, want)
		}
	})
}

// drawFormula returns a formula and its value, which is no number as soon as a part has no finite value.
func drawFormula(t *rapid.T, b bench, depth int) (string, float64) {
	if depth == 0 || rapid.IntRange(0, 4).Draw(t, "leaf") == 0 {
		x := rapid.Float64Range(-100, 100).Draw(t, "x")
		name := fmt.Sprintf("x%d", len(b.values))
		b.types[name], b.values[name] = Type{}, Of(quantity.Ratio(x))
		return name, x
	}
	x, vx := drawFormula(t, b, depth-1)
	y, vy := drawFormula(t, b, depth-1)
	text, v := "abs("+x+") + 0 * ("+y+")", math.Abs(vx)
	switch rapid.IntRange(0, 6).Draw(t, "operation") {
	case 0:
		text, v = "("+x+" + "+y+")", vx+vy
	case 1:
		text, v = "("+x+" - ("+y+"))", vx-vy
	case 2:
		text, v = "("+x+") * ("+y+")", vx*vy
	case 3:
		text, v = "("+x+") / ("+y+")", vx/vy
	case 4:
		text, v = "-("+x+")^2 + 0 * ("+y+")", -math.Pow(vx, 2)
	case 5:
		text, v = "if("+x+" < "+y+", "+x+", "+y+")", math.Min(vx, vy)
	}
	if math.IsNaN(vx+vy) || math.IsInf(v, 0) {
		v = math.NaN()
	}
	return "(" + text + ")", v
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{
		"before - after", `if(fuel == "ester", weight(rapeseed), weight(oil, start))`, "mean(portions * shares)^2 / -water", "heat(portions, bath - start)",
		`count(across(before, fuel == "ester"))`, "not not lit and 1 < 2", "2^-3^2", "nth(portions, 1e300)", "((((", "a ** b", "1,5", "'", "\"", "ρ²", "sd(bath) ^ 9 ^ 9",
	} {
		f.Add(s)
	}
	b := vessel(f)
	r := aRun{b}
	r.vessels = []bench{b, b}
	f.Fuzz(func(t *testing.T, text string) {
		v, typ, err := calculate(text, r, r)
		var differs *sheetError
		if errors.As(err, &differs) {
			t.Errorf("%q: %v", text, err)
		}
		var s *SyntaxError
		if errors.As(err, &s) && (s.Col < 1 || s.Col > len([]rune(text))+1 || s.Msg == "") {
			t.Errorf("%q: error at column %d: %v", text, s.Col, err)
		}
		if err == nil && (v.Kind != typ.Kind || v.Kind == Number && (v.Number.Unit != typ.Unit || math.IsNaN(v.Number.Value))) {
			t.Errorf("%q is %s, a %s, but was said to be a %s in %s", text, shown(v), v.Kind, typ.Kind, typ.Unit)
		}
	})
}

// BenchmarkEval works out the energy of a burn: nine names, seven operations and a call.
func BenchmarkEval(b *testing.B) {
	for _, name := range []string{"exact", "uncertain"} {
		b.Run(name, func(b *testing.B) {
			values := vessel(b)
			if name == "uncertain" {
				for _, n := range []string{"before", "after", "start", "end", "water"} {
					q := values.values[n].Number.With(quantity.Source{Name: "instrument:of/offset"}, 0.05).With(quantity.Source{Name: "reading:" + n + "/step"}, 0.003)
					values.values[n] = Of(q)
				}
			}
			f, err := Parse("(water * factor + mean(portions) * 0.385) * (end - start) / (before - after) / time")
			if err != nil {
				b.Fatal(err)
			}
			if _, err := f.Check(values, functions()); err != nil {
				b.Fatal(err)
			}
			b.ReportAllocs()
			for b.Loop() {
				if _, err := f.Eval(values); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
