package formula

import (
	"strings"
	"testing"
)

// TestConditions: what "and" joins comes apart, and each part keeps its value; "or" and the rest stay whole.
func TestConditions(t *testing.T) {
	tests := []struct{ text, signs, values string }{
		{"count(portions) >= 4 and last(portions) > before and lit", ">= > -", "no no yes"},
		{"(1 < 2 and 2 < 3) and 3 < 2", "< < <", "yes yes no"},
		{"lit or 1 > 2", "or", "yes"},
		{"not lit", "-", "no"},
	}
	for _, tt := range tests {
		f, err := Parse(tt.text)
		if err == nil {
			_, err = f.Check(vessel(t), functions())
		}
		if err != nil {
			t.Fatalf("%s: %v", tt.text, err)
		}
		var signs, values []string
		for _, c := range f.Conditions() {
			sign, _ := c.Split()
			if sign == "" {
				sign = "-"
			}
			v, err := c.Eval(vessel(t))
			if err != nil {
				t.Errorf("%s: %v", tt.text, err)
			}
			signs, values = append(signs, sign), append(values, shown(v))
		}
		if s, v := strings.Join(signs, " "), strings.Join(values, " "); s != tt.signs || v != tt.values {
			t.Errorf("%s: %s with %s, want %s with %s", tt.text, s, v, tt.signs, tt.values)
		}
	}
}

// TestSplitNames: a part names what stands in it alone.
func TestSplitNames(t *testing.T) {
	f, err := Parse("last(portions) - before >= milli")
	if err == nil {
		_, err = f.Check(vessel(t), functions())
	}
	if err != nil {
		t.Fatal(err)
	}
	_, sides := f.Split()
	sign, parts := sides[0].Split()
	if sign != "-" || strings.Join(sides[0].Names(), " ") != "portions before" || strings.Join(parts[0].Names(), " ") != "portions" {
		t.Errorf("%q of %v and %v", sign, sides[0].Names(), parts[0].Names())
	}
	if name, ok := parts[1].Name(); !ok || name != "before" {
		t.Errorf("the name is %q, %v", name, ok)
	}
	if _, ok := parts[0].Name(); ok {
		t.Error("a call is told for a name")
	}
}
