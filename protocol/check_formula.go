package protocol

import (
	"errors"
	"fmt"
	"strings"
	"sync"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/method"
	"example.org/meniscus/calc/quantity"
)

// functions returns every function that a protocol's formulas may call.
var functions = sync.OnceValue(method.All)

// parse reads a formula without looking at its names; nil when it is wrong.
func (l *loader) parse(w words) *formula.Formula {
	f, err := formula.Parse(w.text)
	if err != nil {
		l.formulaFault(w, err)
		return nil
	}
	return f
}

func (l *loader) formulaFault(w words, err error) {
	var s *formula.SyntaxError
	if errors.As(err, &s) {
		l.addIn(w, s.Col-1, s.Msg, s.Remedy)
		return
	}
	l.addIn(w, whole, err.Error(), "")
}

// check finds out what a formula gives; ok is false when it is wrong, or when a name in it is wrong itself.
func (l *loader) check(w words, f *formula.Formula, s scope) (t formula.Type, ok bool) {
	if f == nil {
		return t, false
	}
	names := f.Names()
	for _, name := range names {
		l.used[name] = true
		d, declared := l.names[name]
		if declared && d.broken {
			return t, false
		}
		if declared && !s.run {
			if why := s.refuses(name, d); why != "" {
				l.addIn(w, nameAt(w.text, name), why, "")
				return t, false
			}
		}
	}
	t, err := f.Check(s.forCheck(), l.functions)
	if err == nil {
		return t, true
	}
	for _, name := range names { // what is outside across cannot be told from what is inside before
		if d, declared := l.names[name]; declared && s.run && isAbout(err, name) {
			if why := s.refuses(name, d); why != "" {
				l.addIn(w, nameAt(w.text, name), why, "")
				return t, false
			}
		}
	}
	l.formulaFault(w, err)
	return t, false
}

// isAbout tells whether a fault's message begins with the name.
func isAbout(err error, name string) bool { return strings.HasPrefix(err.Error(), name+" ") }

// nameAt returns where a name first stands in a formula, in runes from 0; texts in quotes are passed over.
func nameAt(text, name string) int {
	rs := []rune(text)
	quoted := false
	for i := 0; i < len(rs); i++ {
		if rs[i] == '"' {
			quoted = !quoted
		}
		if quoted || !isNameRune(rs[i]) {
			continue
		}
		j := i
		for j < len(rs) && isNameRune(rs[j]) {
			j++
		}
		if string(rs[i:j]) == name {
			return i
		}
		i = j - 1
	}
	return 0
}

func isNameRune(r rune) bool {
	return r == '_' || r == '.' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9'
}

// condition reads a formula that must answer yes or no.
func (l *loader) condition(w words, s scope) *formula.Formula {
	f := l.parse(w)
	t, ok := l.check(w, f, s)
	if !ok {
		return nil
	}
	if t.Kind != formula.Truth {
		l.addIn(w, whole, fmt.Sprintf("%s = %q gives %s, not yes or no", w.key, brief(w.text), aKind(t.Kind)), "a comparison, such as a < b")
		return nil
	}
	return f
}

// bound reads a limit: a quantity or a formula whose unit fits. "" is no limit. Where a reading belongs to a portion
// the formula may give a list, one limit for each.
func (l *loader) bound(w words, s scope, unit quantity.Unit, list bool) *Bound {
	if strings.TrimSpace(w.text) == "" {
		return nil
	}
	q, quantityErr := quantity.ParseQuantity(w.text)
	if quantityErr == nil {
		if !unitFits(q.Unit, unit) {
			l.addIn(w, whole, fmt.Sprintf("%s: %q does not fit %s", w.key, w.text, unitWords(unit)), quantityIn(unit))
			return nil
		}
		return &Bound{Quantity: q}
	}
	if f, err := formula.Parse(w.text); err != nil && isNumeral(w.text) {
		l.addIn(w, whole, fmt.Sprintf("%s: %v", w.key, quantityErr), "")
		return nil
	} else if err == nil {
		t, ok := l.check(w, f, s)
		if !ok || !l.numberIn(w, t, unit, list) {
			return nil
		}
		return &Bound{Formula: f}
	}
	l.parse(w) // for its fault
	return nil
}

// isNumeral tells whether a text was meant as a quantity: it begins as a number does and has nothing of a formula.
func isNumeral(text string) bool {
	text = strings.TrimLeft(text, " +-")
	return text != "" && text[0] >= '0' && text[0] <= '9' && !strings.ContainsAny(text, "*()")
}

// numberIn reports a formula that does not give a number (or a list, where one may stand) that fits the unit.
func (l *loader) numberIn(w words, t formula.Type, unit quantity.Unit, list bool) bool {
	isList := t.Kind == formula.List || t.Kind == formula.Series
	switch {
	case isList && !list:
		l.addIn(w, whole, fmt.Sprintf("%s = %q gives a list, not one number", w.key, brief(w.text)), "mean(…), last(…) or sum(…) of it")
	case t.Kind != formula.Number && !isList:
		l.addIn(w, whole, fmt.Sprintf("%s = %q gives %s, not a number", w.key, brief(w.text), aKind(t.Kind)), "")
	case !unitFits(t.Unit, unit):
		l.addIn(w, whole, fmt.Sprintf("%s = %q gives %s, which does not fit %s", w.key, brief(w.text), unitWords(t.Unit), unitWords(unit)),
			fmt.Sprintf("a formula in %s, or the unit \"%s\"", unitWords(unit), t.Unit))
	default:
		return true
	}
	return false
}

// unitFits tells whether a value in a unit can stand where another is asked. An interval in K is no temperature on a
// scale with its own zero.
func unitFits(found, want quantity.Unit) bool {
	return found.Fits(want) && (found.IsTemperature() || !want.IsTemperature())
}

func aKind(k formula.Kind) string {
	if k == formula.Truth {
		return k.String()
	}
	return "a " + k.String()
}

// unitWords names a unit in a message.
func unitWords(u quantity.Unit) string {
	if u == quantity.One {
		return "a bare number"
	}
	return u.String()
}

// quantityIn says what to write where a quantity of a unit is wanted.
func quantityIn(u quantity.Unit) string {
	if u == quantity.One {
		return "a bare number or a percentage"
	}
	return "a quantity in " + u.String()
}

func brief(text string) string {
	text, _, cut := strings.Cut(strings.TrimSpace(text), "\n")
	if r := []rune(text); len(r) > 40 {
		return string(r[:39]) + "…"
	}
	if cut {
		return text + " …"
	}
	return text
}
