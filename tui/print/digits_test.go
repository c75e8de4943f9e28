package print_test

import (
	"bytes"
	"strings"
	"testing"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/paper"
	"example.org/meniscus/protocol/summary"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui/print"
)

// A reading without a unit keeps all its digits on the page, the last 1 too.
func TestReadingsWithoutAUnitKeepTheirDigits(t *testing.T) {
	text, _ := protocols.Text("burn-test")
	p, err := protocol.Load("burn-test.toml", text)
	if err != nil {
		t.Fatal(err)
	}
	for typed, want := range map[string]string{"21": "21", "2.31": "2.31", "1": "1", "3": "3"} {
		events, err := paper.Read(strings.NewReader("vessel,reading,value,unit,at\nA,soot,"+typed+",,\n"), p, "soot", paper.Options{})
		if err != nil {
			t.Fatal(err)
		}
		s, err := summary.Of(p, events)
		if err != nil {
			t.Fatal(err)
		}
		var page bytes.Buffer
		if err := print.Text(&page, s, print.Options{}); err != nil {
			t.Fatal(err)
		}
		found := false
		for line := range strings.Lines(page.String()) {
			if f := strings.Fields(line); len(f) > 1 && f[len(f)-2] == "Soot" && f[len(f)-1] == want {
				found = true
			}
		}
		if !found {
			t.Errorf("typed %q: no line ends in Soot %s", typed, want)
		}
	}
}
