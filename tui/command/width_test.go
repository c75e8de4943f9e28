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

// TestPlainWidth: the plain face breaks its lines one column before the terminal would, and breaks none where it is not to, or
// where the output is no terminal.
func TestPlainWidth(t *testing.T) {
	outer, inner, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer outer.Close()
	defer inner.Close()
	if err := pty.Setsize(outer, &pty.Winsize{Rows: 24, Cols: 80}); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		name string
		e    *env
		want int
	}{
		{"a terminal", &env{out: inner}, 79},
		{"a terminal, long lines", &env{out: inner, look: look{longLines: true}}, 0},
		{"no terminal", &env{out: &bytes.Buffer{}}, 0},
	} {
		if got := tt.e.plainWidth(); got != tt.want {
			t.Errorf("%s: %d columns, want %d", tt.name, got, tt.want)
		}
	}
}
