package protocol

import (
	"strings"
	"testing"

	"example.org/meniscus/calc/reference"
)

const oilOnly = `format = 1
[protocol]
id = "oil"
title = "Oil"
version = "1"
purpose = "Invented."
[profile.mine]
title = "Mine"
source = "invented"
acids = { "18:1" = 60, "18:2" = 40 }
TOLERANCE
[[given]]
id = "oil"
kind = "choice"
choices = ["mine"]
[[amount]]
id = "mass"
formula = "oil_molar_mass(oil)"
unit = "g/mol"
[[stage]]
id = "look"
title = "Look"
`

func TestProfileTolerance(t *testing.T) {
	tests := []struct {
		line  string
		wants float64 // half-width, in percent of all acids
		says  string
	}{
		{"", 0, ""},
		{`tolerance = "1 %"`, 1, ""},
		{`tolerance = "0.02"`, 2, ""},
		{`tolerance = "-1 %"`, 0, `oil.toml:11:13: profile "mine": tolerance = "-1 %" is negative; write a positive quantity`},
		{`tolerance = "1 g"`, 0, `oil.toml:11:13: profile "mine": tolerance = "1 g" does not fit`},
		{`tolerence = "1 %"`, 0, `oil.toml:11:1: unknown key "tolerence" in profile "mine"; write tolerance`},
	}
	for _, tt := range tests {
		p, err := Load("oil.toml", []byte(strings.Replace(oilOnly, "TOLERANCE", tt.line, 1)))
		if tt.says != "" {
			if err == nil || !strings.HasPrefix(err.Error(), tt.says) {
				t.Errorf("%s:\n got %v\nwant %s", tt.line, err, tt.says)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s: %v", tt.line, err)
			continue
		}
		exact, err := reference.NewProfile("mine", map[string]float64{"18:1": 60, "18:2": 40})
		if err != nil {
			t.Fatal(err)
		}
		want := exact.Within(tt.wants).Triglyceride().U()
		s, err := p.Scale(nil)
		if err != nil {
			t.Fatal(err)
		}
		if v, err := s.Value("mass"); err != nil || v.Number.U() != want {
			t.Errorf("%s: the molar mass has u = %g, %v; want %g", tt.line, v.Number.U(), err, want)
		}
	}
}

func TestProfileIsATable(t *testing.T) {
	const want = `oil.toml:8:9: profile: other = 3 is a number, not a table; write [profile.other]`
	text := strings.NewReplacer("[profile.mine]", "[profile]\nother = 3\n[profile.mine]", "TOLERANCE", "").Replace(oilOnly)
	_, err := Load("oil.toml", []byte(text))
	if err == nil || err.Error() != want {
		t.Errorf("got %v\nwant %s", err, want)
	}
}
