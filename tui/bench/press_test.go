package bench

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"example.org/meniscus/protocol/run"
)

func typed(text string) tea.KeyMsg { return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(text)} }

func pasted(text string) tea.KeyMsg {
	return tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune(text), Paste: true}
}

// atBench returns a player at the first step, which asks for the oil weighed, 49 to 51 g.
func atBench(t testing.TB, vessels int) *player {
	p := newPlayer(t, vessels)
	p.play("", "")
	return p
}

// facts are the kinds of what was recorded.
func (p *player) facts() string {
	var kinds []string
	for _, e := range p.events {
		kinds = append(kinds, e.What.Kind())
	}
	return strings.Join(kinds, " ")
}

// TestManyRunes: fast typing reaches the program as one message with many runes, and means what the runes mean alone.
func TestManyRunes(t *testing.T) {
	streams := []string{
		"50.04\r1\r", "50,04\n", "5.06\r\r", "5.06\r-\r50.0\r", "nwet neck\r50.04\r", "nB 12\r", "m?x50.04\r", "a50.04\ra",
		"B50\rA51\r", "zcut\r\r", "50.04\r\n1\r\n", "5\x00\x1b[31m0\r",
	}
	for _, stream := range streams {
		one, many := atBench(t, 2), atBench(t, 2)
		many.send(typed(stream))
		for i, r := range stream {
			if r == '\n' && i > 0 && stream[i-1] == '\r' {
				continue
			}
			one.send(typed(string(r)))
		}
		if diff := cmp.Diff(one.events, many.events, cmpopts.EquateEmpty()); diff != "" {
			t.Errorf("%q one by one and at once differ:\n%s", stream, diff)
		}
		if one.text() != many.text() {
			t.Errorf("%q shows\n%s\none by one, and at once\n%s", stream, one.text(), many.text())
		}
	}
}

// TestKeys: a line of the grammar, typed as keys, gives the events that the operator gives for the line.
func TestKeys(t *testing.T) {
	lines := []string{"", "50.04", "2", "34,5", "n neck was wet", "a", "a", "B", "", "5.06", "-", "50", "A", "c oil_weighed 50.1 misread", "e 5 late start", "s broke", ""}
	keys, direct := atBench(t, 2), atBench(t, 2)
	o := direct.now().Operator
	for _, line := range lines {
		keys.at, direct.at = keys.at+time.Second, direct.at+time.Second
		keys.play(line)
		o.Enter(line, 0)
	}
	if diff := cmp.Diff(direct.events, keys.events); diff != "" {
		t.Errorf("typed at the bench, lines give other events (-line +keys):\n%s", diff)
	}
	if len(keys.events) < 12 {
		t.Errorf("only %d events: %s", len(keys.events), keys.facts())
	}
}

// TestWholeRun walks the invented procedure to its end, where the summary shows itself.
func TestWholeRun(t *testing.T) {
	p := newPlayer(t, 1)
	p.play("", "", "50.04", "1", "+4m1s", "", "40", "+4m", "", "+4m", "", "54.1", "")
	for range 3 {
		p.play("8.7", "+1m", "", "+3m", "")
	}
	p.play("+45m")
	for range 10 {
		if st := p.now().views[0].Stage; st != nil && st.ID == "settle" {
			break
		}
		p.play("") // reminders, then the end of the wait, in which one may be asked about
	}
	p.play("17", "+10m", "17", "+30m", "", "t LOT 7", "")
	m := p.now()
	if !m.Ended() || m.Run().Ended == nil || m.Run().Ended.Abandoned {
		t.Fatalf("the run is not at its end: %s\n%s", p.facts(), p.text())
	}
	if text := p.text(); !strings.Contains(text, "Summary: Ethyl ester") || !strings.Contains(text, "runs/run-1.journal") {
		t.Errorf("the end shows\n%s", text)
	}
	p.play("")
	if !p.now().Left() {
		t.Error("Enter does not leave the summary")
	}
}

// TestTypedAt: a reading counts from its first digit, not from Enter.
func TestTypedAt(t *testing.T) {
	p := atBench(t, 1)
	p.at = 40 * time.Second
	p.send(typed("5"))
	p.at = 55 * time.Second
	p.send(typed("0.0\r"))
	got := p.now().Run().Vessels[0].Taken[0].At.Elapsed
	if got != 40*time.Second {
		t.Errorf("the reading is of %s, want 40s, when its first digit was typed", got)
	}
}

func TestNotSaved(t *testing.T) {
	p := atBench(t, 1)
	p.fails = errors.New("disk full")
	p.play("50.04")
	if text := p.text(); !strings.Contains(text, "not saved: disk full; Enter tries again") || !strings.Contains(text, "50.04▏") {
		t.Errorf("a line that was not saved must stay and be told:\n%s", text)
	}
	p.fails = nil
	p.play("")
	if n := len(p.now().Run().Vessels[0].Taken); n != 1 || strings.Contains(p.text(), "not saved") {
		t.Errorf("Enter took %d readings, want 1:\n%s", n, p.text())
	}
	p.play("3")
	p.play("c oil_weighed 5.06 misread")
	p.fails = errors.New("disk full")
	p.play("")
	p.fails = nil
	p.play("")
	if got := p.now().Run().Vessels[0].Taken[0].Value; got != 5.06 {
		t.Errorf("the confirmed correction, saved at the second try, gives %v, want 5.06 (%s)", got, p.facts())
	}
}

func TestPaste(t *testing.T) {
	tests := []struct{ paste, line string }{
		{"50.04", "50.04"},
		{"50.04\r\n51\r\n", "50.04  51  "},
		{"quit", ""},
		{"\x1b[2J7\x07", ""}, // begins as no reading does
		{"1\x002.5", ""},     // would be another number without it
		{strings.Repeat("5", 100_000), strings.Repeat("5", 200)},
	}
	for _, tt := range tests {
		p := atBench(t, 1)
		before := len(p.events)
		p.send(pasted(tt.paste))
		if got := string(p.now().line); got != tt.line {
			t.Errorf("pasting %.20q leaves the line %q, want %q", tt.paste, got, tt.line)
		}
		if len(p.events) != before || p.now().left {
			t.Errorf("pasting %.20q did something: %s", tt.paste, p.facts())
		}
	}
	p := atBench(t, 1)
	p.send(typed("n"), pasted("qA\x1bz lot 7"))
	if got := string(p.now().line); got != "nqAz lot 7" {
		t.Errorf("pasting into a note leaves %q", got)
	}
}

func TestDebounce(t *testing.T) {
	p := &player{t: t}
	o := p.options()
	m := newPlayer(t, 2)
	o.Operator, o.Debounce = m.now().Operator, 300*time.Millisecond
	m.model = New(o)
	m.play("")
	m.at = time.Second
	m.play("") // enters the first stage
	m.play("50.04", "1")
	before := len(m.events)
	m.at += 200 * time.Millisecond
	m.play("")
	if len(m.events) != before {
		t.Errorf("an Enter 200 ms after one that acted is a bounce, and did: %s", m.facts())
	}
	m.play("B", "")
	if len(m.events) == before {
		t.Error("an Enter for another vessel is none")
	}
}

// TestReadTheQuestionFirst: an Enter out of habit, right after the one that led to a question, does not answer it; Esc does.
func TestReadTheQuestionFirst(t *testing.T) {
	asked := func() *player {
		p := newPlayer(t, 1)
		o := p.now().Options
		o.Debounce = 300 * time.Millisecond
		p.model = New(o)
		for _, line := range []string{"", "", "5.06"} {
			p.at += time.Second
			p.play(line)
		}
		if p.now().Operator.Open() == nil {
			t.Fatalf("no question:\n%s", p.text())
		}
		return p
	}
	p := asked()
	for _, after := range []time.Duration{310 * time.Millisecond, 440 * time.Millisecond} {
		p.at += after
		p.play("")
		if text := p.text(); p.now().Operator.Open() == nil || !strings.Contains(text, "Read the question first, then Enter again.") || !strings.Contains(text, "Keep it?") {
			t.Errorf("an Enter %s later:\n%s", after, text)
		}
	}
	p.at += 810 * time.Millisecond
	p.play("")
	if text := p.text(); p.now().Operator.Open() != nil || !strings.Contains(text, "Oil weighed: 5.06 g (outside") {
		t.Errorf("an Enter 0.81 s after the last:\n%s", text)
	}
	p = asked()
	p.at += 100 * time.Millisecond
	p.send(tea.KeyMsg{Type: tea.KeyEsc})
	if p.now().Operator.Open() != nil {
		t.Errorf("Esc at once:\n%s", p.text())
	}
}

// TestDebounceBetweenScreens: one press of a foot switch goes one screen on, not two.
func TestDebounceBetweenScreens(t *testing.T) {
	p := newPlayer(t, 1)
	o := p.now().Options
	o.Debounce = 300 * time.Millisecond
	p.model = New(o)
	p.play("", "")
	if got := p.facts(); got != "cautions acknowledged" {
		t.Errorf("two Enters at once recorded %q", got)
	}
	p.at += time.Second
	p.play("z enough")
	p.at += time.Second
	p.play("")
	if !p.now().Ended() {
		t.Fatalf("the run has not ended: %s", p.facts())
	}
	p.play("")
	if p.now().Left() {
		t.Error("the Enter that ended the run, sent twice, leaves its summary")
	}
	p.at += time.Second
	p.play("")
	if !p.now().Left() {
		t.Error("Enter does not leave the summary")
	}
}

func TestBell(t *testing.T) {
	p := atBench(t, 1)
	ring := func(by time.Duration, want int, why string) {
		t.Helper()
		p.at += by
		m := p.now()
		m.refresh()
		if got := m.bell.look(m.views, m.now); got != want {
			t.Errorf("%s: %d strokes, want %d", why, got, want)
		}
		p.model = m
	}
	ring(time.Second, 0, "the operator began the stage and stands there")
	p.play("50.04", "1")
	ring(time.Second, 0, "the wait has begun")
	ring(4*time.Minute, strokesReminder, "a reminder fell due")
	ring(time.Second, 0, "it rang a second ago")
	ring(bellAgain, strokesReminder, "nobody answered")
	p.play("m")
	ring(bellAgain, 0, "a key answers")
	ring(8*time.Minute, 0, "muted: the clock is up")
	if !strings.Contains(p.text(), "BELL") || !strings.Contains(p.text(), "bell muted") {
		t.Errorf("a muted call must be seen:\n%s", p.text())
	}
	p.play("m")
	ring(10*time.Minute, strokesLate, "the latest end has passed")
	p.play("")
	ring(bellAgain, 0, "answered")
}

// TestStrokes: so many strokes are so many commands, one after the other.
func TestStrokes(t *testing.T) {
	p := atBench(t, 1)
	m := p.now()
	if m.sound(0) != nil {
		t.Error("no strokes want no command")
	}
	if msg := m.sound(1)(); msg != nil || p.bells != 1 {
		t.Errorf("one stroke gave %v and %d bells", msg, p.bells)
	}
	batch, ok := m.sound(3)().(tea.BatchMsg)
	if !ok || len(batch) != 2 {
		t.Fatalf("three strokes begin with one and a pause, got %T", m.sound(3)())
	}
	batch[0]()
	if p.bells != 2 {
		t.Errorf("%d bells, want 2", p.bells)
	}
}

// TestNoSound: why there is no sound is shown.
func TestNoSound(t *testing.T) {
	p := atBench(t, 1)
	p.deaf = errors.New("the horn is broken")
	m := p.now()
	p.send(m.sound(1)())
	if !strings.Contains(p.text(), "the horn is broken") {
		t.Errorf("not shown:\n%s", p.text())
	}
}

// TestFollow: the hands go on with a look at the clock, but not while a line is typed.
func TestFollow(t *testing.T) {
	p := atBench(t, 2)
	p.play("50.04", "1")
	if got := p.now().Operator.Vessel; got != "B" || !strings.Contains(p.text(), "Vessel B now: Charge.") {
		t.Fatalf("%s is in hand:\n%s", got, p.text())
	}
	before := len(p.events)
	p.at += 500 * time.Millisecond
	if p.play(""); len(p.events) != before || !strings.Contains(p.text(), "B is in hand now: Enter again.") {
		t.Errorf("an Enter half a second after the change did: %s", p.facts())
	}
	p.at += time.Second
	p.play("", "50", "1") // both wait
	p.send(typed("n"))
	p.play("+4m1s")
	if got := p.now().Operator.Vessel; got != "B" {
		t.Errorf("%s is in hand while a note of B is typed", got)
	}
	p.send(tea.KeyMsg{Type: tea.KeyEsc})
	p.send(tickMsg{})
	if got := p.now().Operator.Vessel; got != "B" {
		t.Errorf("%s is in hand, and B's own reminder is due", got)
	}
	p.play("")
	if got := p.now().Operator.Vessel; got != "A" {
		t.Errorf("%s is in hand after the reminder of B, while A's is due", got)
	}
}

// TestALineBegunTooSoon goes to the vessel that was in hand when the finger set out.
func TestALineBegunTooSoon(t *testing.T) {
	p := atBench(t, 2)
	p.play("50.04", "1")
	p.at += 300 * time.Millisecond
	p.play("34.5")
	if last := p.events[len(p.events)-1]; last.Vessel != "A" || last.What.Kind() != "reading taken" {
		t.Errorf("it landed on %s: %s", last.Vessel, p.facts())
	}
}

// TestAddVessel: v opens a line for the givens of one more vessel.
func TestAddVessel(t *testing.T) {
	p := atBench(t, 1)
	p.play("v oil_mass=60 g")
	if got := len(p.now().views); got != 2 || !strings.Contains(p.text(), "Vessel B is in the run") {
		t.Errorf("%d vessels:\n%s", got, p.text())
	}
	p.play("B", "")
	if last := p.events[len(p.events)-1]; last.Vessel != "B" {
		t.Errorf("the last act is on %q", last.Vessel)
	}
}

func TestReadThrough(t *testing.T) {
	p := newPlayer(t, 2)
	o := p.now().Options
	o.ReadThrough = true
	p.model = New(o)
	p.size(80, 12)
	for i := 0; p.now().screen == briefing; i++ {
		if i > 20 {
			t.Fatal("Enter never comes to the end of the briefing")
		}
		if p.play(""); p.now().screen == working && i < 2 {
			t.Fatalf("acknowledged after %d pages", i)
		}
	}
	if got := p.facts(); got != "cautions acknowledged" {
		t.Errorf("reading the briefing recorded %q", got)
	}
}

// TestSuspendAndRedraw: the keys that belong to the terminal.
func TestSuspendAndRedraw(t *testing.T) {
	p := atBench(t, 1)
	if msg := p.send(tea.KeyMsg{Type: tea.KeyCtrlZ})(); fmt.Sprintf("%T", msg) != "tea.SuspendMsg" {
		t.Errorf("ctrl-z gives %T", msg)
	}
	for _, msg := range []tea.Msg{tea.ResumeMsg{}, Redraw{}} {
		if cmd := p.send(msg); cmd == nil || fmt.Sprintf("%T", cmd()) != fmt.Sprintf("%T", tea.ClearScreen()) {
			t.Errorf("%T does not clear the screen", msg)
		}
	}
	p.send(typed("n"), tea.KeyMsg{Type: tea.KeyCtrlC})
	if !p.now().Left() {
		t.Error("ctrl-c does not leave while a line is open")
	}
}

// TestAscii: with the plain set, a frame has nothing beyond ASCII.
func TestAscii(t *testing.T) {
	p := newPlayer(t, 2)
	o := p.now().Options
	o.Ascii = true
	p.model = New(o)
	seen := ""
	for _, line := range []string{"", "", "50.04", "1", "+5m", "", "B", "", "5.06", "-", "n µ—日", "?"} {
		seen += p.text()
		p.play(line)
	}
	for _, r := range seen + p.text() {
		if r > '~' {
			t.Fatalf("%q is not ASCII", r)
		}
	}
}

func BenchmarkFrame(b *testing.B) {
	p := newPlayer(b, 2)
	p.play("", "", "50.04", "1", "+2m", "34.5", "+2m", "43.6")
	o := p.now().Options
	o.Palette.Bare, o.Palette.NoColor = false, true
	p.model = New(o)
	p.size(120, 40)
	m := p.now()
	if m.screen != working {
		b.Fatal("not at the bench")
	}
	b.ReportAllocs()
	for b.Loop() {
		if m.View() == "" {
			b.Fatal("nothing drawn")
		}
	}
}

var _ run.Recorder = (*player)(nil)
