package protocol

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"sort"
	"strings"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/calc/reference"
)

// A Sheet is a protocol scaled for one vessel: its givens as set, and the amounts that follow. It is immutable and
// gives values to formulas (formula.Values) and texts (Shower).
type Sheet struct {
	Protocol *Protocol
	Givens   []formula.Value // one for each Protocol.Givens
	Amounts  []formula.Value // one for each Protocol.Amounts, rounded; a list where the formula gives one
}

// A GivenError says why a given cannot be set to a text.
type GivenError struct {
	ID   string
	Text string // as typed
	Msg  string // what was found and what is allowed
}

func (e *GivenError) Error() string { return fmt.Sprintf("%s = %q: %s", e.ID, e.Text, e.Msg) }

// Scale sets givens to what was typed (id -> "50 g", "12,5", "rapeseed") and works out the amounts; givens that are not
// set keep the protocol's value. A number keeps the uncertainty that the protocol declares for it. Every given that
// cannot be set is a *GivenError in the error, which joins them in the protocol's order.
func (p *Protocol) Scale(set map[string]string) (*Sheet, error) { return p.ScaleFor("", set) }

// ScaleFor is Scale for the vessel of a label: what its own givens are uncertain by is no other vessel's, and its
// source is given:ID@LABEL.
func (p *Protocol) ScaleFor(vessel string, set map[string]string) (*Sheet, error) {
	s := &Sheet{Protocol: p}
	faults := p.unknownGivens(set)
	for _, g := range p.Givens {
		typed, isSet := set[g.ID]
		if len(typed) > maxGiven {
			faults = append(faults, &GivenError{g.ID, brief(typed), fmt.Sprintf("a text of %d bytes; write at most %d", len(typed), maxGiven)})
			continue
		}
		v, err := g.value(typed, isSet)
		if err != nil {
			faults = append(faults, err)
		}
		if g.PerVessel && vessel != "" && len(v.Number.By) > 0 {
			v.Number.By = slices.Clone(v.Number.By)
			v.Number.By[0].Source.Name += "@" + vessel // a given has one source
		}
		s.Givens = append(s.Givens, v)
	}
	if len(faults) > 0 {
		return nil, errors.Join(faults...)
	}
	for _, a := range p.Amounts {
		v, err := a.value(s)
		if err != nil {
			return nil, fmt.Errorf("amount %s: %w", a.ID, err)
		}
		s.Amounts = append(s.Amounts, v)
	}
	return s, nil
}

func (p *Protocol) unknownGivens(set map[string]string) []error {
	var ids, unknown []string
	for _, g := range p.Givens {
		ids = append(ids, g.ID)
	}
	for id := range set {
		if !slices.Contains(ids, id) {
			unknown = append(unknown, id)
		}
	}
	sort.Strings(unknown)
	var out []error
	for _, id := range unknown {
		msg := "this protocol has no such given; it has " + strings.Join(ids, ", ")
		if meant := Nearest(id, ids); meant != "" {
			msg = "this protocol has no such given; write " + meant
		}
		out = append(out, &GivenError{id, set[id], msg})
	}
	return out
}

// value returns the given's value as typed, or its default.
func (g *Given) value(typed string, isSet bool) (formula.Value, error) {
	switch g.Kind {
	case GivenChoice:
		choice := g.Choice
		if isSet {
			choice = strings.TrimSpace(typed)
		}
		if !slices.Contains(g.Choices, choice) {
			return formula.Value{}, &GivenError{g.ID, typed, "it is none of the choices; write " + oneOfThese(choice, g.Choices)}
		}
		return formula.Value{Kind: formula.Text, Text: choice, Row: g.Rows[choice]}, nil
	case GivenText:
		if isSet {
			return formula.Value{Kind: formula.Text, Text: typed}, nil
		}
		return formula.Value{Kind: formula.Text, Text: g.Choice}, nil
	}
	if !isSet {
		return formula.Of(g.Value), nil
	}
	q, err := quantity.ParseReading(typed, g.Value.Unit)
	if err != nil {
		return formula.Value{}, &GivenError{g.ID, typed, err.Error()}
	}
	if why := q.Impossible(); why != "" {
		return formula.Value{}, &GivenError{g.ID, typed, why}
	}
	if side := g.outside(q); side != "" {
		return formula.Value{}, &GivenError{g.ID, typed, side + "; allowed is " + g.allowed()}
	}
	q.By = g.Value.By
	return formula.Of(q), nil
}

// allowed tells a given's range in words.
func (g *Given) allowed() string {
	switch {
	case g.Low == nil:
		return "up to " + g.High.Text()
	case g.High == nil:
		return g.Low.Text() + " and more"
	}
	return g.Low.Text() + " to " + g.High.Text()
}

// value works an amount out. What is rounded is exact: it is what the operator measures out.
func (a *Amount) value(s *Sheet) (formula.Value, error) {
	v, err := a.Formula.Eval(s)
	if err != nil {
		return v, err
	}
	if v.Kind == formula.Number {
		v.Number, err = a.measuredOut(v.Number)
		return v, err
	}
	list := make([]quantity.Quantity, len(v.List))
	for i, q := range v.List {
		if list[i], err = a.measuredOut(q); err != nil {
			return v, err
		}
	}
	return formula.Value{Kind: formula.List, List: list}, nil
}

func (a *Amount) measuredOut(q quantity.Quantity) (quantity.Quantity, error) {
	q, err := q.To(a.Unit)
	if err != nil || a.RoundTo == 0 {
		return q, err
	}
	return quantity.Exact(rounded(q.Value, a.RoundTo), a.Unit), nil
}

// Value implements formula.Values for givens, amounts, profiles and STAGE.shares.
func (s *Sheet) Value(name string) (formula.Value, error) {
	switch what := s.Protocol.index[name].(type) {
	case *Given:
		for i, g := range s.Protocol.Givens {
			if g == what && i < len(s.Givens) {
				return s.Givens[i], nil
			}
		}
	case *Amount:
		for i, a := range s.Protocol.Amounts {
			if a == what && i < len(s.Amounts) { // while amounts are worked out, later ones are not there
				return s.Amounts[i], nil
			}
		}
	case reference.Profile:
		return formula.Value{Kind: formula.Text, Text: what.Name, Row: what}, nil
	case shares:
		list := make([]quantity.Quantity, 0, len(what.stage.Shares))
		for _, x := range what.stage.Shares {
			list = append(list, quantity.Ratio(x))
		}
		return formula.Value{Kind: formula.List, List: list}, nil
	}
	return formula.Value{}, &formula.MissingError{Name: name}
}

// Show implements Shower for givens and amounts; an amount has the decimals of what it is rounded to.
func (s *Sheet) Show(name string, portion int) (string, bool) {
	v, err := s.Value(name)
	if err != nil {
		return "", false
	}
	step := 0.0
	if a := s.Protocol.Amount(name); a != nil {
		step = a.RoundTo
	}
	switch v.Kind {
	case formula.Number:
		if step == 0 && s.Protocol.Given(name) != nil {
			return withUnit(quantity.Plain(v.Number.Value, 6), v.Number.Unit), true
		}
		return shown(v.Number, step), true
	case formula.List:
		return showList(v.List, step, portion)
	case formula.Text:
		return v.Text, v.Text != ""
	}
	return "", false
}

// showList shows one portion's value, or all of them where no portion is asked for.
func showList(list []quantity.Quantity, step float64, portion int) (string, bool) {
	if portion > 0 && portion <= len(list) {
		return shown(list[portion-1], step), true
	}
	if portion > 0 || len(list) == 0 {
		return "", false
	}
	all := make([]string, len(list))
	for i, q := range list {
		all[i] = shown(q, step)
	}
	return strings.Join(all, ", "), true
}

// Warnings tells what does not fit: an amount above its limit, or below zero. It is empty when all is well.
func (s *Sheet) Warnings() []string {
	var out []string
	for i, a := range s.Protocol.Amounts {
		for _, q := range s.figures(i) {
			if w := s.warning(a, q); w != "" {
				out = append(out, w)
			}
		}
	}
	return out
}

// Fits tells the amounts that keep their limits, each with both; of a list the largest.
func (s *Sheet) Fits() []string {
	var out []string
	for i, a := range s.Protocol.Amounts {
		figures := s.figures(i)
		if a.AtMost == nil || len(figures) == 0 || slices.ContainsFunc(figures, func(q quantity.Quantity) bool { return s.warning(a, q) != "" }) {
			continue
		}
		largest := slices.MaxFunc(figures, func(p, q quantity.Quantity) int { return cmp.Compare(p.Value, q.Value) })
		most, err := a.AtMost.Value(s, 0)
		if err != nil {
			continue // the warning has said so
		}
		out = append(out, fmt.Sprintf("%s %s fits %s", a.Title, shown(largest, a.RoundTo), withUnit(quantity.Plain(most.Value, 6), most.Unit)))
	}
	return out
}

// figures are the values of an amount: one, or one for each portion.
func (s *Sheet) figures(i int) []quantity.Quantity {
	if s.Amounts[i].Kind == formula.Number {
		return []quantity.Quantity{s.Amounts[i].Number}
	}
	return s.Amounts[i].List
}

func (s *Sheet) warning(a *Amount, q quantity.Quantity) string {
	if q.Value < 0 && !a.Unit.IsTemperature() {
		return fmt.Sprintf("%s comes out below zero (%s): check the givens", a.Title, shown(q, a.RoundTo))
	}
	if a.AtMost == nil {
		return ""
	}
	most, err := a.AtMost.Value(s, 0)
	if err != nil {
		return fmt.Sprintf("%s: its limit has no value: %v", a.Title, err)
	}
	if c, err := quantity.Compare(q, most); err != nil || c <= 0 {
		return ""
	}
	w := fmt.Sprintf("%s %s does not fit %s", a.Title, shown(q, a.RoundTo), withUnit(quantity.Plain(most.Value, 6), most.Unit))
	if !a.Say.IsEmpty() {
		w += ": " + a.Say.Fill(s, 0)
	}
	return w
}

// Value returns the limit for these values, and for a portion (from 1) where the formula gives one for each; a formula
// that names something without a value yet is a *formula.MissingError.
func (b *Bound) Value(values formula.Values, portion int) (quantity.Quantity, error) {
	if b.Formula == nil {
		return b.Quantity, nil
	}
	v, err := b.Formula.Eval(values)
	switch {
	case err != nil || v.Kind == formula.Number:
		return v.Number, err
	case portion < 1 || portion > len(v.List):
		return v.Number, &quantity.RangeError{Msg: fmt.Sprintf("%q has no limit for portion %d", b.Formula, portion)}
	}
	return v.List[portion-1], nil
}
