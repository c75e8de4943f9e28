package protocol

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// TestUnused: what nothing uses is a warning with its place, in file order, and the file is sound. What a formula, a text, a
// reminder or a sum has is used; what says record, or is a record by its nature, is none.
func TestUnused(t *testing.T) {
	p, err := Load("unused.toml", []byte(`format = 1
[protocol]
id = "unused"
title = "Unused"
version = "1"
[[stage]]
id = "warm"
title = "Warm"
say = "Stir at {speed}."
clock = { aim = "5 min" }
ready = "last(oil) >= gate"
remind = { every = "1 min", say = "Look", reading = "haze" }
  [[stage.reading]]
  id = "oil"
  kind = "series"
  unit = "Cel"
  [[stage.reading]]
  id = "room"
  kind = "number"
  unit = "Cel"
  expect = [ "15 Cel", "" ]
  [[stage.reading]]
  id = "haze"
  kind = "choice"
  choices = [ "clear", "hazy" ]
  [[stage.reading]]
  id = "lot"
  kind = "text"
  [[stage.reading]]
  id = "stoppered"
  kind = "tick"
  [[stage.reading]]
  id = "water"
  kind = "number"
  unit = "g"
  record = "for the lab's book"
[[stage]]
id = "pour"
title = "Pour"
portions = 2
steps = [ "Pour" ]
live = [ { say = "Poured", sum = "poured", of = "dose" } ]
  [[stage.reading]]
  id = "poured"
  kind = "number"
  unit = "g"
  [[stage.reading]]
  id = "left"
  kind = "number"
  unit = "g"
[[guard]]
holds = "sum(left) < top"
say = "too much"
[[given]]
id = "gate"
value = "54 Cel"
[[given]]
id = "gtae"
value = "54 Cel"
[[given]]
id = "speed"
value = "300 /min"
[[given]]
id = "dose"
value = "5 g"
[[given]]
id = "top"
value = "5 g"
[[given]]
id = "stirrer"
kind = "choice"
choices = [ "bar", "blade" ]
per_vessel = true
[[given]]
id = "operator"
kind = "text"
[[given]]
id = "hood"
kind = "choice"
choices = [ "left", "right" ]
record = "for the lab's book"
`))
	if err != nil {
		t.Fatal(err)
	}
	want := []string{
		`unused.toml:18:8: warning: reading "room": nothing uses it; write record = "what it is kept for", or leave it out`,
		`unused.toml:58:6: warning: given "gtae": nothing uses it; write per_vessel = true where vessels are compared by it, record = "what it is kept for", or leave it out`,
	}
	if d := cmp.Diff(strings.Join(want, "\n"), p.Warnings.Error()); d != "" {
		t.Errorf("-want +got:\n%s", d)
	}
}

// TestNothingUnusedShips: the protocols that ship, and the file with every part of the format, have no warning.
func TestNothingUnusedShips(t *testing.T) {
	files, err := filepath.Glob("../protocols/*.toml")
	if err != nil || len(files) < 3 {
		t.Fatal(files, err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		p, err := Load(file, text)
		if err != nil {
			t.Error(err)
			continue
		}
		for _, w := range p.Warnings {
			t.Error(w)
		}
	}
}
