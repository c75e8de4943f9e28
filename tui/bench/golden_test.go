package bench

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui"
	"example.org/meniscus/tui/rehearsal"
)

var update = flag.Bool("update", false, "write the golden screens anew")

// sizes are those of the golden screens.
var sizes = [][2]int{{48, 20}, {80, 24}, {100, 30}, {120, 40}, {200, 60}}

// checkScreen compares the screen at every size, in both sets of signs, with what was looked at and found good. Below
// each screen of the larger set stand the roles of its cells, by the marks of TestPens.
func checkScreen(t *testing.T, p *player) {
	t.Helper()
	for _, ascii := range []bool{false, true} {
		file := t.Name() + ".golden"
		if ascii {
			file = t.Name() + "-ascii.golden"
		}
		m := p.now()
		m.look = newLook(ascii, m.Palette)
		p.model = m
		golden(t, file, allSizes(t, p, ascii))
	}
}

// golden compares a text with the one that is kept in a file among the screens.
func golden(t *testing.T, name, got string) {
	t.Helper()
	file := filepath.Join(screens, name)
	if *update {
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s is (-update after a look)\n%s\nwant\n%s", file, got, want)
	}
}

// allSizes draws the screen at every size, below a line that tells it.
func allSizes(t *testing.T, p *player, ascii bool) string {
	t.Helper()
	var out strings.Builder
	for _, size := range sizes {
		w, h := size[0], size[1]
		p.size(w, h)
		frame := p.text()
		checkSize(t, frame, w, h)
		fmt.Fprintf(&out, "%dx%d\n%s\n", w, h, frame)
		if !ascii {
			fmt.Fprintf(&out, "%dx%d, roles\n%s\n", w, h, checkColours(t, p.now(), frame))
		} else if strings.ContainsFunc(frame, func(r rune) bool { return r > '~' }) {
			t.Errorf("at %dx%d there is more than ASCII:\n%s", w, h, frame)
		}
	}
	return out.String()
}

// checkSize fails when a frame does not have exactly h lines, or a line is wider than w cells.
func checkSize(t testing.TB, frame string, w, h int) {
	t.Helper()
	lines := strings.Split(frame, "\n")
	if len(lines) != h {
		t.Fatalf("%d lines at %dx%d:\n%s", len(lines), w, h, frame)
	}
	for i, line := range lines {
		if n := boxGlyphs.width(line); n > w {
			t.Fatalf("line %d has %d cells at %dx%d:\n%s", i+1, n, w, h, frame)
		}
	}
}

// warmed leads to the wait of the second stage, catalyst to that of the first portion.
var (
	warmed   = []string{"", "", "+1m", "50,04", "+1m", "1", "+2m", "34.5", "+2m", "43.6", "+1s", "", "+4m", "", "53.9"}
	catalyst = after(warmed, "+3m40s", "54.2", "", "+1m", "8,71", "+30s", "")
)

func after(lines []string, more ...string) []string { return slices.Concat(lines, more) }

// at gives lines to a vessel: its letter before each.
func at(vessel string, lines []string) []string {
	var out []string
	for _, line := range lines {
		if !strings.HasPrefix(line, "+") {
			out = append(out, vessel)
		}
		out = append(out, line)
	}
	return out
}

func TestBench(t *testing.T) {
	tests := []struct {
		name    string
		vessels int
		lines   []string
	}{
		{"not-begun", 1, []string{""}},
		{"hands", 1, []string{"", "", "+25s"}},
		{"typing", 1, []string{"", "", "+25s", "type:50,0"}},
		{"question", 1, []string{"", "", "+25s", "5.06"}},
		{"note", 1, []string{"", "", "type:nneck was wet"}},
		{"choice", 1, []string{"", "", "+1m", "50,04"}},
		{"waiting", 1, after(warmed, "+45s")},
		{"due", 1, after(warmed, "+4m10s")},
		{"over", 1, after(warmed, "+5m", "", "+1m")},
		{"late", 1, after(warmed, "+13m")},
		{"correcting", 1, after(warmed, "type:c 54.1 misread")},
		{"corrected", 1, after(warmed, "c 54.1 misread the scale", "+30s")},
		{"portions", 1, after(catalyst, "+50s")},
		{"away", 1, after(warmed, "a", "m", "+3m")},
		{"far", 1, after(warmed, "+45s", "f")},
		{"two-vessels", 2, after(at("A", catalyst), "+10s", "B", "", "+20s", "B", "50", "B", "2", "+2m", "A")},
		{"two-typing", 2, []string{"", "B", "", "+25s", "B", "type:500.4 mg"}},
		{"two-late", 2, after(at("A", catalyst), "+10s", "B", "", "+20s", "B", "50", "B", "2", "+6m10s", "A")},
		{"four-vessels", 4, after(at("A", catalyst), "+10s", "C", "", "C")},
		{"four-late", 4, after(at("A", catalyst), "+10s", "C", "", "+5m", "B", "", "D", "", "+10s", "A")},
		{"four-far", 4, after(at("A", catalyst), "+10s", "C", "", "+5m", "A", "f")},
		{"eight-vessels", 8, after(at("A", catalyst), "C", "", "+1m", "C", "50.2", "C", "1", "H", "", "+3m50s", "A")},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p := newPlayer(t, tt.vessels)
			for _, line := range tt.lines {
				if text, ok := strings.CutPrefix(line, "type:"); ok {
					keys := Keys(text)
					for _, k := range keys[:len(keys)-1] {
						p.send(k)
					}
					continue
				}
				p.play(line)
			}
			checkScreen(t, p)
		})
	}
}

// TestDemo shows the protocols that ship, on their invented readings: figures and curves from the readings so far.
func TestDemo(t *testing.T) {
	tests := []struct {
		name, protocol string
		at             time.Duration
	}{
		{"prewarm", "ester-batch", 24 * time.Minute},
		{"settling", "ester-batch", 2*time.Hour + time.Minute},
		{"burn-begun", "burn-test", 12*time.Minute + 40*time.Second}, // the aim is far off the readings
		{"burn", "burn-test", 15*time.Minute + 10*time.Second},
		{"post-period", "burn-test", 20*time.Minute + 10*time.Second},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) { checkScreen(t, demo(t, tt.protocol, tt.at)) })
	}
	t.Run("burn-alone", func(t *testing.T) {
		checkScreen(t, played(t, alone(shipped(t, "burn-test")), nil, 15*time.Minute+10*time.Second))
	})
	t.Run("settling-of-two", func(t *testing.T) {
		script, err := rehearsal.Several(shipped(t, "ester-batch"), 2, nil)
		if err != nil {
			t.Fatal(err)
		}
		p := played(t, script, &run.Bench{}, 2*time.Hour+20*time.Minute)
		p.play("B")
		checkScreen(t, p)
	})
	t.Run("burn-reached", func(t *testing.T) {
		p := demo(t, "burn-test", 16*time.Minute)
		p.play("34.0")
		checkScreen(t, p)
	})
}

// demo returns a player at a protocol that ships, rehearsed up to a moment.
func demo(t testing.TB, protocol string, at time.Duration) *player {
	t.Helper()
	return played(t, shipped(t, protocol), nil, at)
}

// shipped are the invented readings of a protocol that ships.
func shipped(t testing.TB, protocol string) protocols.Script {
	t.Helper()
	script, ok := protocols.Demo(protocol)
	if !ok {
		t.Fatalf("%s has no demo readings", protocol)
	}
	return script
}

// alone is a script with nothing but its first vessel.
func alone(script protocols.Script) protocols.Script {
	script.Vessels = script.Vessels[:1]
	only := script.Vessels[0]
	script.Lines = slices.DeleteFunc(slices.Clone(script.Lines), func(l protocols.Line) bool { return l.Vessel != "" && l.Vessel != only })
	return script
}

// played returns a player at a script that was rehearsed up to a moment, by a timetable where a bench is given.
func played(t testing.TB, script protocols.Script, bench *run.Bench, at time.Duration) *player {
	t.Helper()
	b, err := rehearsal.Begun(script, "run-1", "meniscus test")
	if err != nil {
		t.Fatal(err)
	}
	b.Bench = bench
	clock := rehearsal.NewClock(rehearsal.Day)
	s, _, err := run.Begin(b, clock.Now())
	if err != nil {
		t.Fatal(err)
	}
	p := &player{t: t}
	o := p.options()
	o.Operator = tui.NewOperator(run.NewEngine(s, &rehearsal.Memory{}, clock))
	n := slices.IndexFunc(script.Lines, func(l protocols.Line) bool { return l.At > at })
	if err := rehearsal.Play(o.Operator, clock, script.Lines[:n]); err != nil {
		t.Fatal(err)
	}
	clock.Set(at)
	p.model = New(o)
	return p
}

func TestPages(t *testing.T) {
	t.Run("briefing", func(t *testing.T) { checkScreen(t, newPlayer(t, 2)) })
	t.Run("help", func(t *testing.T) {
		p := newPlayer(t, 1)
		p.play("", "?")
		checkScreen(t, p)
	})
	t.Run("help-in-a-stage", func(t *testing.T) {
		p := newPlayer(t, 1)
		p.play(after(catalyst, "?")...)
		checkScreen(t, p)
	})
	t.Run("summary", func(t *testing.T) {
		p := newPlayer(t, 1)
		p.play("", "z power cut", "")
		if !p.now().Ended() {
			t.Fatalf("the run goes on:\n%s", p.text())
		}
		checkScreen(t, p)
	})
	t.Run("chooser", func(t *testing.T) {
		p := &player{t: t}
		o := p.options()
		o.Protocols = []Offer{
			{"burn-test", "Burn test under a can", "How much heat a gram gives", 70 * time.Minute, 25 * time.Minute, ""},
			{"ester-batch", "Ethyl ester, small batch", "From oil to washed ester", 4 * time.Hour, 95 * time.Minute, "your own, in the place of the one that ships"},
		}
		o.Unfinished = []Unfinished{
			{Run: "run-1", Title: "Ethyl ester, small batch", Ago: 25 * time.Minute, Where: "Reaction hold"},
			{Run: "rehearsal-ester-batch", Title: "Ethyl ester, small batch", Ago: 6000 * time.Hour, Where: "Settle", Rehearsed: true},
		}
		o.Begin = func(string) (*run.Engine, error) { return p.engine(1, nil), nil }
		p.model = New(o)
		p.play("3")
		if got := p.now().screen; got != briefing {
			t.Fatalf("choosing 3 leads to screen %d, want the briefing", got)
		}
		p.model = New(o)
		checkScreen(t, p)
	})
}

// BenchmarkFrame draws eight vessels on a large screen.
func BenchmarkLargeFrame(b *testing.B) {
	p := newPlayer(b, 8)
	p.play(after(at("A", catalyst), "C", "", "+1m", "C", "50.2", "C", "1", "H", "", "+3m50s", "A")...)
	p.size(200, 60)
	m := p.now()
	m.look = newLook(false, tui.Palette{NoColor: true}) // bold and reverse are sent as colours are
	b.ReportAllocs()
	for b.Loop() {
		if m.View() == "" {
			b.Fatal("the frame is empty")
		}
	}
}

// BenchmarkTick looks at the clock and draws, as four times a second at a bench: the settling curve is fitted anew.
func BenchmarkTick(b *testing.B) {
	p := demo(b, "ester-batch", 2*time.Hour+time.Minute)
	p.size(200, 60)
	b.ReportAllocs()
	for b.Loop() {
		p.send(tickMsg{})
		if p.model.View() == "" {
			b.Fatal("the frame is empty")
		}
	}
}
