package quantity

import "testing"

// What is made of a value of a trial is the same number as ever, and has no effects.
func TestDrawnHasNoEffects(t *testing.T) {
	table := Exact(2, One).With(Source{Name: "table:x"}, 0.1)
	keep := func(q Quantity, err error) Quantity {
		if err != nil {
			t.Fatal(err)
		}
		return q
	}
	made := func(x Quantity) []Quantity {
		observed := Observe([]Quantity{x, table}, []Outcome{{Value: 3, By: []float64{1, 1}}}, Scatter{Name: "fit", S: 1, DoF: 3})
		return []Quantity{
			keep(Add(x, table)), keep(Sub(table, x)), keep(Mul(x, table)), keep(Div(table, x)), keep(Raise(x, table)), keep(Neg(x)), keep(x.To(MustUnit("%"))),
			x.With(Source{Name: "y"}, 1), Combine(7, One, []Quantity{table, x}, []float64{1, 1}), observed[0],
			Scatter{Name: "fit", S: 1, DoF: 3}.AsOneOf(x), Scatter{Name: "fit", S: 1, DoF: 3}.Deviation(x, []Quantity{x, table}, 1),
		}
	}
	want := made(Exact(3, One))
	for i, q := range made(Quantity{Value: 3, Drawn: true}) {
		if !q.Drawn || q.By != nil || q.Alone != nil || q.Value != want[i].Value || q.Unit != want[i].Unit {
			t.Errorf("%d: %+v, want a bare %g %s", i, q, want[i].Value, want[i].Unit)
		}
	}
}
