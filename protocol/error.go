package protocol

import (
	"fmt"
	"strings"
)

// A SyntaxError says where a protocol file is wrong and what to write.
type SyntaxError struct {
	File      string
	Line, Col int    // 1-based; Col in runes
	Msg       string // what is wrong, with the offending text
	Remedy    string // what to write, as the file would spell it; "" when the message says it
}

func (e *SyntaxError) Error() string {
	if e.Remedy == "" {
		return fmt.Sprintf("%s:%d:%d: %s", e.File, e.Line, e.Col, e.Msg)
	}
	return fmt.Sprintf("%s:%d:%d: %s; write %s", e.File, e.Line, e.Col, e.Msg, e.Remedy)
}

// Errors are all the faults of one file, in file order.
type Errors []*SyntaxError

func (es Errors) Error() string {
	lines := make([]string, len(es))
	for i, e := range es {
		lines[i] = e.Error()
	}
	return strings.Join(lines, "\n")
}
