package protocol

import (
	"fmt"
	"strings"
)

// The bounds of a file. They are far above what a procedure needs and keep a hostile file from doing harm.
const (
	MaxSize    = 1 << 20 // bytes
	maxNesting = 12      // arrays and inline tables inside one another
	maxBlocks  = 200     // blocks of one kind: stages, readings of a stage, givens, ...
	maxFaults  = 100     // faults told of one file
	maxPortion = 100     // portions of a stage
	maxValues  = 20_000  // keys and values of a file
	maxKey     = 100     // bytes of a key
	maxWords   = 10_000  // bytes of a text
	maxGiven   = 1000    // bytes of a given as it is typed
	maxNames   = 50      // names that a text mentions
)

// tooDeep looks for the first bracket or brace that is nested deeper than the bound, outside strings and comments; it
// runs before any parser, since those call themselves for each level.
func tooDeep(text string) *fault {
	depth := 0
	for i := 0; i < len(text); {
		switch c := text[i]; c {
		case '"', '\'':
			i = stringEnd(text, i)
			continue
		case '#':
			if n := strings.IndexByte(text[i:], '\n'); n >= 0 {
				i += n
			} else {
				i = len(text)
			}
			continue
		case '[', '{':
			if depth++; depth > maxNesting {
				return &fault{i, fmt.Sprintf("brackets are nested more than %d deep", maxNesting), ""}
			}
		case ']', '}':
			depth = max(0, depth-1)
		}
		i++
	}
	return nil
}

// stringEnd returns the offset behind the string that begins at i; an unclosed one-line string ends with its line.
func stringEnd(text string, i int) int {
	quote := text[i : i+1]
	long := strings.HasPrefix(text[i:], strings.Repeat(quote, 3))
	if long {
		i += 2
	}
	for i++; i < len(text); i++ {
		switch {
		case text[i] == '\\' && quote == `"`:
			i++
		case text[i] == '\n' && !long:
			return i
		case text[i] != quote[0]:
		case !long:
			return i + 1
		case strings.HasPrefix(text[i:], strings.Repeat(quote, 3)):
			i += 3
			for i < len(text) && text[i] == quote[0] { // up to two quotes may belong to the text
				i++
			}
			return i
		}
	}
	return len(text)
}
