package formula

import (
	"fmt"
	"slices"
	"strings"

	"example.org/meniscus/calc/quantity"
)

// Signature returns how a call is written: "nth(list, n)"; what may be left out stands in brackets.
func (fn *Function) Signature() string {
	parts := make([]string, len(fn.Params))
	for i, p := range fn.Params {
		parts[i] = p.Name
		if p.Several {
			parts[i] += ", …"
		}
		if p.Optional {
			parts[i] = "[" + parts[i] + "]"
		}
	}
	return fn.Name + "(" + strings.Join(parts, ", ") + ")"
}

func (c *checker) call(e *expr) (node, Type, error) {
	fn, ok := c.functions[e.word]
	if !ok {
		return nil, Type{}, c.unknownFunction(e)
	}
	if err := c.count(fn, e); err != nil {
		return nil, Type{}, err
	}
	switch e.word {
	case "if":
		return c.choose(e)
	case "across":
		return c.across(e)
	}
	if fn.Call == nil {
		return nil, Type{}, c.fault(e, "", "%s has no calculation", e.word)
	}
	return c.plainCall(fn, e)
}

// count refuses too few or too many arguments.
func (c *checker) count(fn *Function, e *expr) error {
	least, most := 0, len(fn.Params)
	for _, p := range fn.Params {
		if !p.Optional {
			least++
		}
	}
	if most > 0 && fn.Params[most-1].Several {
		most = len(e.args) + least
	}
	if n := len(e.args); n < least || n > most {
		return c.fault(e, fn.Signature(), "%s has %s", e.word, arguments(n))
	}
	return nil
}

func arguments(n int) string {
	switch n {
	case 0:
		return "no argument"
	case 1:
		return "1 argument"
	}
	return fmt.Sprintf("%d arguments", n)
}

func (c *checker) plainCall(fn *Function, e *expr) (node, Type, error) {
	call := &callNode{fn: fn, out: Type{Unit: fn.Unit}}
	types := make([]Type, 0, len(e.args))
	several := len(e.args) > len(fn.Params)
	for i := range fn.Params {
		if i >= len(e.args) {
			break
		}
		var a argument
		var t Type
		var err error
		if several && i == len(fn.Params)-1 {
			a, t, err = c.gather(fn, &fn.Params[i], e.args[i:])
		} else {
			a, t, err = c.argument(fn, &fn.Params[i], e.args[i])
		}
		if err != nil {
			return nil, Type{}, err
		}
		call.args, types = append(call.args, a), append(types, t)
		call.each = call.each || a.each
	}
	if fn.TypeOf != nil {
		t, err := fn.TypeOf(types)
		if err != nil {
			return nil, Type{}, c.fault(e, "", "%s: %v", c.span(e), err)
		}
		call.out = t
	}
	if call.each {
		call.out.Kind = List
	}
	if w := fn.Work; w != nil && !several && len(e.args) >= w.Args {
		call.work = w.Name + "(" + c.text[e.args[0].from:e.args[w.Args-1].to] + ")"
	}
	return call, call.out, nil
}

// argument checks what is written for one parameter and says how to hand it over.
func (c *checker) argument(fn *Function, p *Param, e *expr) (argument, Type, error) {
	if p.Kind == Text && p.Rows != nil {
		return c.row(fn, p, e)
	}
	n, t, err := c.check(e)
	if err != nil {
		return argument{}, t, err
	}
	a := argument{node: n, kind: p.Kind}
	if p.Kind == Truth || p.Kind == Text {
		if t.Kind != p.Kind {
			return a, t, c.fault(e, "", "%s is a %s; %s takes a %s for %s", c.span(e), t.Kind, fn.Name, p.Kind, p.Name)
		}
		return a, t, nil
	}
	isList := t.Kind == List || t.Kind == Series
	switch {
	case p.Kind == Number && isList && fn.Elementwise:
		a.each = true
	case p.Kind == Number && isList:
		s := c.span(e)
		return a, t, c.fault(e, fmt.Sprintf("mean(%s), first(%s) or last(%s)", s, s, s), "%s is a %s; %s takes one number for %s", s, t.Kind, fn.Name, p.Name)
	case !t.Kind.numeric(), p.Kind == Series && t.Kind != Series:
		return a, t, c.fault(e, "", "%s is a %s; %s takes a %s for %s", c.span(e), t.Kind, fn.Name, p.Kind, p.Name)
	}
	a.unit = t.Unit
	if !p.Any {
		if err := c.argumentUnit(fn, p, e, t); err != nil {
			return a, t, err
		}
		a.unit = p.Unit
	}
	return a, Type{Kind: p.Kind, Unit: a.unit}, nil
}

func (c *checker) argumentUnit(fn *Function, p *Param, e *expr, t Type) error {
	if alike(t.Unit, p.Unit) {
		return nil
	}
	want := "in " + p.Unit.String()
	if p.Unit == quantity.One {
		want = "as a bare number"
	}
	remedy := ""
	switch {
	case t.Unit.Fits(p.Unit) && t.Unit.IsTemperature():
		remedy = "a difference of two temperatures"
	case t.Unit.Fits(p.Unit):
		remedy = "a temperature, not an interval"
	case e.kind == numberExpr:
		remedy = fmt.Sprintf("a given with the value %q and its name here", e.word+" "+p.Unit.String())
	}
	return c.fault(e, remedy, "%s %s; %s takes %s %s", c.span(e), in(t.Unit), fn.Name, p.Name, want)
}

// gather takes several numbers in place of one list; they come in the first one's unit.
func (c *checker) gather(fn *Function, p *Param, args []*expr) (argument, Type, error) {
	a := argument{kind: List}
	for i, e := range args {
		n, t, err := c.check(e)
		if err != nil {
			return a, t, err
		}
		if t.Kind != Number {
			return a, t, c.fault(e, "", "%s is a %s; %s takes one list or several numbers", c.span(e), t.Kind, fn.Name)
		}
		if i == 0 {
			a.unit = t.Unit
		}
		if !alike(t.Unit, a.unit) {
			return a, t, c.fault(e, "", "%s %s and %s %s; %s needs units that fit",
				c.span(args[0]), in(a.unit), c.span(e), in(t.Unit), fn.Name)
		}
		a.several = append(a.several, n)
	}
	if !p.Any {
		if err := c.argumentUnit(fn, p, args[0], Type{Unit: a.unit}); err != nil {
			return a, Type{}, err
		}
		a.unit = p.Unit
	}
	return a, Type{Kind: List, Unit: a.unit}, nil
}

// row finds the table row that a bare word, a text or a name with known texts stands for.
func (c *checker) row(fn *Function, p *Param, e *expr) (argument, Type, error) {
	rows := p.Rows()
	if e.kind == nameExpr || e.kind == textExpr {
		t, known := c.names.Type(e.word)
		isName := e.kind == nameExpr && known
		if !isName || t.Kind != Text { // a number of the same name does not hide the row
			if slices.Contains(rows, e.word) {
				text := Value{Kind: Text, Text: e.word}
				return argument{node: constant{text}, kind: Text}, Type{Kind: Text, Choices: []string{e.word}}, nil
			}
			if !isName {
				return argument{}, Type{}, c.fault(e, oneOf(e.word, rows), "%s is no %s that %s knows", e.word, p.Name, fn.Name)
			}
		}
	}
	n, t, err := c.check(e)
	a := argument{node: n, kind: Text}
	switch {
	case err != nil:
		return a, t, err
	case t.Kind != Text:
		return a, t, c.fault(e, "", "%s is a %s; %s takes the name of a table row for %s", c.span(e), t.Kind, fn.Name, p.Name)
	case len(t.Choices) == 0:
		return a, t, c.fault(e, "", "%s may be any text; %s takes the name of a table row for %s", c.span(e), fn.Name, p.Name)
	}
	for _, s := range t.Choices {
		if _, own := t.Rows[s]; !own && !slices.Contains(rows, s) {
			return a, t, c.fault(e, oneOf(s, rows), "%s may be %q, which is no %s that %s knows", c.span(e), s, p.Name, fn.Name)
		}
	}
	return a, t, nil
}

// choose checks if(condition, a, b): only the branch that holds is evaluated.
func (c *checker) choose(e *expr) (node, Type, error) {
	condition, err := c.truth(e.args[0], "if")
	if err != nil {
		return nil, Type{}, err
	}
	x, tx, err := c.check(e.args[1])
	if err != nil {
		return nil, Type{}, err
	}
	y, ty, err := c.check(e.args[2])
	if err != nil {
		return nil, Type{}, err
	}
	out, err := branches(tx, ty)
	if err != nil {
		return nil, Type{}, c.fault(e, "", "%s: %v", c.span(e), err)
	}
	return ifNode{condition, x, y, out}, out, nil
}

// branches returns the type of a value that is of one type or the other.
func branches(a, b Type) (Type, error) {
	switch {
	case a.Kind == Text && b.Kind == Text:
		return bothTexts(a, b), nil
	case a.Kind == Truth && b.Kind == Truth:
		return a, nil
	case !a.Kind.numeric() || !b.Kind.numeric() || (a.Kind == Number) != (b.Kind == Number):
		return Type{}, fmt.Errorf("one outcome is a %s, the other a %s", a.Kind, b.Kind)
	case !alike(a.Unit, b.Unit):
		return Type{}, fmt.Errorf("one outcome %s, the other %s", in(a.Unit), in(b.Unit))
	}
	if a.Kind != b.Kind { // a list and a series
		a.Kind = List
	}
	return a, nil
}

func bothTexts(a, b Type) Type {
	out := Type{Kind: Text}
	if a.Choices == nil || b.Choices == nil {
		return out
	}
	out.Choices = slices.Clone(a.Choices)
	for _, s := range b.Choices {
		if !slices.Contains(out.Choices, s) {
			out.Choices = append(out.Choices, s)
		}
	}
	out.Rows = make(map[string]any, len(a.Rows)+len(b.Rows))
	for _, rows := range []map[string]any{b.Rows, a.Rows} {
		for name, row := range rows {
			out.Rows[name] = row
		}
	}
	return out
}
