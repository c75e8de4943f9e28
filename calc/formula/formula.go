package formula

// The package's face; the work is done in parse.go, check.go and eval.go.

// MaxLength and MaxDepth bound a formula's text, in bytes, and its nesting.
const (
	MaxLength = 4000
	MaxDepth  = 60
)

// A SyntaxError says where a formula is wrong and what to write.
type SyntaxError struct {
	Col    int    // 1-based, in runes from the formula's begin
	Msg    string // what is wrong, with the offending text
	Remedy string // what to write; may be ""
}

func (e *SyntaxError) Error() string {
	if e.Remedy == "" {
		return e.Msg
	}
	return e.Msg + "; write " + e.Remedy
}
