//go:build !windows

package command

import (
	"bytes"
	"testing"

	"github.com/creack/pty"
)

// TestWidthOfATerminal asks a terminal for its columns; what is no terminal has none.
func TestWidthOfATerminal(t *testing.T) {
	outer, inner, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer outer.Close()
	defer inner.Close()
	if err := pty.Setsize(outer, &pty.Winsize{Rows: 40, Cols: 132}); err != nil {
		t.Fatal(err)
	}
	if n := widthOf(inner); n != 132 {
		t.Errorf("the terminal has %d columns, want 132", n)
	}
	if n := widthOf(&bytes.Buffer{}); n != 0 {
		t.Errorf("a buffer has %d columns", n)
	}
}
