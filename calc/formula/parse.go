package formula

import (
	"errors"
	"fmt"
	"strings"

	"github.com/alecthomas/participle/v2"
	"github.com/alecthomas/participle/v2/lexer"
)

// The grammar of doc.go, one type for each strength of binding.
type (
	orRule struct {
		First *andRule   `parser:"@@"`
		Rest  []*andTail `parser:"@@*"`
	}
	andTail struct {
		Pos lexer.Position
		Arg *andRule `parser:"'or' @@"`
	}
	andRule struct {
		First *notRule   `parser:"@@"`
		Rest  []*notTail `parser:"@@*"`
	}
	notTail struct {
		Pos lexer.Position
		Arg *notRule `parser:"'and' @@"`
	}
	notRule struct {
		Pos lexer.Position
		Not *notRule     `parser:"  'not' @@"`
		Arg *compareRule `parser:"| @@"`
	}
	compareRule struct {
		Left  *sumRule     `parser:"@@"`
		Right *compareTail `parser:"@@?"`
	}
	compareTail struct {
		Pos lexer.Position
		Op  string   `parser:"@('==' | '!=' | '<=' | '>=' | '<' | '>')"`
		Arg *sumRule `parser:"@@"`
	}
	sumRule struct {
		First *productRule   `parser:"@@"`
		Rest  []*productTail `parser:"@@*"`
	}
	productTail struct {
		Pos lexer.Position
		Op  string       `parser:"@('+' | '-')"`
		Arg *productRule `parser:"@@"`
	}
	productRule struct {
		First *minusRule   `parser:"@@"`
		Rest  []*minusTail `parser:"@@*"`
	}
	minusTail struct {
		Pos lexer.Position
		Op  string     `parser:"@('*' | '/')"`
		Arg *minusRule `parser:"@@"`
	}
	minusRule struct {
		Pos   lexer.Position
		Minus *minusRule `parser:"  '-' @@"`
		Arg   *powerRule `parser:"| @@"`
	}
	powerRule struct {
		Base *operandRule  `parser:"@@"`
		Exp  *exponentRule `parser:"@@?"`
	}
	exponentRule struct {
		Pos   lexer.Position
		Minus bool       `parser:"'^' @'-'?"`
		Arg   *powerRule `parser:"@@"`
	}
	operandRule struct {
		Pos, EndPos lexer.Position
		Number      *string   `parser:"  @Number"`
		Text        *string   `parser:"| @Text"`
		Name        string    `parser:"| @Name"`
		Call        bool      `parser:"  ( @'('"`
		Args        []*orRule `parser:"    ( @@ ( ',' @@ )* )? ')' )?"`
		Group       *orRule   `parser:"| '(' @@ ')'"`
	}
)

var grammar = participle.MustBuild[orRule](participle.Lexer(words))

// A Formula is a formula that was read. After Check it is never changed, and Eval may be called from many goroutines.
type Formula struct {
	text  string
	tree  *expr
	names []string
	plan  node // set by Check
}

// Parse reads a formula; a fault is a *SyntaxError. Whether names exist and units fit is seen by Check.
func Parse(text string) (*Formula, error) {
	tokens, err := lex(text)
	if err != nil {
		return nil, err
	}
	if err := bound(text, tokens); err != nil {
		return nil, err
	}
	stream, err := lexer.Upgrade(&replay{tokens})
	if err != nil {
		return nil, &SyntaxError{1, err.Error(), ""}
	}
	root, err := grammar.ParseFromLexer(stream)
	if err != nil {
		return nil, unexpected(text, tokens, err)
	}
	b := builder{text: text}
	f := &Formula{text: text, tree: b.or(root)}
	if b.err != nil {
		return nil, b.err
	}
	f.names = mentioned(f.tree, nil)
	return f, nil
}

// String returns the formula as it was written.
func (f *Formula) String() string { return f.text }

// Names returns the names that f mentions, each once, in the order of their first mention. Before Check these are all
// bare names; after it the names of table rows are left out.
func (f *Formula) Names() []string { return append([]string(nil), f.names...) }

// replay hands out tokens that were cut already.
type replay struct{ tokens []lexer.Token }

func (r *replay) Next() (lexer.Token, error) {
	t := r.tokens[0]
	if !t.EOF() {
		r.tokens = r.tokens[1:]
	}
	return t, nil
}

// unexpected words the parser's error: which token it met, and what could have stood there.
func unexpected(text string, tokens []lexer.Token, err error) error {
	var at participle.Error
	if !errors.As(err, &at) {
		return &SyntaxError{1, err.Error(), ""}
	}
	offset := at.Position().Offset
	i := 0
	for i < len(tokens)-1 && tokens[i].Pos.Offset < offset {
		i++
	}
	if i < len(tokens)-1 && i > 0 && endsOperand(tokens[i-1]) && joins(tokens[i]) && !beginsOperand(tokens[i+1]) {
		i++ // the grammar stops at the sign that has nothing after it
	}
	t, col := tokens[i], column(text, tokens[i].Pos.Offset)
	if i == 0 || !endsOperand(tokens[i-1]) {
		return wantOperand(tokens, i, col)
	}
	before := tokens[i-1]
	switch {
	case t.EOF():
		return &SyntaxError{col, "the formula ends too early", ""}
	case before.Type == numberType && t.Type == nameType:
		return &SyntaxError{col, fmt.Sprintf("found %q after the number %s; a formula holds bare numbers", t.Value, before.Value),
			"a given with the value " + fmt.Sprintf("%q", before.Value+" "+t.Value) + " and its name here"}
	case before.Type == numberType && t.Value == ",":
		return &SyntaxError{col, `found "," after the number ` + before.Value, "a decimal point"}
	case isComparison(t):
		return &SyntaxError{col, fmt.Sprintf("found a second comparison %q; comparisons make no chain", t.Value), "a < b and b < c"}
	case t.Type == nameType && (strings.EqualFold(t.Value, "and") || strings.EqualFold(t.Value, "or")):
		return &SyntaxError{col, fmt.Sprintf("found %q", t.Value), strings.ToLower(t.Value)}
	}
	return &SyntaxError{col, fmt.Sprintf("found %q after %q, expected an operator such as + or <, or the end", t.Value, before.Value), ""}
}

func wantOperand(tokens []lexer.Token, i, col int) error {
	found := "the end"
	if t := tokens[i]; !t.EOF() {
		found = fmt.Sprintf("%q", t.Value)
	}
	where := "at the begin"
	if i > 0 {
		where = fmt.Sprintf("after %q", tokens[i-1].Value)
	}
	if tokens[i].Value == "not" {
		return &SyntaxError{col, fmt.Sprintf("found %q %s, where it needs brackets", "not", where), "(not …)"}
	}
	return &SyntaxError{col, fmt.Sprintf("found %s %s, expected a name, a number or \"(\"", found, where), ""}
}

// joins tells whether t may stand between two operands.
func joins(t lexer.Token) bool {
	return t.Type == signType && t.Value != "(" && t.Value != ")" || t.Value == "and" || t.Value == "or"
}

func beginsOperand(t lexer.Token) bool {
	return t.Type == numberType || t.Type == nameType || t.Type == textType || t.Value == "(" || t.Value == "-" || t.Value == "not"
}

func endsOperand(t lexer.Token) bool {
	return t.Type == numberType || t.Type == nameType || t.Type == textType || t.Value == ")"
}

func isComparison(t lexer.Token) bool {
	switch t.Value {
	case "==", "!=", "<", "<=", ">", ">=":
		return true
	}
	return false
}
