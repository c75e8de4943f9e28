package formula

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/alecthomas/participle/v2/lexer"
)

// words are the tokens of a formula. A Word is lexed as a Name first and told apart by its text, so that "order" and
// "and.x" stay names. Foreign and Other take what belongs to no formula, for an error that can show it.
var words = lexer.MustSimple([]lexer.SimpleRule{
	{Name: "Space", Pattern: `[\s\p{Z}]+`},
	{Name: "Number", Pattern: `(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?`},
	{Name: "Text", Pattern: `"[^"\n]*"`},
	{Name: "Name", Pattern: `\p{L}[\p{L}0-9_.]*`},
	{Name: "Word", Pattern: `(?:and|or|not)`},
	{Name: "Foreign", Pattern: `\*\*|&&|\|\||'[^'\n]*'`},
	{Name: "Sign", Pattern: `==|!=|<=|>=|[-+*/^<>(),]`},
	{Name: "Other", Pattern: `(?s:.)`},
})

var (
	symbols    = words.Symbols()
	spaceType  = symbols["Space"]
	numberType = symbols["Number"]
	textType   = symbols["Text"]
	nameType   = symbols["Name"]
	wordType   = symbols["Word"]
	signType   = symbols["Sign"]
	foreign    = symbols["Foreign"]
	otherType  = symbols["Other"]
)

// lex cuts a formula into tokens without spaces, the last of which is the end. It refuses what no formula holds.
func lex(text string) ([]lexer.Token, error) {
	switch {
	case len(text) > MaxLength:
		return nil, &SyntaxError{1, fmt.Sprintf("the formula has %d bytes and may have %d", len(text), MaxLength),
			"it in parts, as amounts or results of their own"}
	case !utf8.ValidString(text):
		return nil, &SyntaxError{1, "the formula is not UTF-8 text", ""}
	case strings.TrimSpace(text) == "":
		return nil, &SyntaxError{1, "the formula is empty", "a name, a number or a calculation such as after - before"}
	}
	source, err := words.LexString("", text)
	if err != nil {
		return nil, &SyntaxError{1, err.Error(), ""}
	}
	var tokens []lexer.Token
	for {
		t, err := source.Next()
		if err != nil {
			return nil, &SyntaxError{1, err.Error(), ""}
		}
		switch {
		case t.Type == spaceType:
			continue
		case t.Type == nameType && (t.Value == "and" || t.Value == "or" || t.Value == "not"):
			t.Type = wordType
		case t.Type == foreign, t.Type == otherType:
			return nil, otherSign(text, t)
		}
		tokens = append(tokens, t)
		if t.EOF() {
			return tokens, nil
		}
	}
}

// meant says what to write for a sign from elsewhere.
var meant = map[string]string{
	"=": "==", "**": "^", "&&": "and", "||": "or", "!": "not", "&": "and", "|": "or", "×": "*", "·": "*", "÷": "/",
	"−": "-", "–": "-", "≤": "<=", "≥": ">=", "≠": "!=", "[": "(", "]": ")", "{": "(", "}": ")", ";": ",",
	"²": "^2", "³": "^3", "√": "sqrt(…)",
}

func otherSign(text string, t lexer.Token) error {
	col := column(text, t.Pos.Offset)
	switch {
	case t.Value == `"`:
		return &SyntaxError{col, `a text begins with " and does not end`, `" at its end`}
	case len(t.Value) > 1 && t.Value[0] == '\'':
		return &SyntaxError{col, fmt.Sprintf("%s is in single quotes", t.Value), `"` + strings.Trim(t.Value, "'") + `"`}
	case t.Value == "%":
		return &SyntaxError{col, `found "%"; a formula holds bare numbers`, "0.05 for 5 %"}
	}
	return &SyntaxError{col, fmt.Sprintf("found %q, which is no sign of a formula", t.Value), meant[t.Value]}
}

// column turns a byte offset into a 1-based column in runes.
func column(text string, offset int) int { return 1 + utf8.RuneCountInString(text[:offset]) }

// bound refuses brackets that do not match and a nesting that the recursive parser should not be asked to follow. Each
// bracket, each not and each - or ^ of a run is a level.
func bound(text string, tokens []lexer.Token) error {
	type level struct{ at, below, nots, signs int }
	stack := []level{{}}
	operand := false // the token before ends an operand
	for _, t := range tokens {
		top := &stack[len(stack)-1]
		switch {
		case t.Value == "(" && t.Type != textType:
			stack = append(stack, level{at: t.Pos.Offset, below: top.below + top.nots + top.signs + 1})
			top, operand = &stack[len(stack)-1], false
		case t.Value == ")" && t.Type != textType:
			if len(stack) == 1 {
				return &SyntaxError{column(text, t.Pos.Offset), `found ")" without a "(" before it`, ""}
			}
			stack, operand = stack[:len(stack)-1], true
		case t.Value == "," || t.Value == "and" || t.Value == "or":
			top.nots, top.signs, operand = 0, 0, false
		case t.Value == "not":
			top.nots, operand = top.nots+1, false
		case t.Value == "^", t.Value == "-" && !operand:
			top.signs, operand = top.signs+1, false
		case t.Type == numberType, t.Type == nameType, t.Type == textType:
			operand = true
		default:
			top.signs, operand = 0, false
		}
		if top.below+top.nots+top.signs > MaxDepth {
			return &SyntaxError{column(text, t.Pos.Offset), fmt.Sprintf("the formula is nested deeper than %d levels", MaxDepth),
				"it in parts, as amounts or results of their own"}
		}
	}
	if open := stack[len(stack)-1]; len(stack) > 1 {
		return &SyntaxError{column(text, open.at), `"(" is not closed`, `")" where it ends`}
	}
	return nil
}
