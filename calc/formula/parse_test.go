package formula

import (
	"errors"
	"slices"
	"strings"
	"testing"
)

func TestSyntaxErrors(t *testing.T) {
	tests := []struct {
		text string
		col  int
		want string
	}{
		{"", 1, "the formula is empty; write a name, a number or a calculation such as after - before"},
		{" \n", 1, "the formula is empty; write a name, a number or a calculation such as after - before"},
		{"a <b< c", 5, `found a second comparison "<"; comparisons make no chain; write a < b and b < c`},
		{"1,5", 2, `found "," after the number 1; write a decimal point`},
		{"x * 5 g", 7, `found "g" after the number 5; a formula holds bare numbers; write a given with the value "5 g" and its name here`},
		{"a = b", 3, `found "=", which is no sign of a formula; write ==`},
		{"a ** b", 3, `found "**", which is no sign of a formula; write ^`},
		{"a && b", 3, `found "&&", which is no sign of a formula; write and`},
		{"!a", 1, `found "!", which is no sign of a formula; write not`},
		{"a − b", 3, `found "−", which is no sign of a formula; write -`},
		{"a · b", 3, `found "·", which is no sign of a formula; write *`},
		{"a ≤ b", 3, `found "≤", which is no sign of a formula; write <=`},
		{"a # b", 3, `found "#", which is no sign of a formula`},
		{"a * 5 %", 7, `found "%"; a formula holds bare numbers; write 0.05 for 5 %`},
		{"fuel == 'ester'", 9, `'ester' is in single quotes; write "ester"`},
		{`fuel == "ester`, 9, `a text begins with " and does not end; write " at its end`},
		{"(a", 1, `"(" is not closed; write ")" where it ends`},
		{"f(a, (b)", 2, `"(" is not closed; write ")" where it ends`},
		{"a)", 2, `found ")" without a "(" before it`},
		{"a b", 3, `found "b" after "a", expected an operator such as + or <, or the end`},
		{"(a)(b)", 4, `found "(" after ")", expected an operator such as + or <, or the end`},
		{"a AND b", 3, `found "AND"; write and`},
		{"ρ + ", 5, `found the end after "+", expected a name, a number or "("`},
		{"a\n  +* b", 6, `found "*" after "+", expected a name, a number or "("`},
		{"f(,)", 3, `found "," after "(", expected a name, a number or "("`},
		{"f(a,)", 5, `found ")" after ",", expected a name, a number or "("`},
		{"()", 2, `found ")" after "(", expected a name, a number or "("`},
		{"or a", 1, `found "or" at the begin, expected a name, a number or "("`},
		{"+a", 1, `found "+" at the begin, expected a name, a number or "("`},
		{"a == not b", 6, `found "not" after "==", where it needs brackets; write (not …)`},
		{"1.2.3", 4, `found ".3" after "1.2", expected an operator such as + or <, or the end`},
		{"2 * 1e999", 5, "the number 1e999 is too large"},
		{"a\xff", 1, "the formula is not UTF-8 text"},
	}
	for _, tt := range tests {
		f, err := Parse(tt.text)
		var s *SyntaxError
		if !errors.As(err, &s) || err.Error() != tt.want || s.Col != tt.col {
			t.Errorf("Parse(%q) = %v, error %v at %v, want %q at %d", tt.text, f, err, s, tt.want, tt.col)
		}
	}
}

// What would drive a recursive parser deep is refused before it begins; just below the bound it is read.
func TestBounds(t *testing.T) {
	deep := map[string]func(n int) string{
		"brackets": func(n int) string { return strings.Repeat("(", n) + "a" + strings.Repeat(")", n) },
		"calls":    func(n int) string { return strings.Repeat("f(", n) + "a" + strings.Repeat(")", n) },
		"minus":    func(n int) string { return strings.Repeat("-", n) + "a" },
		"not":      func(n int) string { return strings.Repeat("not ", n) + "a" },
		"powers":   func(n int) string { return strings.Repeat("a^", n) + "a" },
		"signed":   func(n int) string { return strings.Repeat("a^-", n/2) + "a" },
		"mixed":    func(n int) string { return strings.Repeat("-(", n/2) + "a" + strings.Repeat(")", n/2) },
		"not in brackets": func(n int) string {
			return strings.Repeat("not a < (", n/2) + "a" + strings.Repeat(")", n/2)
		},
	}
	for what, text := range deep {
		if _, err := Parse(text(MaxDepth)); err != nil {
			t.Errorf("%s to the bound: %v", what, err)
		}
		const want = "the formula is nested deeper than 60 levels; write it in parts, as amounts or results of their own"
		if _, err := Parse(text(MaxDepth + 2)); err == nil || err.Error() != want {
			t.Errorf("%s beyond the bound: %v, want %s", what, err, want)
		}
	}
	if _, err := Parse(strings.Repeat("a+", MaxLength/2-1) + "a"); err != nil {
		t.Errorf("a long flat sum: %v", err)
	}
	const want = "the formula has 4001 bytes and may have 4000; write it in parts, as amounts or results of their own"
	if _, err := Parse(strings.Repeat("a", MaxLength+1)); err == nil || err.Error() != want {
		t.Errorf("too long: %v, want %s", err, want)
	}
}

func TestNames(t *testing.T) {
	f, err := Parse(`if(fuel == "ester", weight(rapeseed) + before, before - after) * and_so.on`)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := f.Names(), []string{"fuel", "rapeseed", "before", "after", "and_so.on"}; !slices.Equal(got, want) {
		t.Errorf("Names() before Check = %v, want %v", got, want)
	}
	b := vessel(t).give(t, "and_so.on", "1")
	if _, err := f.Check(b, functions()); err != nil {
		t.Fatal(err)
	}
	if got, want := f.Names(), []string{"fuel", "before", "after", "and_so.on"}; !slices.Equal(got, want) {
		t.Errorf("Names() after Check = %v, want %v", got, want)
	}
	if !strings.HasPrefix(f.String(), "if(fuel") {
		t.Errorf("String() = %s", f)
	}
}
