package bench

import (
	"slices"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/summary"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui/rehearsal"
)

// withHands gives the player's screens hands: an Enter may bounce.
func (p *player) withHands() *player {
	o := p.now().Options
	o.Operator, o.Debounce = p.now().Operator, 300*time.Millisecond
	p.model = New(o)
	return p
}

// burst types a line key by key, so long apart, or in one message where that is 0.
func (p *player) burst(line string, apart time.Duration) {
	if apart == 0 {
		p.send(typed(line))
		return
	}
	for _, r := range line {
		p.at += apart
		if p.send(typed(string(r))); p.at%(500*time.Millisecond) < apart {
			p.send(tickMsg{})
		}
	}
}

// TestALineOnTheWrongScreen: what comes in one go with a sign that means nothing here does nothing either, be it as one
// message, as a fast typist strikes it or as a slow one does; and it is said.
func TestALineOnTheWrongScreen(t *testing.T) {
	bench := func(t *testing.T) *player {
		p := atBench(t, 1)
		p.play("50.04")
		return p
	}
	asked := func(t *testing.T) *player {
		p := atBench(t, 1)
		p.play("5.06")
		return p
	}
	help := func(t *testing.T) *player {
		p := atBench(t, 1)
		p.play("?")
		return p
	}
	briefed := func(t *testing.T) *player { return newPlayer(t, 1) }
	summary := func(t *testing.T) *player {
		p := atSummary(t)
		return p
	}
	sumAsked := func(t *testing.T) *player {
		p := atSummary(t)
		p.play("c 60 display misread")
		return p
	}
	for _, tt := range []struct {
		name  string
		at    func(*testing.T) *player
		line  string
		shows string
	}{
		{"bench", bench, ":13:39 product_sample 10.02\r", "nothing done with “:13:39 product_sample 10.02”"},
		{"bench", bench, "k\r", "nothing done with “k”: the key k does nothing here"},
		{"bench", bench, "product_sample 10.02\r", "nothing done with “product_sample 10.02”"},
		{"a question at the bench", asked, "k\r", "nothing done with “k”"},
		{"help", help, "12.5\r", "nothing done with “12.5”"},
		{"briefing", briefed, "12.5\r", "nothing done with “12.5”"},
		{"briefing", briefed, "n wet neck\r", "nothing done with “n wet neck”"},
		{"summary", summary, "12.5 c 13 x\r", "nothing done with “12.5 c 13 x”: the run is closed"},
		{"summary", summary, "product_sample 10.02\r", "nothing done with “product_sample 10.02”"},
		{"summary", summary, "k\r", "nothing done with “k”"},
		{"a question on the summary", sumAsked, "7\r", "nothing done with “7”: a question is open"},
	} {
		for _, apart := range []time.Duration{0, 5 * time.Millisecond, 120 * time.Millisecond, 300 * time.Millisecond} {
			p := tt.at(t).withHands()
			p.at += time.Minute
			if tt.name == "help" { // it was closed by the new screens
				p.play("?")
				p.at += time.Second
			}
			before, screen, open := len(p.events), p.now().screen, p.now().Operator.Open() != nil
			p.burst(tt.line, apart)
			m := p.now()
			if len(p.events) != before || m.screen != screen || m.left || len(m.line) > 0 || (m.Operator.Open() != nil) != open {
				t.Errorf("%s, %q, %s apart: %s, line %q, left %t:\n%s", tt.name, tt.line, apart, p.facts(), string(m.line), m.left, p.text())
			}
			if text := strings.Join(strings.Fields(p.text()), " "); !strings.Contains(text, tt.shows) {
				t.Errorf("%s, %q, %s apart: %q is not said:\n%s", tt.name, tt.line, apart, tt.shows, p.text())
			}
		}
	}
}

// TestAfterAStray: after a pause, or Esc, keys mean again what they say.
func TestAfterAStray(t *testing.T) {
	for name, wait := range map[string]func(p *player){
		"a pause": func(p *player) { p.at += pause },
		"Esc":     func(p *player) { p.send(tea.KeyMsg{Type: tea.KeyEsc}) },
	} {
		p := atBench(t, 1).withHands()
		p.at += time.Second
		p.send(typed("k"))
		p.send(typed("5"))
		if len(p.now().line) > 0 {
			t.Fatalf("%s: a digit at once opens a line", name)
		}
		wait(p)
		if p.play("50.04"); len(p.now().Run().Vessels[0].Taken) != 1 {
			t.Errorf("after %s the reading is not taken:\n%s", name, p.text())
		}
	}
	p := atBench(t, 1) // where no hands type, a line ends with its Enter
	p.play("k 7", "50.04")
	if len(p.now().Run().Vessels[0].Taken) != 1 {
		t.Errorf("the line after a stray one is not taken:\n%s", p.text())
	}
}

// TestAStrayAtTheChooser begins nothing.
func TestAStrayAtTheChooser(t *testing.T) {
	p := &player{t: t}
	o := p.options()
	begun := ""
	o.Protocols = []Offer{{ID: "one", Title: "One"}, {ID: "two", Title: "Two"}}
	o.Begin = func(id string) (*run.Engine, error) { begun = id; return nil, nil }
	p.model = New(o)
	for range 2 { // one message, then key by key
		p.send(typed("n 2\r"))
		for _, k := range Keys("@13:39 2") {
			p.send(k)
		}
		if m := p.now(); begun != "" || m.picked != 0 || !strings.Contains(p.text(), "nothing done with “") {
			t.Errorf("begun %q, picked %d:\n%s", begun, m.picked, p.text())
		}
		p.send(tickMsg{}, tickMsg{})
	}
	if p.play("2"); begun != "two" {
		t.Errorf("a number after a pause begins %q", begun)
	}
}

// acidValue is the acid value of the first vessel by its summary; 0 where it has none.
func acidValue(s *run.State) float64 {
	for _, r := range summary.FromState(s).Vessels[0].Results {
		if r.ID == "acid_value" && r.Value != nil {
			return *r.Value
		}
	}
	return 0
}

// TestMissedReading: on the summary of a batch of esters whose sample was weighed and not typed, the line that says so does
// nothing else, and the acid value comes out as in a run in which it was typed at once.
func TestMissedReading(t *testing.T) {
	script := shipped(t, "ester-batch")
	end := script.Lines[len(script.Lines)-1].At
	script.Lines = append(slices.Clip(script.Lines), protocols.Line{At: end + time.Hour}) // not played
	want := acidValue(played(t, script, nil, end).now().Run())
	missed := slices.IndexFunc(script.Lines, func(l protocols.Line) bool { return l.Typed == "10.02" })
	if missed < 0 || want == 0 {
		t.Fatalf("the demo has changed: line %d, acid value %g", missed, want)
	}
	at := rehearsal.Day.Add(script.Lines[missed].At).Format("15:04:05")
	for _, tt := range []struct {
		instead string
		lines   []string
	}{
		{"x balance in use", []string{"@" + at + " product_sample 10.02 noted on paper"}},
		{"s balance in use", []string{"@" + at + " product_sample 10.02 noted on paper", "@" + at + " product_titre 0.64 mL noted on paper"}},
	} {
		lost := script
		lost.Lines = slices.Clone(script.Lines)
		lost.Lines[missed].Typed = tt.instead
		if tt.instead[0] == 's' { // yes to the question; the titre is skipped with it
			lost.Lines[missed+1] = protocols.Line{At: lost.Lines[missed].At, Vessel: "A"}
		}
		p := played(t, lost, nil, end)
		s := p.now().Run()
		if s.Ended == nil || acidValue(s) != 0 {
			t.Fatalf("%s: ended %v, acid value %g", tt.instead, s.Ended, acidValue(s))
		}
		for _, size := range [][2]int{{80, 24}, {48, 20}, {120, 40}} {
			p.size(size[0], size[1])
			if text := strings.Join(strings.Fields(p.text()), " "); !strings.Contains(text, lateShape) {
				t.Errorf("%v: the summary does not say how:\n%s", size, p.text())
			}
		}
		p.play("?")
		p.size(80, 200)
		if text := p.text(); !strings.Contains(text, "product_titre") || !strings.Contains(text, "has read or missed") {
			t.Errorf("the help does not name what was missed:\n%s", text)
		}
		p.play("")
		for _, line := range tt.lines {
			p.send(typed(line + "\r"))
			if text := p.text(); !strings.Contains(text, "entered later") {
				t.Fatalf("%q:\n%s", line, text)
			}
		}
		if got := acidValue(s); got != want {
			t.Errorf("%s: acid value %g, want %g as typed at once", tt.instead, got, want)
		}
		sample := s.Vessels[0].Newest(true)
		for i := range s.Vessels[0].Taken {
			if t := &s.Vessels[0].Taken[i]; t.Reading.ID == "product_sample" {
				sample = t
			}
		}
		if got := sample.At.At.In(rehearsal.Day.Location()).Format("15:04:05"); got != at || sample.Entered == nil {
			t.Errorf("read at %s, entered %v; want it at %s", got, sample.Entered, at)
		}
	}
}

// TestTakingBackAsks: on the bench and on the summary, for the last reading and for one that is named.
func TestTakingBackAsks(t *testing.T) {
	for _, line := range []string{"u display misread", "u oil_weighed display misread"} {
		for name, p := range map[string]*player{"summary": atSummary(t), "bench": atBench(t, 1)} {
			if name == "bench" {
				p.play("50.04")
			}
			before := len(p.events)
			p.play(line)
			if text := strings.Join(strings.Fields(p.text()), " "); len(p.events) != before || !strings.Contains(text, "back, for the reason “display misread”?") {
				t.Errorf("%s, %q: %s\n%s", name, line, p.facts(), p.text())
			}
			p.play("")
			if last := p.events[len(p.events)-1]; len(p.events) != before+1 || last.What.Kind() != "reading taken back" {
				t.Errorf("%s, %q and yes: %s", name, line, p.facts())
			}
		}
	}
}
