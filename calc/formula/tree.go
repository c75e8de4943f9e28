package formula

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/alecthomas/participle/v2/lexer"
)

type exprKind uint8

const (
	numberExpr exprKind = iota
	textExpr
	nameExpr
	callExpr
	prefixExpr // not, -
	infixExpr
)

// An expr is a node of a parsed formula.
type expr struct {
	kind     exprKind
	word     string  // the text, the name, the function or the operator
	value    float64 // of a number
	args     []*expr
	col      int // of the operator or the first rune
	from, to int // bytes in the formula
}

// builder turns what the grammar saw into a tree with two-armed operators.
type builder struct {
	text string
	err  error
}

func (b *builder) infix(op string, pos lexer.Position, x, y *expr) *expr {
	return &expr{kind: infixExpr, word: op, args: []*expr{x, y}, col: column(b.text, pos.Offset), from: x.from, to: y.to}
}

func (b *builder) prefix(op string, pos lexer.Position, x *expr) *expr {
	return &expr{kind: prefixExpr, word: op, args: []*expr{x}, col: column(b.text, pos.Offset), from: pos.Offset, to: x.to}
}

func (b *builder) or(r *orRule) *expr {
	x := b.and(r.First)
	for _, t := range r.Rest {
		x = b.infix("or", t.Pos, x, b.and(t.Arg))
	}
	return x
}

func (b *builder) and(r *andRule) *expr {
	x := b.not(r.First)
	for _, t := range r.Rest {
		x = b.infix("and", t.Pos, x, b.not(t.Arg))
	}
	return x
}

func (b *builder) not(r *notRule) *expr {
	if r.Not != nil {
		return b.prefix("not", r.Pos, b.not(r.Not))
	}
	x := b.sum(r.Arg.Left)
	if t := r.Arg.Right; t != nil {
		x = b.infix(t.Op, t.Pos, x, b.sum(t.Arg))
	}
	return x
}

func (b *builder) sum(r *sumRule) *expr {
	x := b.product(r.First)
	for _, t := range r.Rest {
		x = b.infix(t.Op, t.Pos, x, b.product(t.Arg))
	}
	return x
}

func (b *builder) product(r *productRule) *expr {
	x := b.minus(r.First)
	for _, t := range r.Rest {
		x = b.infix(t.Op, t.Pos, x, b.minus(t.Arg))
	}
	return x
}

func (b *builder) minus(r *minusRule) *expr {
	if r.Minus != nil {
		return b.prefix("-", r.Pos, b.minus(r.Minus))
	}
	return b.power(r.Arg)
}

func (b *builder) power(r *powerRule) *expr {
	x := b.operand(r.Base)
	if r.Exp == nil {
		return x
	}
	y := b.power(r.Exp.Arg)
	if r.Exp.Minus {
		y = b.prefix("-", r.Exp.Pos, y)
	}
	return b.infix("^", r.Exp.Pos, x, y)
}

func (b *builder) operand(r *operandRule) *expr {
	e := &expr{col: column(b.text, r.Pos.Offset), from: r.Pos.Offset, to: r.EndPos.Offset}
	switch {
	case r.Number != nil:
		e.word = *r.Number
		e.value = b.number(e)
	case r.Text != nil:
		e.kind, e.word = textExpr, strings.Trim(*r.Text, `"`)
	case r.Group != nil:
		inner := b.or(r.Group)
		inner.from, inner.to = e.from, e.to
		return inner
	default:
		e.kind, e.word = nameExpr, r.Name
		if r.Call {
			e.kind = callExpr
		}
		for _, a := range r.Args {
			e.args = append(e.args, b.or(a))
		}
	}
	return e
}

func (b *builder) number(e *expr) float64 {
	v, err := strconv.ParseFloat(e.word, 64)
	if (err != nil || math.IsInf(v, 0)) && b.err == nil {
		b.err = &SyntaxError{e.col, fmt.Sprintf("the number %s is too large", shorten(e.word)), ""}
	}
	return v
}

// mentioned appends the names under e that are not in names yet.
func mentioned(e *expr, names []string) []string {
	if e.kind == nameExpr && !slices.Contains(names, e.word) {
		names = append(names, e.word)
	}
	for _, a := range e.args {
		names = mentioned(a, names)
	}
	return names
}

// span returns the part of the formula that e stands for, for a message.
func span(text string, e *expr) string { return shorten(strings.TrimSpace(text[e.from:e.to])) }

// shorten cuts a text that is too long for a message.
func shorten(s string) string {
	const most = 60
	if r := []rune(s); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return s
}
