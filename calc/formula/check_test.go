package formula

import (
	"errors"
	"testing"
)

func TestCheckErrors(t *testing.T) {
	tests := []struct {
		text string
		col  int
		want string
	}{
		{"befor - after", 1, "befor is no given, amount, reading or result; write before"},
		{"quite_unheard_of", 1, "quite_unheard_of is no given, amount, reading or result"},
		{"mean + 1", 1, "mean is a function; write mean(x, …)"},
		{"meen(portions)", 1, "there is no function meen; write mean"},
		{"average(portions)", 1, "there is no function average; write mean"},
		{"weight(unobtainium)", 8, "unobtainium is no row that weight knows; write one of rapeseed, coconut, water"},
		{"blurb(portions)", 1, "there is no function blurb"},
		{"before(1)", 1, "before is no function; write before alone, or before * (…)"},
		{"nth(portions)", 1, "nth has 1 argument; write nth(x, n)"},
		{"sqrt()", 1, "sqrt has no argument; write sqrt(x)"},
		{"mean()", 1, "mean has no argument; write mean(x, …)"},
		{"weight(water, start, 3)", 1, "weight has 3 arguments; write weight(row, [theta])"},
		{"if(lit, 1)", 1, "if has 2 arguments; write if(condition, a, b)"},
		{"empty()", 1, "empty has no calculation"},

		{"before + time", 8, `before is in g and time is in min; "+" needs units that fit`},
		{"before - 5", 8, `before is in g and 5 is a bare number; "-" needs units that fit; write a given with the value "5 g" and its name here`},
		{"0 < before", 3, `0 is a bare number and before is in g; "<" needs units that fit; write a given with the value "0 g" and its name here`},
		{"start + end", 7, "start + end: two temperatures cannot be added: add an interval in K, or take the mean"},
		{"rise - start", 6, "rise - start: a temperature cannot be taken from K"},
		{"start * 2", 7, "start * 2: a temperature on a scale with its own zero enters no product or quotient: take a difference first"},
		{"-start", 1, "-start: a temperature on a scale with its own zero has no opposite: take a difference first"},
		{"rise < start", 6, `rise is in K and start is in Cel; "<" needs units that fit`},
		{"fuel + 1", 1, `fuel is a text; "+" takes numbers`},
		{"-lit", 2, `lit is a yes or no; "-" takes numbers`},
		{"not before", 5, `before is a number; "not" takes a condition; write a comparison, such as a < b`},
		{"lit and factor", 9, `factor is a number; "and" takes a condition; write a comparison, such as a < b`},
		{"fuel or lit", 1, `fuel is a text; "or" takes a condition; write a comparison, such as a < b`},
		{"portions > before", 10, `portions is a list; ">" compares one number; write min(portions), max(portions) or last(portions)`},
		{"start < bath", 7, `bath is a series; "<" compares one number; write min(bath), max(bath) or last(bath)`},
		{"lit == (before > after)", 5, `lit is a yes or no already; "==" compares numbers; write and, or, not`},
		{`before == "ester"`, 8, `before is a number and "ester" is a text; they cannot be compared`},
		{`fuel < "ester"`, 6, `fuel is a text; "<" compares numbers; write == or !=`},
		{`fuel == "esther"`, 9, `fuel is never "esther": it is one of ethanol, ester; write "ester"`},
		{`"diesel" != fuel`, 1, `fuel is never "diesel": it is one of ethanol, ester`},
		{"fuel == ester", 9, `ester is a text of fuel and stands in quotes; write "ester"`},

		{"factor ^ before", 8, "the exponent before is in g; an exponent is a bare number"},
		{"before ^ factor", 8, "before is in g, so its exponent is a whole number that is written out; found factor; write a whole number from -9 to 9"},
		{"before ^ 0.5", 8, "before is in g, so its exponent is a whole number that is written out; found 0.5; write sqrt(before)"},
		{"before ^ 12", 8, "before is in g, so its exponent is a whole number that is written out; found 12; write a whole number from -9 to 9"},
		{"start ^ 2", 7, "start ^ 2: a temperature on a scale with its own zero has no power: take a difference first"},

		{"sqrt(before)", 1, "sqrt(before): the square root of g is no unit"},
		{"ln(before)", 4, "before is in g; ln takes x as a bare number"},
		{"abs(start)", 1, "abs(start): a temperature has no magnitude: take a difference first"},
		{"sum(bath)", 1, "sum(bath): temperatures cannot be added up: take the mean"},
		{"mean(before, time)", 14, "before is in g and time is in min; mean needs units that fit"},
		{"mean(before, portions)", 14, "portions is a list; mean takes one list or several numbers"},
		{"max(fuel)", 5, "fuel is a text; max takes a list for x"},
		{"nth(portions, time)", 15, "time is in min; nth takes n as a bare number"},
		{"single(portions)", 8, "portions is a list; single takes one number for x; write mean(portions), first(portions) or last(portions)"},
		{"heat(water, end)", 13, "end is in Cel; heat takes dT in K; write a difference of two temperatures"},
		{"heat(5, rise)", 6, `5 is a bare number; heat takes m in g; write a given with the value "5 g" and its name here`},
		{"heat(water, time)", 13, "time is in min; heat takes dT in K"},
		{"heat(water, fuel)", 13, "fuel is a text; heat takes a number for dT"},
		{"span(portions)", 6, "portions is a list; span takes a series for readings"},
		{"letters(before)", 9, "before is a number; letters takes a text for what"},
		{"weight(rapseed)", 8, "rapseed is no row that weight knows; write rapeseed"},
		{`weight("rapseed")`, 8, "rapseed is no row that weight knows; write rapeseed"},
		{"weight(before)", 8, "before is a number; weight takes the name of a table row for row"},
		{"weight(remark)", 8, "remark may be any text; weight takes the name of a table row for row"},
		{"weight(fuel)", 8, `fuel may be "ethanol", which is no row that weight knows; write one of rapeseed, coconut, water`},
		{"weight(water, rise)", 15, "rise is in K; weight takes theta in Cel; write a temperature, not an interval"},

		{"if(before, 1, 2)", 4, `before is a number; "if" takes a condition; write a comparison, such as a < b`},
		{"if(lit, before, time)", 1, "if(lit, before, time): one outcome is in g, the other is in min"},
		{"if(lit, before, portions)", 1, "if(lit, before, portions): one outcome is a number, the other a list"},
		{"if(lit, start, rise)", 1, "if(lit, start, rise): one outcome is in Cel, the other is in K"},
		{"mean(across(before))", 6, `across(before) looks at every vessel; it is only for a result with of = "run"`},
	}
	for _, tt := range tests {
		_, _, err := calculate(tt.text, vessel(t), vessel(t))
		var s *SyntaxError
		if !errors.As(err, &s) || err.Error() != tt.want || s.Col != tt.col {
			t.Errorf("%s: error %q at %v, want %q at %d", tt.text, err, s, tt.want, tt.col)
		}
	}
}

func TestCheckErrorsOfARun(t *testing.T) {
	tests := []struct {
		text string
		col  int
		want string
	}{
		{"across(enrgy)", 8, "enrgy is no given, amount, reading or result; write energy"},
		{"across(curve)", 8, "curve is a list in each vessel; across takes one number of each; write mean(curve) or last(curve)"},
		{"across(fuel)", 8, `fuel is a text; "across" takes numbers`},
		{"across(energy, energy)", 16, `energy is a number; "across" takes a condition; write a comparison, such as a < b`},
		{"across(across(energy))", 8, `across(energy) looks at every vessel; it is only for a result with of = "run"`},
		{`across(energy, fuel == "estr")`, 24, `fuel is never "estr": it is one of ethanol, ester; write "ester"`},
		{"energy", 1, "energy is no given, amount, reading or result"},
	}
	for _, tt := range tests {
		_, _, err := calculate(tt.text, run(t), run(t))
		var s *SyntaxError
		if !errors.As(err, &s) || err.Error() != tt.want || s.Col != tt.col {
			t.Errorf("%s: error %q at %v, want %q at %d", tt.text, err, s, tt.want, tt.col)
		}
	}
}

func TestCheckTypes(t *testing.T) {
	tests := []struct {
		text, unit string
		kind       Kind
	}{
		{"before - after", "g", Number}, {"end - start", "K", Number}, {"start + rise", "Cel", Number}, {"water * rise / time", "K.g/min", Number},
		{"portions * shares", "g", List}, {"bath - start", "K", List}, {"bath", "Cel", Series}, {"mean(bath)", "Cel", Number}, {"sd(bath)", "K", Number},
		{"max(start, end)", "Cel", Number}, {"count(bath)", "1", Number}, {"before < after", "1", Truth}, {"fuel", "1", Text}, {"sqrt(before^2)", "g", Number},
		{"before^-2", "1/g2", Number}, {"share^0.5", "1", Number}, {"heat(water, rise)", "kJ", Number}, {"heat(portions, rise)", "kJ", List},
		{"span(bath)", "min", Number}, {"if(lit, before, milli)", "g", Number}, {"if(lit, bath, bath)", "Cel", Series}, {"-portions", "g", List},
		{"if(lit, bath, mean(bath) + (bath - bath))", "Cel", List},
	}
	for _, tt := range tests {
		f, err := Parse(tt.text)
		if err != nil {
			t.Fatal(err)
		}
		typ, err := f.Check(vessel(t), functions())
		if err != nil || typ.Kind != tt.kind || typ.Unit.String() != tt.unit {
			t.Errorf("%s is a %s in %s, %v, want a %s in %s", tt.text, typ.Kind, typ.Unit, err, tt.kind, tt.unit)
		}
	}
}
