package formula

import (
	"math"
	"testing"

	"example.org/meniscus/calc/quantity"
)

func TestSharedWorkIsDoneOnce(t *testing.T) {
	done := 0
	work := &Work{Name: "squares", Args: 1, Do: func(a []Value) any {
		done++
		return a[0].Number.Value * a[0].Number.Value
	}}
	x := []Param{{Name: "x", Kind: Number, Any: true}, {Name: "y", Kind: Number, Any: true, Optional: true}}
	square := &Function{Name: "square", Params: x[:1], Work: work,
		Finish: func(done any, _ []Value) (Value, error) { return Of(quantity.Ratio(done.(float64))), nil }}
	more := &Function{Name: "more", Params: x, Work: work,
		Finish: func(done any, a []Value) (Value, error) {
			return Of(quantity.Ratio(done.(float64) + a[1].Number.Value)), nil
		}}
	square.Call, more.Call = square.Whole, more.Whole
	functions := Functions{"square": square, "more": more}
	bench := vessel(t)
	tests := []struct {
		text  string
		want  float64
		times int // how often the work is done in a trial
	}{
		{"square(before) + more(before, 1)", 2*142.86*142.86 + 1, 1},
		{"square(before) + square(after)", 142.86*142.86 + 141.65*141.65, 2},
		{"square(2 * before) + more(2 * before, 0)", 2 * 4 * 142.86 * 142.86, 1},
	}
	for _, tt := range tests {
		f, err := Parse(tt.text)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.Check(bench, functions); err != nil {
			t.Fatal(err)
		}
		plain, err := f.Eval(bench)
		if err != nil {
			t.Fatal(err)
		}
		done = 0
		trial := 1
		sheet := sheetOf(exact{bench}, f.Names(), &trial, func([]float64) {})
		sheet.Formula("y", f, plain.Number.Unit)
		for ; trial < 3; trial++ {
			got := sheet.Cell("y").At(0)
			if !near(got, plain.Number.Value) || math.Abs(got-tt.want) > 1e-9 || done != trial*tt.times {
				t.Errorf("%s: %g on a sheet, %g without, want %g; the work was done %d times in %d trials, want %d in each",
					tt.text, got, plain.Number.Value, tt.want, done, trial, tt.times)
			}
		}
	}
}
