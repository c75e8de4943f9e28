package formula

import (
	"fmt"
	"math"
	"testing"

	"example.org/meniscus/calc/quantity"
)

// exact is a Values without uncertainties.
type exact struct{ Values }

func (e exact) Value(name string) (Value, error) {
	v, err := e.Values.Value(name)
	v.Number = quantity.Exact(v.Number.Value, v.Number.Unit)
	list := make([]quantity.Quantity, len(v.List))
	for i, q := range v.List {
		list[i] = quantity.Exact(q.Value, q.Unit)
	}
	v.List = list
	return v, err
}

func (e exact) Vessels() []Values {
	run, ok := e.Values.(VesselValues)
	if !ok {
		return nil
	}
	var out []Values
	for _, v := range run.Vessels() {
		out = append(out, exact{v})
	}
	return out
}

// sheetOf puts names on a sheet, as values that no trial changes or as such that any trial may.
func sheetOf(values exact, names []string, trial *int, shift func([]float64)) *Sheet {
	s := NewSheet(trial)
	for _, n := range names {
		v, err := values.Value(n)
		s.Input(n, v, err, shift)
	}
	for _, v := range values.Vessels() {
		s.Vessels = append(s.Vessels, sheetOf(v.(exact), names, trial, shift))
	}
	return s
}

// A sheetError says how a formula on a sheet differs from Eval.
type sheetError struct{ msg string }

func (e *sheetError) Error() string { return "on a sheet: " + e.msg }

// sameOnSheet returns a sheetError where a formula on a sheet differs from Eval; it may not.
func sameOnSheet(f *Formula, t Type, values Values) error {
	want, wantErr := f.Eval(exact{values})
	for _, shift := range []func([]float64){nil, func([]float64) {}} {
		trial := 1
		s := sheetOf(exact{values}, f.Names(), &trial, shift)
		p := compile(f.plan, s)
		if p.kind != t.Kind || t.Kind.numeric() && p.unit != t.Unit {
			return &sheetError{fmt.Sprintf("a %s in %s, not a %s in %s", p.kind, p.unit, t.Kind, t.Unit)}
		}
		for ; trial < 3; trial++ {
			if err := p.same(want, wantErr); err != nil {
				return &sheetError{fmt.Sprintf("trial %d: %v", trial, err)}
			}
		}
	}
	return nil
}

// same compares what p yields.
func (p compiled) same(want Value, wantErr error) error {
	switch p.kind {
	case Text:
		got := p.text()
		if (got == nil) != (wantErr != nil) || got != nil && got.Text != want.Text {
			return fmt.Errorf("%v, not %q, %v", got, want.Text, wantErr)
		}
		return nil
	case Number, Truth:
		if got := p.number(); math.IsNaN(got) != (wantErr != nil) || wantErr == nil && !near(got, want.numbers()[0]) {
			return fmt.Errorf("%v, not %v, %v", got, want.numbers(), wantErr)
		}
		return nil
	}
	got := p.list()
	bad := (got == nil) != (wantErr != nil) || wantErr == nil && len(got) != len(want.List)
	for i := 0; !bad && i < len(got); i++ {
		bad = !near(got[i], want.List[i].Value)
	}
	if bad {
		return fmt.Errorf("%v, not %s, %v", got, shown(want), wantErr)
	}
	return nil
}

func near(x, y float64) bool { return math.Abs(x-y) <= 1e-12*math.Abs(y) }

// A cell is worked out once in a trial, follows its inputs into the next, and knows what never changes.
func TestSheetFollowsItsInputs(t *testing.T) {
	b := vessel(t)
	formula := func(text string) *Formula {
		f, _, err := checked(text, b)
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	trial, asked := 1, 0
	s := NewSheet(&trial)
	s.Input("before", b.values["before"], nil, func(x []float64) {
		asked++
		x[0] += float64(trial)
	})
	s.Input("after", b.values["after"], nil, nil)
	s.Input("portions", b.values["portions"], nil, func(x []float64) { x[1] *= float64(trial) })
	mg := quantity.MustUnit("mg")
	b.types["net"], b.types["loop"] = numberIn("mg"), numberIn("g")
	s.Formula("net", formula("before - after"), mg)
	s.Formula("twice", formula("net + net"), mg)
	s.Formula("doubled", formula("portions * 2"), mg)
	s.Formula("still", formula("after * 2"), mg)
	s.Formula("loop", formula("loop + after"), mg)
	for ; trial < 4; trial++ {
		asked = 0
		n := float64(trial)
		for _, tt := range []struct {
			name    string
			element int
			want    float64
		}{{"net", 0, 1210 + 1000*n}, {"twice", 0, 2420 + 2000*n}, {"doubled", 1, 4000 * n}, {"still", 0, 283300}, {"doubled", 3, math.NaN()}, {"loop", 0, math.NaN()}} {
			got := s.Cell(tt.name).At(tt.element)
			if math.IsNaN(got) != math.IsNaN(tt.want) || math.Abs(got-tt.want) > 1e-9*tt.want {
				t.Errorf("trial %d: %s = %g, want %g", trial, tt.name, got, tt.want)
			}
		}
		if asked != 1 {
			t.Errorf("trial %d: a reading was looked at %d times", trial, asked)
		}
	}
	if !s.Cell("still").Fixed() || s.Cell("twice").Fixed() {
		t.Error("what is made of fixed values is fixed, and nothing else")
	}
}
