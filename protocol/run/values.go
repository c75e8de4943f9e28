package run

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol"
)

var (
	minutes = quantity.MustUnit("min")
	seconds = quantity.MustUnit("s")
)

// Values gives the names of one vessel to formulas and texts: givens, amounts, readings and results. It sees the state
// as it is when asked and keeps what it has worked out, so make a new one after an event.
func (s *State) Values(label string) *Values {
	return &Values{s: s, v: s.Vessel(label), known: map[string]formula.Value{}, busy: map[string]bool{}}
}

// Values implements formula.Values and protocol.Shower for one vessel.
type Values struct {
	s     *State
	v     *Vessel
	extra *Taken // a reading that is about to be taken
	// instead holds values that are about to supersede those of an event.
	instead map[int]parsed
	known   map[string]formula.Value
	busy    map[string]bool
}

// Value returns what a name holds; *formula.MissingError when it holds nothing yet.
func (x *Values) Value(name string) (formula.Value, error) {
	if val, ok := x.known[name]; ok {
		return val, nil
	}
	val, err := x.find(name)
	if err == nil {
		x.known[name] = val
	}
	return val, err
}

func (x *Values) find(name string) (formula.Value, error) {
	if x.v == nil {
		return formula.Value{}, &formula.MissingError{Name: name}
	}
	if r := x.s.Protocol.Reading(name); r != nil {
		return x.reading(r)
	}
	if r := x.s.Protocol.Result(name); r != nil {
		if x.busy[name] {
			return formula.Value{}, &quantity.RangeError{Msg: name + " needs itself"}
		}
		x.busy[name] = true
		defer delete(x.busy, name)
		return r.Formula.EvalIn(x, r.Unit)
	}
	return x.v.Sheet.Value(name)
}

// Result works out a result for a vessel, or for the run when it is of the run; the value is in the result's unit. The
// error is a *formula.MissingError when a reading is wanting, otherwise it says why there is no value.
func (s *State) Result(label string, r *protocol.Result) (formula.Value, error) {
	if r.OfRun {
		return r.Formula.EvalIn(s.RunValues(), r.Unit)
	}
	return s.Values(label).Value(r.ID)
}

// maxPoints bounds a series that is worked out: far more than hands can type, and few enough for any fit.
const maxPoints = 20_000

// points counts the entries of a reading, without looking at them.
func (x *Values) points(r *protocol.Reading) (n int) {
	for _, v := range x.s.Vessels {
		if v != x.v && !r.Shared {
			continue
		}
		for i := range v.Taken {
			if v.Taken[i].Reading == r {
				n++
			}
		}
	}
	return n
}

// reading returns a reading as formulas see it.
func (x *Values) reading(r *protocol.Reading) (formula.Value, error) {
	if n := x.points(r); n > maxPoints {
		return formula.Value{}, &quantity.RangeError{Msg: fmt.Sprintf("%s has %d points: at most %d can be worked out", r.ID, n, maxPoints)}
	}
	taken := x.takenOf(r)
	missing := &formula.MissingError{Name: r.ID}
	if len(taken) == 0 {
		return formula.Value{}, missing
	}
	switch {
	case r.Kind == protocol.Series:
		slices.SortStableFunc(taken, func(a, b Taken) int { return cmp.Compare(a.At.Elapsed, b.At.Elapsed) }) // some were entered later
		val := formula.Value{Kind: formula.Series}
		for i, t := range taken {
			val.List = append(val.List, r.Instrument.Measure(t.Value, r.Unit, x.source(r, fmt.Sprintf("%s.%d", r.ID, i+1))))
			val.Times = append(val.Times, quantity.Exact(t.At.Elapsed.Minutes(), minutes))
		}
		return val, nil
	case r.IsList():
		return x.list(r, taken)
	}
	return x.single(r, taken[len(taken)-1])
}

// list returns one value for each portion; a portion that was not taken leaves the whole list without a value, lest a
// sum be short without telling.
func (x *Values) list(r *protocol.Reading, taken []Taken) (formula.Value, error) {
	byPortion := make([]*Taken, r.Stage.Portions)
	for i := range taken {
		if p := taken[i].Portion; p >= 1 && p <= len(byPortion) {
			byPortion[p-1] = &taken[i]
		}
	}
	val := formula.Value{Kind: formula.List}
	for i, t := range byPortion {
		if t == nil {
			return val, &formula.MissingError{Name: fmt.Sprintf("%s.%d", r.ID, i+1)}
		}
		val.List = append(val.List, r.Instrument.MeasureSum(x.parts(t), unitOf(r), x.source(r, fmt.Sprintf("%s.%d", r.ID, i+1))))
	}
	return val, nil
}

// source names a reading's own errors. With several vessels each has its own: two weighings of the same name in two
// vessels share nothing but their instrument. A shared reading is one and the same for all.
func (x *Values) source(r *protocol.Reading, value string) string {
	if len(x.s.Vessels) == 1 || r.Shared {
		return value
	}
	return value + "@" + x.v.Label
}

func unitOf(r *protocol.Reading) quantity.Unit {
	if r.Kind == protocol.Stopwatch {
		return seconds
	}
	return r.Unit
}

func (x *Values) single(r *protocol.Reading, t Taken) (formula.Value, error) {
	switch r.Kind {
	case protocol.Mark:
		return formula.Of(quantity.Exact(t.At.Elapsed.Minutes(), minutes)), nil
	case protocol.Tick:
		return formula.Value{Kind: formula.Truth, Truth: true}, nil
	case protocol.Choice, protocol.FreeText:
		return formula.Value{Kind: formula.Text, Text: t.Text}, nil
	}
	return formula.Of(r.Instrument.MeasureSum(x.parts(&t), unitOf(r), x.source(r, r.ID))), nil
}

// mostFills bounds the fills of one pour: more are a slip, and one reading then.
const mostFills = 1000

// parts returns the readings that a value is the sum of: one for each pour, and of each pour one for each fill.
func (x *Values) parts(t *Taken) (out []float64) {
	first := t.Value
	for _, more := range t.Again {
		first -= more
	}
	pours := append([]float64{first}, t.Again...)
	if first <= 0 {
		pours = []float64{t.Value} // corrected to less than was given again
	}
	for _, pour := range pours {
		out = append(out, fills(pour, x.fillOf(t))...)
	}
	return out
}

// fillOf returns what one fill holds, in the reading's unit; 0 where it is not told.
func (x *Values) fillOf(t *Taken) float64 {
	if t.Reading.Fill == nil {
		return 0
	}
	q, err := t.Reading.Fill.Value(x, t.Portion)
	if err == nil {
		q, err = q.To(t.Reading.Unit)
	}
	if err != nil {
		return 0
	}
	return q.Value
}

// fills breaks a pour into full fills and what is left.
func fills(pour, one float64) (out []float64) {
	const dust = 1e-9
	if !(one > 0) || pour/one > mostFills {
		return []float64{pour}
	}
	for pour > one*(1+dust) {
		out = append(out, one)
		pour -= one
	}
	return append(out, pour)
}

// newestOf returns the newest value of a reading of this vessel, as it stands in the record; nil where there is none.
func (x *Values) newestOf(r *protocol.Reading) *Taken {
	for i := len(x.v.Taken) - 1; i >= 0; i-- {
		if t := &x.v.Taken[i]; t.Reading == r && !t.NotTaken {
			return t
		}
	}
	return nil
}

// takenOf returns the values of a reading that were taken, in order; those left out do not count. A shared reading is
// taken by whichever vessel was at hand.
func (x *Values) takenOf(r *protocol.Reading) []Taken {
	vessels := []*Vessel{x.v}
	if r.Shared {
		vessels = x.s.Vessels
	}
	var out []Taken
	for _, v := range vessels {
		for _, t := range v.Taken {
			if t.Reading != r {
				continue
			}
			if p, ok := x.instead[t.Event]; ok {
				t.Value, t.Text, t.NotTaken = p.value, p.text, false
				if r.Kind == protocol.Mark {
					t.At.Elapsed = time.Duration(p.value * float64(time.Second))
				}
			}
			if !t.NotTaken {
				out = append(out, t)
			}
		}
	}
	if len(vessels) > 1 {
		slices.SortFunc(out, func(a, b Taken) int { return a.Event - b.Event })
	}
	if x.extra != nil && x.extra.Reading == r {
		out = append(out, *x.extra)
	}
	return out
}

// Show tells how a name reads in a text: an amount to the step it can be measured out in, a reading as it was typed.
func (x *Values) Show(name string, portion int) (string, bool) {
	if x.v == nil {
		return "", false
	}
	r := x.s.Protocol.Reading(name)
	if r == nil {
		if res := x.s.Protocol.Result(name); res != nil {
			val, err := x.Value(name)
			if err != nil || val.Kind != formula.Number {
				return "", false
			}
			return val.Number.Text(), true
		}
		return x.v.Sheet.Show(name, portion)
	}
	taken := x.takenOf(r)
	for i := len(taken) - 1; i >= 0; i-- {
		if t := taken[i]; portion == 0 || !r.IsList() || t.Portion == portion {
			return t.Shown(), true
		}
	}
	return "", false
}

// Title names the reading, with its portion where it has a value for each.
func (t Taken) Title() string {
	if t.Reading.IsList() {
		return fmt.Sprintf("%s, portion %d", t.Reading.Title, t.Portion)
	}
	return t.Reading.Title
}

// Shown tells a reading with its unit, as the record has it: "142.86 g", "12:40" for a mark, "cloudy".
func (t Taken) Shown() string {
	switch r := t.Reading; {
	case t.NotTaken:
		return "not taken"
	case r.Kind == protocol.Mark:
		return Hms(t.At.Elapsed)
	case r.Kind == protocol.Tick:
		return "done"
	case r.Kind == protocol.Stopwatch:
		return stopwatchText(t.Value)
	case r.Kind == protocol.Choice || r.Kind == protocol.FreeText:
		return t.Text
	default:
		return strings.TrimRight(Figure(t.Value, r)+" "+r.Unit.Shown(), " ")
	}
}

// ShownAs tells what a reading was before a correction, as Shown does.
func (t Taken) ShownAs(was Correction) string {
	t.NotTaken, t.Value, t.Text, t.Typed = was.NotTaken, was.Value, was.Text, was.Typed
	if t.Reading.Kind == protocol.Mark {
		t.At.Elapsed = time.Duration(was.Value * float64(time.Second))
	}
	return t.Shown()
}

// Figure shows a value with the decimals of its instrument's step, and never fewer than it was typed with.
func Figure(value float64, r *protocol.Reading) string {
	text := quantity.Plain(value, 12)
	want, ok := stepPlaces(r)
	if !ok || strings.ContainsAny(text, "e") {
		return text
	}
	if have := places(text); have < want {
		if have == 0 {
			text += "."
		}
		text += strings.Repeat("0", want-have)
	}
	return text
}

// step returns the instrument's smallest step in the reading's unit; ok is false where none is declared.
func step(r *protocol.Reading) (float64, bool) {
	if r.Instrument == nil || r.Instrument.Step <= 0 {
		return 0, false
	}
	q, err := quantity.Exact(r.Instrument.Step, r.Instrument.Unit.Interval()).To(r.Unit.Interval())
	return q.Value, err == nil
}

// stepPlaces returns the decimals of that step.
func stepPlaces(r *protocol.Reading) (int, bool) {
	s, ok := step(r)
	return places(quantity.Plain(s, 6)), ok
}

func places(decimal string) int {
	if i := strings.IndexByte(decimal, '.'); i >= 0 {
		return len(decimal) - i - 1
	}
	return 0
}

func stopwatchText(s float64) string {
	if s < 60 {
		return quantity.Plain(s, 6) + " s"
	}
	d := time.Duration(s * float64(time.Second)).Round(time.Millisecond)
	return Hms(d) + strings.TrimPrefix(quantity.Plain((d%time.Second).Seconds(), 3), "0") + " min"
}

// truth evaluates a condition; known is false while a name of it is missing or it has no value.
func truth(f *formula.Formula, values formula.Values) (holds, known bool) {
	val, err := f.Eval(values)
	if err != nil || val.Kind != formula.Truth {
		return false, false
	}
	return val.Truth, true
}

// Expected tells what a reading is expected to be, in words: "10.5 to 11.5 mL"; "" when nothing is.
func Expected(r *protocol.Reading, portion int, values formula.Values) string {
	return boundsOf(r, portion, values).words(r)
}

// limit shows a limit with no more decimals than the instrument shows.
func limit(q quantity.Quantity, r *protocol.Reading) string {
	if _, ok := stepPlaces(r); !ok {
		return quantity.Plain(q.Value, 5)
	}
	return quantity.Plain(toStep(q.Value, r), 12)
}

// toStep rounds a value to the decimals that its instrument shows; one without a step leaves it as it is.
func toStep(value float64, r *protocol.Reading) float64 {
	d, ok := stepPlaces(r)
	if !ok {
		return value
	}
	p := math.Pow10(d)
	return math.Round(value*p) / p
}

func bound(b *protocol.Bound, r *protocol.Reading, portion int, values formula.Values) (quantity.Quantity, bool) {
	if b == nil {
		return quantity.Quantity{}, false
	}
	q, err := b.Value(values, portion)
	if err == nil {
		q, err = q.To(unitOf(r))
	}
	return q, err == nil
}
