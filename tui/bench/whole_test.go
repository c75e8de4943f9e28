package bench

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui"
	"example.org/meniscus/tui/rehearsal"
)

// cutLines are the lines of a screen that show the mark of a cut. No other sign of either set looks like it on a screen.
func cutLines(text string, ascii bool) []string {
	mark := boxGlyphs.cut
	if ascii {
		mark = plainGlyphs.cut
	}
	return slices.DeleteFunc(strings.Split(text, "\n"), func(line string) bool { return !strings.Contains(line, mark) })
}

// TestNothingIsCut: in none of the screens that are kept, at any size and in both sets of signs, is a text cut off.
func TestNothingIsCut(t *testing.T) {
	files := 0
	err := filepath.WalkDir(screens, func(path string, d fs.DirEntry, err error) error {
		if err != nil || filepath.Ext(path) != ".golden" {
			return err
		}
		files++
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		for _, line := range cutLines(string(text), strings.HasSuffix(path, "-ascii.golden")) {
			t.Errorf("%s cuts a text: %q", path, line)
		}
		return nil
	})
	if err != nil || files < 2 {
		t.Fatalf("%d screens were looked at: %v", files, err)
	}
}

// TestNothingIsCutInARun: after every line of every rehearsal of the protocols that ship, and half-way to the next, at any
// size and in both sets of signs, each of the screens is whole.
func TestNothingIsCutInARun(t *testing.T) {
	for _, tt := range []struct {
		protocol string
		vessels  int // 0: those that the readings are for
	}{
		{"acid-and-catalyst", 0}, {"burn-test", 0}, {"ester-batch", 0}, {"ester-batch", 2},
	} {
		t.Run(fmt.Sprint(tt.protocol, " ", tt.vessels), func(t *testing.T) {
			script, ok := protocols.Demo(tt.protocol)
			if !ok {
				t.Fatalf("%s has no demo readings", tt.protocol)
			}
			if tt.vessels > 0 {
				var err error
				if script, err = rehearsal.Several(script, tt.vessels, nil); err != nil {
					t.Fatal(err)
				}
			}
			told, shown, last := map[string]bool{}, 0, ""
			walk(t, script, tt.vessels > 0, func(m Model) {
				shown++
				do := doWords(m.frame().view())
				pages := shown == 1 || do != last // they tell the same as long as the hands do
				last = do
				for _, size := range sizes {
					m.Width, m.Height = size[0], size[1]
					for _, ascii := range []bool{false, true} {
						m.look = bare(ascii)
						for _, line := range cutLines(everyScreen(m, pages), ascii) {
							if !told[line] {
								told[line] = true
								t.Errorf("at %dx%d, %s: %q is cut", m.Width, m.Height, run.Hms(m.now), line)
							}
						}
					}
				}
			})
			if shown < len(script.Lines) {
				t.Errorf("%d moments were looked at, want at least one for each of %d lines", shown, len(script.Lines))
			}
		})
	}
}

// everyScreen is what can be seen at one moment: the bench, or the page that is open instead, the far view, and the pages
// behind keys.
func everyScreen(m Model, pages bool) string {
	out := []string{m.View()}
	if m.screen == working {
		m.far = true
		out = append(out, m.View())
	}
	if !pages || m.Width >= sizes[2][0] { // there the pages have all the room they need
		return strings.Join(out, "\n")
	}
	m.Height = 200 // the whole of a page that would have to be scrolled
	for _, m.aside = range []aside{helping, planned} {
		out = append(out, m.View())
	}
	return strings.Join(out, "\n")
}

// walk shows the screens after every line of a script, and half-way to the next.
func walk(t *testing.T, script protocols.Script, planned bool, show func(Model)) {
	t.Helper()
	b, err := rehearsal.Begun(script, "run-1", "meniscus test")
	if err != nil {
		t.Fatal(err)
	}
	if planned {
		b.Bench = &run.Bench{}
	}
	clock := rehearsal.NewClock(rehearsal.Day)
	s, _, err := run.Begin(b, clock.Now())
	if err != nil {
		t.Fatal(err)
	}
	o := (&player{t: t}).options()
	o.Summary = nil
	o.Operator = tui.NewOperator(run.NewEngine(s, &rehearsal.Memory{}, clock))
	show(New(o))
	for i, line := range script.Lines {
		if err := rehearsal.Play(o.Operator, clock, []protocols.Line{line}); err != nil {
			t.Fatal(err)
		}
		show(New(o))
		if i+1 < len(script.Lines) {
			clock.Set((line.At + script.Lines[i+1].At) / 2)
			show(New(o))
		}
	}
}

// TestNothingIsCutInTheChooser: the protocols that ship are told whole before one is chosen.
func TestNothingIsCutInTheChooser(t *testing.T) {
	var o Options
	for _, id := range protocols.IDs() {
		text, _ := protocols.Text(id)
		p, err := protocol.Load(id+".toml", text)
		if err != nil {
			t.Fatal(err)
		}
		o.Protocols = append(o.Protocols, Offer{ID: id, Title: p.Title, Purpose: p.Purpose, Planned: 217 * time.Minute, Hands: 63 * time.Minute})
		left := Unfinished{Run: "run-2026-03-02-1", Title: p.Title, Ago: 25 * time.Minute, Where: p.Stages[len(p.Stages)-1].Title}
		o.Unfinished = append(o.Unfinished, left)
		left.Rehearsed = true
		o.Unfinished = append(o.Unfinished, left)
	}
	m := New(o)
	for _, size := range sizes {
		m.Width, m.Height = size[0], size[1]
		for _, ascii := range []bool{false, true} {
			m.look = bare(ascii)
			for m.picked = range m.entries() {
				for _, line := range cutLines(m.View(), ascii) {
					t.Errorf("at %dx%d %q is cut", m.Width, m.Height, line)
				}
			}
		}
	}
}

// TestStageTitlesAreShort: the stages of the protocols that ship have names that stand whole beside the glasses, as slim as
// these make their column.
func TestStageTitlesAreShort(t *testing.T) {
	for _, id := range protocols.IDs() {
		text, _ := protocols.Text(id)
		p, err := protocol.Load(id+".toml", text)
		if err != nil {
			t.Fatal(err)
		}
		for _, st := range p.Stages {
			if n := boxGlyphs.width(st.Title); n > namesWant-1 {
				t.Errorf("%s: %q takes %d cells, want at most %d", id, st.Title, n, namesWant-1)
			}
		}
	}
}

// TestACutShows: a text that nothing is known to do for is cut between words, with a mark that cutLines finds.
func TestACutShows(t *testing.T) {
	name := strings.Repeat("longer than screens are ", 15)
	for _, ascii := range []bool{false, true} {
		f := busyFrame(1, 0, &protocol.Stage{Title: "Prewarm"})
		f.title = name
		text := drawBench(f, 80, 24, bare(ascii))
		cut := cutLines(text, ascii)
		if len(cut) != 1 || !strings.Contains(cut[0], "longer than"+bare(ascii).cut) {
			t.Errorf("a title of %d cells leaves %q, want it cut once, between words:\n%s", len(name), cut, text)
		}
	}
}

// TestMoreIsUnderHelp: where the bench has no room for all cautions it names the key that has them, and behind that key
// they stand whole, with what the hands do.
func TestMoreIsUnderHelp(t *testing.T) {
	p := newPlayer(t, 1)
	p.size(48, 20)
	p.play(catalyst...)
	if text := p.text(); !strings.Contains(text, "Danger: H314, H225, H302.") || !strings.Contains(text, "More: ?") {
		t.Errorf("neither codes nor a key stand for the cautions:\n%s", text)
	}
	v := p.now().views[0]
	p.size(200, 60)
	p.play("?")
	for _, want := range append(v.Cautions, doWords(v), protocol.Beware(v.Hazards, len(v.Hazards), nil)) {
		if text := p.text(); !strings.Contains(text, want) {
			t.Errorf("the help does not tell %q:\n%s", want, text)
		}
	}
}
