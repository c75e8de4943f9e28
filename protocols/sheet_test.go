package protocols_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocols"
)

// moved holds what formulas ask of a vessel, or of a whole run, moved a little and exact; results are worked out of it.
type moved struct {
	p       *protocol.Protocol
	inputs  map[string]formula.Value
	vessels []formula.Values
}

func (m *moved) Value(name string) (formula.Value, error) {
	if v, ok := m.inputs[name]; ok {
		return v, nil
	}
	if r := m.p.Result(name); r != nil {
		return r.Formula.EvalIn(m, r.Unit)
	}
	return formula.Value{}, &formula.MissingError{Name: name}
}

func (m *moved) Vessels() []formula.Values { return m.vessels }

// move reads values and moves each number by a part in ten thousand or so; it puts the same on a sheet.
func move(p *protocol.Protocol, values formula.Values, trial *int, r *rand.Rand) (*moved, *formula.Sheet) {
	m, sheet := &moved{p: p, inputs: map[string]formula.Value{}}, formula.NewSheet(trial)
	for _, result := range p.Results {
		sheet.Formula(result.ID, result.Formula, result.Unit)
		for _, name := range result.Formula.Names() {
			if p.Result(name) != nil {
				continue
			}
			v, err := values.Value(name)
			one := func(q quantity.Quantity) quantity.Quantity {
				return quantity.Exact(q.Value*(1+1e-4*r.NormFloat64()), q.Unit)
			}
			at := v
			at.Number, at.List = one(v.Number), slices.Clone(v.List)
			for i, q := range v.List {
				at.List[i] = one(q)
			}
			if err == nil {
				m.inputs[name] = at
			}
			numbers := at.List
			if v.Kind == formula.Number {
				numbers = []quantity.Quantity{at.Number}
			}
			var shift func(x []float64)
			if len(numbers) > 0 {
				shift = func(x []float64) {
					for i, q := range numbers {
						x[i] = q.Value
					}
				}
			}
			sheet.Input(name, v, err, shift)
		}
	}
	return m, sheet
}

// What trials work out of plain numbers is what the rules of quantities give, for every result of every procedure.
func TestSheetsGiveWhatFormulasGive(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	compared := 0
	for _, id := range protocols.IDs() {
		s, err := play(t, id, nil)
		if err != nil {
			t.Fatal(err)
		}
		for range 5 {
			compared += compareOnSheets(t, s, r)
		}
	}
	if compared < 550 {
		t.Errorf("%d values were compared, want 550 or more", compared)
	}
}

func compareOnSheets(t *testing.T, s *run.State, r *rand.Rand) (compared int) {
	t.Helper()
	trial := 1
	whole, sheet := move(s.Protocol, s.RunValues(), &trial, r)
	for _, v := range s.Vessels {
		m, own := move(s.Protocol, s.Values(v.Label), &trial, r)
		whole.vessels, sheet.Vessels = append(whole.vessels, m), append(sheet.Vessels, own)
		compared += compareResults(t, s.Protocol, false, m, own)
	}
	return compared + compareResults(t, s.Protocol, true, whole, sheet)
}

func compareResults(t *testing.T, p *protocol.Protocol, ofRun bool, m *moved, sheet *formula.Sheet) (compared int) {
	t.Helper()
	for _, result := range p.Results {
		if result.OfRun != ofRun {
			continue
		}
		v, err := m.Value(result.ID)
		want := append([]quantity.Quantity{v.Number}, v.List...)
		if v.Kind != formula.Number {
			want = v.List
		}
		for i, q := range want {
			got := sheet.Cell(result.ID).At(i)
			if math.IsNaN(got) != (err != nil) || math.Abs(got-q.Value) > 1e-12*math.Abs(q.Value) {
				t.Errorf("%s, %s: %v on a sheet, %v by the rules of quantities, %v", p.ID, result.ID, got, q.Value, err)
			}
			if err == nil {
				compared++
			}
		}
	}
	return compared
}
