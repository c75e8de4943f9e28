package print

import "testing"

// What ends a line for some programs and not for others is spelt out; a blank of any width is a blank.
func TestVisible(t *testing.T) {
	for text, want := range map[string]string{
		"a\u2028b": `a\u2028b`, "a\u2029b": `a\u2029b`, "a\u0085b": `a\x85b`, "a\u202eb": `a\u202eb`, "a\u2003b": "a b",
	} {
		if got := visible(text); got != want {
			t.Errorf("%q is shown as %q, want %q", text, got, want)
		}
	}
}
