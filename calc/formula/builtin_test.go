package formula

import (
	"math"
	"slices"
	"testing"

	"example.org/meniscus/calc/quantity"
)

// Every page of a plain function is complete, and its example comes out as printed.
func TestBuiltinPages(t *testing.T) {
	functions := Builtins()
	for _, name := range []string{"sqrt", "exp", "ln", "log10", "abs", "uncertainty", "min", "max", "sum", "mean", "sd", "count", "first", "last", "nth", "if", "across"} {
		fn := functions[name]
		if fn == nil {
			t.Errorf("%s is missing", name)
			continue
		}
		if fn.Name != name || fn.Title == "" || fn.Says == "" || fn.Formula == "" || fn.Valid == "" || fn.Source == "" || len(fn.Params) == 0 {
			t.Errorf("the page of %s is not complete: %+v", name, fn)
		}
		if name == "across" { // has a value only in a run: TestAcross
			continue
		}
		v, err := fn.Example.Eval(functions)
		if err != nil || v.Number.Unit.String() != fn.Example.Unit || math.Abs(v.Number.Value-fn.Example.Want) > fn.Example.Within {
			t.Errorf("%s = %s, %v, want %.16g %s (%s)", fn.Example.Call, shown(v), err, fn.Example.Want, fn.Example.Unit, fn.Example.Source)
		}
	}
	delete(functions, "mean")
	if Builtins()["mean"] == nil {
		t.Error("a set that is changed changes the next one")
	}
}

func TestSignature(t *testing.T) {
	all := functions()
	got := []string{all["nth"].Signature(), all["mean"].Signature(), all["weight"].Signature(), all["across"].Signature()}
	if want := []string{"nth(x, n)", "mean(x, …)", "weight(row, [theta])", "across(x, [condition])"}; !slices.Equal(got, want) {
		t.Errorf("signatures %v, want %v", got, want)
	}
}

func TestReadValue(t *testing.T) {
	for text, want := range map[string]string{
		"2.19 mL": "2.19 mL", "1 g; 2 g": "[1 g, 2 g]", "0 min 14.8 Cel; 0.5 min 15.8 Cel": "[14.8 Cel, 15.8 Cel]", "0 min 5 Cel": "[5 Cel]", "7": "7", "rapeseed": "rapeseed", "-3 Cel": "-3 Cel",
	} {
		if v, err := readValue(text); err != nil || shown(v) != want {
			t.Errorf("readValue(%q) = %s, %v, want %s", text, shown(v), err, want)
		}
	}
	for _, text := range []string{"", "1 g; ", "5 furlong", "0 min 5 q"} {
		if v, err := readValue(text); err == nil {
			t.Errorf("readValue(%q) = %s, want an error", text, shown(v))
		}
	}
	x := Example{Call: "mean(x)", Given: map[string]string{"x": "5 q"}}
	const want = `given x: the unit "q" is not a UCUM code that is known here: see the list of units`
	if _, err := x.Eval(Builtins()); err == nil || err.Error() != want {
		t.Errorf("a wrong given: %v, want %s", err, want)
	}
}

func TestNearest(t *testing.T) {
	names := []string{"burner_before", "burner_after", "oil", "oil_mass"}
	for word, want := range map[string]string{"burner_befor": "burner_before", "Oil": "oil", "oli": "oil", "oilmass": "oil_mass", "xyz": "", "burnerafter": "burner_after"} {
		if got := nearest(word, names); got != want {
			t.Errorf("nearest(%s) = %q, want %q", word, got, want)
		}
	}
}

func TestUncertaintyIsWhatIsPrinted(t *testing.T) {
	x := quantity.Exact(20, quantity.MustUnit("Cel")).With(quantity.Source{Name: "u", DoF: 4}, 0.5)
	v, err := Builtins()["uncertainty"].Call([]Value{Of(x)})
	if err != nil {
		t.Fatal(err)
	}
	const want = 2.776 * 0.5 // Student's t for 4 degrees of freedom, any table
	if got := v.Number; math.Abs(got.Value-want) > 5e-4 || got.Unit.String() != "K" || got.U() != 0 {
		t.Errorf("uncertainty(20 °C, u = 0.5 K, 4 degrees of freedom) = %g %s, want %g K, exact", got.Value, got.Unit, want)
	}
}
