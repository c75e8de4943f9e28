package protocol

import (
	"fmt"
	"strings"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
)

func (l *loader) amount(path string, number int, keys map[string]any) {
	t := l.table(path, "amount", labelOf("amount", number, keys), keys)
	a := &Amount{ID: t.id(nameID)}
	a.Title = t.title(a.ID)
	d := l.declare(t, a.ID, "amount", a)
	l.p.Amounts = append(l.p.Amounts, a)
	t.required("formula", "volume * density")
	var ok bool
	if a.Unit, ok = t.unit("mL"); !ok {
		d.broken = true
	}
	if w, there := t.words("formula"); there {
		a.Formula = l.parse(w)
	}
	scope := l.amountScope()
	a.Say = t.sayIn("say", scope)
	if !ok {
		return
	}
	if t.has("round_to") {
		if a.RoundTo, ok = t.width("round_to", a.Unit); ok && a.RoundTo == 0 {
			t.faultAt("round_to", "round_to is zero", "the smallest step that can be measured out")
		}
	}
	if w, there := t.words("at_most"); there {
		l.later = append(l.later, func() { a.AtMost = l.bound(w, scope, a.Unit, false) })
	}
}

func (l *loader) amountScope() scope { return scope{l: l, who: "an amount", readings: -1} }

// unit reads the key unit, which must be there.
func (t *table) unit(example string) (quantity.Unit, bool) {
	code := t.required("unit", example)
	if code == "" {
		return quantity.One, false
	}
	u, err := quantity.ParseUnit(code)
	if err != nil {
		t.faultAt("unit", err.Error(), "")
		return u, false
	}
	return u, true
}

// checkAmounts puts the amounts in an order in which each needs only earlier ones, reports those that need one another,
// and checks the formulas in that order.
func (l *loader) checkAmounts() {
	const (
		unseen = iota
		open
		done
	)
	state := map[*Amount]int{}
	var sorted, path []*Amount
	var visit func(a *Amount)
	visit = func(a *Amount) {
		switch state[a] {
		case open:
			l.circle(path, a)
			return
		case done:
			return
		}
		state[a] = open
		path = append(path, a)
		for _, needed := range l.amountsIn(a.Formula) {
			visit(needed)
		}
		path = path[:len(path)-1]
		state[a] = done
		sorted = append(sorted, a)
	}
	for _, a := range l.p.Amounts {
		visit(a)
	}
	l.p.Amounts = sorted
	for _, a := range sorted {
		l.checkAmount(a)
	}
}

// amountsIn returns the amounts that a formula mentions.
func (l *loader) amountsIn(f *formula.Formula) []*Amount {
	if f == nil {
		return nil
	}
	var out []*Amount
	for _, name := range f.Names() {
		if d, ok := l.names[name]; ok {
			if a, ok := d.what.(*Amount); ok {
				out = append(out, a)
			}
		}
	}
	return out
}

// circle reports that the amounts on the path from a onwards need one another.
func (l *loader) circle(path []*Amount, a *Amount) {
	from := 0
	for i, p := range path {
		if p == a {
			from = i
		}
	}
	var names []string
	for _, p := range path[from:] {
		names = append(names, p.ID)
		l.names[p.ID].broken = true
	}
	names = append(names, a.ID)
	l.blocks[a].faultAt("formula", "amounts need one another: "+strings.Join(names, " -> "), "a formula that breaks the circle")
}

func (l *loader) checkAmount(a *Amount) {
	t := l.blocks[a]
	d := l.names[a.ID]
	if d == nil || d.what != any(a) || d.broken {
		return
	}
	w, _ := t.words("formula")
	typ, ok := l.check(w, a.Formula, l.amountScope())
	if !ok || !l.numberIn(w, typ, a.Unit, true) {
		d.broken = true
		return
	}
	a.IsList = typ.Kind == formula.List
}

// checkResults checks the results' formulas in file order, each with the earlier ones.
func (l *loader) checkResults() {
	for i, r := range l.p.Results {
		t := l.blocks[r]
		d := l.names[r.ID]
		if d == nil || d.what != any(r) || d.broken {
			continue
		}
		w, ok := t.words("formula")
		if ok {
			r.Formula = l.parse(w)
		}
		typ, ok := l.check(w, r.Formula, l.resultScope(r, i+1))
		if !ok || !l.numberIn(w, typ, r.Unit, true) {
			d.broken = true
			continue
		}
		r.IsList = typ.Kind != formula.Number
	}
}

func (l *loader) resultScope(r *Result, number int) scope {
	who := "a result"
	if r.OfRun {
		who = `a result with of = "run"`
	}
	return scope{l: l, who: who, readings: everyReading, results: number, run: r.OfRun}
}

// result reads a result but for its formula.
func (l *loader) result(path string, number int, keys map[string]any) {
	t := l.table(path, "result", labelOf("result", number, keys), keys)
	r := &Result{ID: t.id(nameID)}
	r.Title = t.title(r.ID)
	d := l.declare(t, r.ID, "result", r)
	l.p.Results = append(l.p.Results, r)
	t.required("formula", "after - before")
	var unitOK bool
	r.Unit, unitOK = t.unit("g")
	of, ofOK := t.oneOf("of", "vessel", "run")
	r.OfRun = of == 1
	d.broken = !unitOK || !ofOK
	w := number + 1 // a text may name its own result
	r.Say = t.sayIn("say", scope{l: l, who: fmt.Sprintf("the text of result %q", r.ID), readings: everyReading, results: w, run: r.OfRun})
}
