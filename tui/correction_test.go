package tui_test

import (
	"strings"
	"testing"
	"time"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// looking is an invented protocol with a reading of each kind that is typed.
const looking = `format = 1
[protocol]
id = "looking"
title = "Looking"
version = "1.0"
[[stage]]
id = "look"
title = "Look"
steps = ["Look", "Look again"]
  [[stage.reading]]
  id = "lot"
  title = "Lot"
  kind = "text"
  step = 1
  [[stage.reading]]
  id = "volume"
  title = "Volume"
  kind = "number"
  unit = "mL"
  step = 1
  [[stage.reading]]
  id = "seen"
  title = "Look of it"
  kind = "choice"
  choices = ["clear", "cloudy"]
  step = 2
`

func look(t *testing.T) *tui.Operator {
	t.Helper()
	h := &held{}
	s, _, err := run.Begin(run.Begun{Run: "r", File: "looking.toml", Protocol: looking, Vessels: []run.VesselBegun{{Label: "A"}}}, h.Now())
	if err != nil {
		t.Fatal(err)
	}
	o := tui.NewOperator(run.NewEngine(s, h, h))
	for _, line := range []string{"", "", "t LOT 7", "12.5"} {
		h.now += time.Second
		if a := o.Enter(line, 0); a.Refused != "" || a.Ask != nil {
			t.Fatalf("%q: %+v", line, a)
		}
	}
	return o
}

// TestCorrections: what a typed correction makes of the newest value, with a yes to whatever is asked.
func TestCorrections(t *testing.T) {
	for _, tt := range []struct{ line, asked, id, want, why string }{
		{"c 12.6 misread", "", "volume", "12.6", "misread"},
		{"c 500 uL read from the tip", "", "volume", "500 uL", "read from the tip"},
		{"c volume 1 12.6 misread", "Two numbers, one after the other", "volume", "1", "12.6 misread"},
		{`c lot "LOT 8" misread`, "", "lot", "LOT 8", "misread"},
		{"c lot “LOT 8” misread", "", "lot", "LOT 8", "misread"},
		{"c lot „LOT 8“ misread", "", "lot", "LOT 8", "misread"},
		{"c lot L8 misread", "becomes “L8”, for the reason “misread”?", "lot", "L8", "misread"},
		{`c lot "LOT8 misread`, `becomes “"LOT8”`, "lot", `"LOT8`, "misread"},
	} {
		o := look(t)
		a := o.Enter(tt.line, 0)
		if got := a.Ask; (got != nil) != (tt.asked != "") || got != nil && !strings.Contains(got.Say, tt.asked) {
			t.Errorf("%s: asked %+v, want %q; %s", tt.line, got, tt.asked, a.Refused)
		}
		if a.Ask != nil {
			o.Enter("", 0)
		}
		for _, taken := range o.Engine.State.Vessels[0].Taken {
			if taken.Reading.ID == tt.id && (taken.Typed != tt.want || len(taken.Was) != 1 || taken.Was[0].Why != tt.why) {
				t.Errorf("%s: %s was %+v and is %q, want %q for the reason %q", tt.line, tt.id, taken.Was, taken.Typed, tt.want, tt.why)
			}
		}
	}
}

// TestNothingUnseenIsTyped: a sign that cannot be seen is never dropped from what becomes a number, a given or a name.
func TestNothingUnseenIsTyped(t *testing.T) {
	o := look(t)
	for line, part := range map[string]string{
		"c 1\x002.6 misread":  "U+0000",
		"c volume 12\x1b.6 x": "U+001B",
		"@-1 volume 12\x00.6": "U+0000",
		"e 1\x000 why":        "by how many minutes",
		"@10:4\x002 53.9":     "Say when",
		"v batch=1\x002":      "a sign that cannot be seen",
	} {
		if a := o.Enter(line, 0); !strings.Contains(a.Refused, part) || len(a.Events) > 0 {
			t.Errorf("%q: %+v, want a refusal with %q", line, a, part)
		}
	}
}

func TestNames(t *testing.T) {
	names := look(t).Names()
	if len(names) != 2 || names[0] != (tui.Name{ID: "lot", Title: "Lot"}) || names[1] != (tui.Name{ID: "volume", Title: "Volume"}) {
		t.Errorf("names %v, want those of the lot and the volume", names)
	}
}
