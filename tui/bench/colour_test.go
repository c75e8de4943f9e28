package bench

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// roleMarks name the roles in a golden screen, in their order. A capital is a chip; a letter below it the same tone's shade.
var roleMarks = []struct {
	mark rune
	name string
}{
	{' ', "ink"}, {'f', "faint"}, {'s', "strong"}, {'g', "glass"}, {'c', "scale"}, {'!', "warn"}, {'?', "ask"},
	{'e', "entry"}, {'k', "key"}, {'x', "struck"},
	{'I', "idle chip"}, {'W', "waiting chip"}, {'H', "hands chip"}, {'L', "late chip"},
	{'i', "idle shade"}, {'w', "waiting shade"}, {'h', "hands shade"}, {'l', "late shade"},
}

// A setting is a kind of terminal: how many colours it has, on which ground, and what is asked of it.
type setting struct {
	name    string
	profile termenv.Profile
	palette tui.Palette
	allowed *regexp.Regexp // what may stand in a colour sequence
}

// What may stand in a sequence: a colour, bold or struck, and a ground for chips. Where there are few colours or none, what
// has no meaning of its own is written as the terminal writes by itself.
var (
	trueColours = regexp.MustCompile(`^((1;)?38;2;\d+;\d+;\d+(;48;2;\d+;\d+;\d+)?|38;2;\d+;\d+;\d+;9)$`)
	manyColours = regexp.MustCompile(`^((1;)?38;5;\d+(;48;5;\d+)?|38;5;\d+;9)$`)
	fewColours  = regexp.MustCompile(`^(1|9|1;7|(1;)?[39][0-7](;(4|10)[0-7])?)$`)
	noColours   = regexp.MustCompile(`^(1|9|1;7)$`)
)

// settings are all of them.
var settings = []setting{
	{"true colour, dark", termenv.TrueColor, tui.Palette{Dark: true}, trueColours},
	{"true colour, light", termenv.TrueColor, tui.Palette{}, trueColours},
	{"256 colours, dark", termenv.ANSI256, tui.Palette{Dark: true}, manyColours},
	{"256 colours, light", termenv.ANSI256, tui.Palette{}, manyColours},
	{"16 colours, dark", termenv.ANSI, tui.Palette{Dark: true}, fewColours},
	{"16 colours, light", termenv.ANSI, tui.Palette{}, fewColours},
	{"NO_COLOR", termenv.TrueColor, tui.Palette{Dark: true, NoColor: true}, noColours},
}

// looks is what is drawn with on each of the settings.
var looks = sync.OnceValue(func() []look {
	before := lipgloss.ColorProfile()
	defer lipgloss.SetColorProfile(before)
	var out []look
	for _, s := range settings {
		lipgloss.SetColorProfile(s.profile)
		out = append(out, newLook(false, s.palette))
	}
	return out
})

// A stretch is a piece of a line, and what the sequence before it says; "" when there is none.
type stretch struct{ sent, text string }

// stretches takes a line apart. Every sequence must set how signs look, and be undone before the next.
func stretches(t testing.TB, line string) (out []stretch) {
	t.Helper()
	for line != "" {
		var s stretch
		if rest, styled := strings.CutPrefix(line, "\x1b["); styled {
			s.sent, line, styled = strings.Cut(rest, "m")
			var undone bool
			if s.text, line, undone = strings.Cut(line, "\x1b[0m"); !styled || !undone {
				t.Fatalf("%q is not undone", s.sent)
			}
		} else {
			s.text, line, _ = strings.Cut(line, "\x1b")
			if line != "" {
				line = "\x1b" + line
			}
		}
		if strings.Contains(s.text, "\x1b") || s.sent == "" && s.text == "" {
			t.Fatalf("an escape sequence stands in %q", s.text)
		}
		out = append(out, s)
	}
	return out
}

// marked tells the role of every cell of a line, by a mark each. Roles that look alike have the first one's.
func marked(t testing.TB, line []stretch, l look) string {
	t.Helper()
	var out strings.Builder
	for _, s := range line {
		i := slices.IndexFunc(l.pens, func(pen [2]string) bool { return pen[0] == "\x1b["+s.sent+"m" })
		if i < 0 {
			t.Fatalf("no role looks like %q, at %q", s.sent, s.text)
		}
		out.WriteString(strings.Repeat(string(roleMarks[i].mark), l.width(s.text)))
	}
	return strings.TrimRight(out.String(), " ")
}

// checkColours holds a screen of one size against every kind of terminal: the signs are the same on each, and no
// sequence asks for more than the terminal has. It returns the roles of its cells.
func checkColours(t *testing.T, m Model, text string) string {
	t.Helper()
	var marks []string
	for i, setting := range settings {
		m.look = looks()[i]
		var shown []string
		good := map[string]bool{"": true}
		for line := range strings.SplitSeq(m.View(), "\n") {
			var signs strings.Builder
			parts := stretches(t, line)
			for _, s := range parts {
				signs.WriteString(s.text)
				if good[s.sent] = good[s.sent] || setting.allowed.MatchString(s.sent); !good[s.sent] {
					t.Fatalf("%s: the sequence %q is sent at %dx%d", setting.name, s.sent, m.Width, m.Height)
				}
			}
			shown = append(shown, signs.String())
			if i == 0 {
				marks = append(marks, marked(t, parts, m.look))
			}
		}
		if got := strings.Join(shown, "\n"); got != text {
			t.Errorf("%s: other signs are shown:\n%s\nwant\n%s", setting.name, got, text)
		}
	}
	return strings.Join(marks, "\n")
}

// TestPens: what is sent for each role on each kind of terminal, with the mark that the golden screens have for it.
func TestPens(t *testing.T) {
	var out strings.Builder
	for i, role := range roleMarks {
		fmt.Fprintf(&out, "%c %s\n", role.mark, role.name)
		for k, s := range settings {
			sent := strings.Trim(looks()[k].pens[i][0], "\x1b[m")
			if sent == "" {
				sent = "nothing"
			}
			fmt.Fprintf(&out, "    %-18s  %s\n", s.name, sent)
		}
	}
	if n := len(looks()[0].pens); n != len(roleMarks) {
		t.Errorf("%d roles have a pen, and %d a mark", n, len(roleMarks))
	}
	golden(t, "TestPens.golden", out.String())
}

// TestNothingByColourAlone: without any colour, a vessel of another tone is another picture, whatever the size, and
// whichever vessel it is of those that are shown.
func TestNothingByColourAlone(t *testing.T) {
	for _, size := range append([][2]int{{24, 8}, {30, 10}}, sizes...) {
		w, h := size[0], size[1]
		for n := 1; n <= 8; n *= 2 {
			tellsTones(t, fmt.Sprintf("far view, %dx%d", w, h), n, 0, func(f *frame) string { return drawFar(f, w, h, bare(false)) })
			shown := n
			switch {
			case w < 40:
				shown = 1
			case w < slimmest: // as many as the line of the others takes
				shown = min(n, 4)
			}
			for i := range shown {
				tellsTones(t, fmt.Sprintf("%dx%d", w, h), n, i, func(f *frame) string { return drawBench(f, w, h, bare(false)) })
			}
		}
	}
}

// tellsTones draws so many vessels, one of them in each tone.
func tellsTones(t *testing.T, screen string, n, one int, draw func(*frame) string) {
	t.Helper()
	seen := map[string]run.Tone{}
	for tone := run.Idle; tone <= run.Late; tone++ {
		f := busyFrame(n, 10*time.Second, &protocol.Stage{Title: "Catalyst additions"})
		f.views[one].Tone = tone
		for k := range f.queue {
			f.queue[k].Closes = time.Minute
			if f.queue[k].Vessel == f.views[one].Vessel {
				f.queue[k].Tone = tone
			}
		}
		picture := draw(f)
		if other, alike := seen[picture]; alike {
			t.Errorf("%s, vessel %d of %d: tones %d and %d look alike without colour", screen, one+1, n, other, tone)
		}
		seen[picture] = tone
	}
}
