// Package protocols holds the procedures that ship: a TOML file for each, and a script that plays it on invented readings.
package protocols

import (
	"embed"
	"sort"
	"strings"
)

// FS holds ID.toml and ID.demo for each procedure.
//
//go:embed *.toml *.demo
var FS embed.FS

// IDs returns the ids of the procedures that ship, sorted.
func IDs() []string {
	files, err := FS.ReadDir(".")
	if err != nil {
		return nil // an embedded folder is always there
	}
	var ids []string
	for _, f := range files {
		if id, ok := strings.CutSuffix(f.Name(), ".toml"); ok {
			ids = append(ids, id)
		}
	}
	sort.Strings(ids)
	return ids
}

// Text returns the file of a procedure; ok is false when none of that id ships.
func Text(id string) (text []byte, ok bool) {
	text, err := FS.ReadFile(id + ".toml")
	return text, err == nil
}

// Demo returns the script that plays a procedure; ok is false when there is none, or when it is unsound, which a test
// rules out.
func Demo(id string) (Script, bool) {
	text, err := FS.ReadFile(id + ".demo")
	if err != nil {
		return Script{}, false
	}
	s, err := ParseScript(id+".demo", text)
	return s, err == nil
}
