package protocol

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"
)

// FuzzLoad looks for a file that brings the loader down, or whose faults stand outside of it.
func FuzzLoad(f *testing.F) {
	for _, pattern := range []string{"../testdata/protocol/*.toml", "../testdata/invalid/*.toml"} {
		files, err := filepath.Glob(pattern)
		if err != nil || len(files) == 0 {
			f.Fatalf("no files %s: %v", pattern, err)
		}
		for _, file := range files {
			text, err := os.ReadFile(file)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(text)
		}
	}
	f.Add([]byte("'\ueb33")) // a fault that the parser places inside a character
	f.Fuzz(func(t *testing.T, text []byte) {
		p, err := Load("fuzz.toml", text)
		if err == nil {
			if s, err := p.Scale(nil); err == nil {
				s.Warnings()
			}
			return
		}
		lines := strings.Split(strings.TrimPrefix(string(text), "\ufeff"), "\n")
		for _, e := range err.(Errors) {
			if e.Line < 1 || e.Line > len(lines) || e.Col < 1 || e.Col > utf8.RuneCountInString(lines[e.Line-1])+1 {
				t.Errorf("%v: outside of the file", e)
			}
		}
	})
}
