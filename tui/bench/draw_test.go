package bench

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
)

// bare draws without escape sequences.
func bare(ascii bool) look { return newLook(ascii, tui.Palette{Bare: true}) }

// drawn draws on an area of w by h cells and returns its lines.
func drawn(w, h int, ascii bool, draw func(area)) []string {
	c := newCanvas(w, h, bare(ascii))
	draw(c.all())
	return strings.Split(c.finish(), "\n")
}

// TestShelve: whatever the number of vessels, the glasses and the panel fit the screen beside one another; eight stand
// whole on 120 columns.
func TestShelve(t *testing.T) {
	for w := 30; w <= 250; w++ {
		for n := 1; n <= 12; n++ {
			for meant := range n {
				s := shelve(n, meant, w, false)
				curved := shelve(n, meant, w, true)
				glass := s.inner + 2
				switch {
				case s.width != s.count*s.slot+s.names || s.slot < s.inner+3 || s.first < 0 || s.first+s.count > n:
					t.Fatalf("%d vessels on %d columns: %+v", n, w, s)
				case meant < s.first || meant >= s.first+s.count:
					t.Fatalf("vessel %d of %d is not seen on %d columns: %+v", meant, n, w, s)
				case glass < 3 || glass > 20:
					t.Fatalf("a glass of %d columns, want 3 to 20, for %d vessels on %d columns", glass, n, w)
				case w >= slimmest && w-2-s.width < panelLeast-1:
					t.Fatalf("%d columns are left of %d beside %d vessels: %+v", w-2-s.width, w, n, s)
				case n == 1 && w >= slimmest && curved.names > 0 && w-2-curved.width < panelCurve-1:
					t.Fatalf("the titles leave %d columns of %d to the clock and a curve beside it: %+v", w-2-curved.width, w, curved)
				case n == 1 && curved.slot != s.slot || n > 1 && curved != s:
					t.Fatalf("%d vessels on %d columns are %+v beside a curve, and else %+v", n, w, curved, s)
				case n <= 8 && w >= 120 && s.count != n:
					t.Fatalf("%d of %d vessels stand on %d columns", s.count, n, w)
				case w < slimmest && s.count != 1:
					t.Fatalf("%d vessels on %d columns, want one", s.count, w)
				}
			}
		}
	}
}

// TestGlass: a glass is as wide as told, at most 40 rows high, and holds more liquid at a higher level; a late one says
// so in letters, at whatever size.
func TestGlass(t *testing.T) {
	for _, inner := range []int{1, 3, 5, 6, 11, 18} {
		for _, h := range []int{10, 14, 20, 30, 55} {
			last := -1
			for _, level := range []float64{0, 0.1, 0.25, 0.5, 0.75, 1} {
				v := run.View{Vessel: "A", Begun: true, Tone: run.Waiting, Level: level}
				lines := drawn(inner+4, h, true, func(a area) { glass{area: a, inner: inner, view: v}.draw() })
				full := strings.Count(strings.Join(lines, "\n"), "#")
				if full < last {
					t.Errorf("%d by %d: level %v has %d cells of liquid, fewer than %d at the level below", inner, h, level, full, last)
				}
				last = full
				wall := 0
				for _, line := range lines {
					if strings.HasPrefix(line, " |") || strings.HasPrefix(line, ">|") || strings.HasPrefix(line, " \\") || strings.HasPrefix(line, " `") {
						wall++
					}
				}
				if wall < 8 || wall > 40 {
					t.Errorf("%d by %d: the glass is %d rows high, want 8 to 40", inner, h, wall)
				}
				v.Tone = run.Late
				late := drawn(inner+4, h, true, func(a area) { glass{area: a, inner: inner, view: v}.draw() })
				if h >= 14 && !showsLate(late) {
					t.Errorf("%d by %d, level %v: nothing on the glass says LATE:\n%s", inner, h, level, strings.Join(late, "\n"))
				}
			}
		}
	}
}

// showsLate looks for the word in the glass, across or downwards.
func showsLate(lines []string) bool {
	lines = lines[2:] // below the letter and the tone
	if strings.Contains(strings.Join(lines, "\n"), "LATE") {
		return true
	}
	down := ""
	for _, line := range lines {
		if at := strings.IndexAny(line, "LATE"); at >= 0 {
			down += line[at : at+1]
		}
	}
	return strings.Contains(down, "LATE")
}

// TestFaces: every sign takes the cells that its face says, and the faces grow from the last to the first.
func TestFaces(t *testing.T) {
	const text = "ABCDEFGHIJKLMNOPQRSTUVWXYZ 0123456789+-:"
	for i, f := range faces {
		if i > 0 && f.height() > faces[i-1].height() {
			t.Errorf("face %d is %d rows high, more than the one before it", i, f.height())
		}
		lines := drawn(f.width(text)+20, f.height()+2, false, func(a area) { a.bigText(f, tui.Ink, text) })
		wide := 0
		for _, line := range lines[:f.height()] {
			wide = max(wide, boxGlyphs.width(line))
		}
		if wide != f.width(text) {
			t.Errorf("face %d draws %d cells, want %d", i, wide, f.width(text))
		}
		if rest := strings.Join(lines[f.height():], ""); strings.TrimSpace(rest) != "" {
			t.Errorf("face %d draws below its %d rows", i, f.height())
		}
	}
	for a, one := range bitmaps {
		for b, other := range bitmaps {
			if a < b && one == other && !strings.ContainsRune("0O", a) {
				t.Errorf("%c and %c look the same", a, b)
			}
		}
	}
}

// TestThinDigits: with plain signs the clock has a face of three rows too, but never a letter, which would look like a digit.
func TestThinDigits(t *testing.T) {
	const clock = "+0:1234567 89"
	f, ok := plainGlyphs.faceFor(clock, 60, 4)
	if !ok || f.height() != 3 {
		t.Fatalf("the face is %+v, %v, want one of three rows", f, ok)
	}
	want := []string{
		"     _         _   _       _   _   _     _   _",
		" +  | | .   |  _|  _| |_| |_  |_    |   |_| |_|",
		"    |_| .   | |_   _|   |  _| |_|   |   |_|  _|",
	}
	for y, line := range drawn(60, 3, true, func(a area) { a.bigText(f, tui.Ink, clock) }) {
		if line != want[y] {
			t.Errorf("row %d is %q, want %q", y, line, want[y])
		}
	}
	if f, ok := plainGlyphs.faceFor("B 1:00", 60, 4); ok {
		t.Errorf("a letter is written in %+v", f)
	}
}

// TestDigitsAreTall: from 100 by 30 on, the clock is at least five rows high and the vessel's letter as high, whatever
// else there is to say.
func TestDigitsAreTall(t *testing.T) {
	stage := &protocol.Stage{Title: "Catalyst additions"}
	for _, elapsed := range []time.Duration{10 * time.Second, 13 * time.Minute, 59*time.Minute + 59*time.Second, 72*time.Minute + 34*time.Second} {
		for n := 1; n <= 8; n++ {
			for _, size := range [][2]int{{100, 30}, {120, 40}, {200, 60}} {
				w, h := size[0], size[1]
				f := busyFrame(n, elapsed, stage)
				s := shelve(n, 0, w, true)
				a := newCanvas(w, h, bare(false)).all()
				main := a.sub(1, 1, w-2, h-talkRows(a.sub(1, 0, w-2, h), f)-3)
				p := panel{area: main.sub(s.width+1, 0, main.w-s.width-1, main.h), view: f.view(), queue: together(f.queue), curve: f.curve, strips: f.tape, several: n > 1}
				what := p.plan()
				if what.face.height() < 5 || n > 1 && what.face.width(p.bigWords()) > p.w {
					t.Errorf("%dx%d, %d vessels, %s: %q in a face %d rows high", w, h, n, elapsed, p.bigWords(), what.face.height())
				}
				checkSize(t, drawBench(f, w, h, bare(false)), w, h)
			}
		}
	}
}

// busyFrame has something to say of everything.
func busyFrame(n int, elapsed time.Duration, stage *protocol.Stage) *frame {
	in := 4 * time.Minute
	f := &frame{title: "A long title of a protocol", now: time.Date(2026, 3, 2, 9, 0, 0, 0, time.UTC), keys: tui.NewKeys()}
	for i := range n {
		label := string(rune('A' + i))
		f.views = append(f.views, run.View{
			Vessel: label, Tone: run.Late, Begun: true, Stage: stage, Number: 3, Stages: 9, Portion: 1, Portions: 3,
			Do: strings.Repeat("Swirl and read the oil. ", 6), Next: "the next stage", Enter: "end the wait",
			Clock:    &run.ClockView{Elapsed: elapsed, Window: protocol.Window{AtLeast: time.Second, Aim: 5 * time.Second, AtMost: 9 * time.Second}, Left: 5*time.Second - elapsed},
			Gate:     &run.GateView{Say: "the oil is warm"},
			Cautions: []string{strings.Repeat("Goggles on. ", 20)},
			Live:     []run.LiveView{{Say: "Still to come", Value: "0.41 ± 0.12 mL"}, {Say: "Warm enough", In: &in}},
			Due:      []run.DueReminder{{Say: "Swirl the flask", For: time.Minute, Missed: 2}},
			Busy:     []string{"Balance: with B"},
			Pause:    "stopper it",
		})
		f.queue = append(f.queue, run.Turn{Vessel: label, Tone: run.Late, Stage: stage.Title, Do: "end the wait", Closes: -time.Minute})
	}
	if n == 1 {
		f.queue = nil
	}
	for i := range 8 {
		f.tape = append(f.tape, strip{at: elapsed, title: "Oil", value: fmt.Sprint(i)})
		f.curve.points = append(f.curve.points, point{time.Duration(i) * time.Minute, float64(i * i)})
	}
	return f
}

// TestQueueWords: the order is the queue's own; the words say when, and what closes.
func TestQueueWords(t *testing.T) {
	turns := []run.Turn{
		{Vessel: "B", Tone: run.Late, Stage: "Wash", Do: "Run off the water", Closes: -70 * time.Second},
		{Vessel: "A", Tone: run.Hands, Stage: "Wash", Do: "Swirl", Closes: 95 * time.Second},
		{Vessel: "C", Do: "Begin with Charge.", Stage: "Charge", Open: true},
		{Vessel: "D", Do: "Begin with Charge.", Stage: "Charge", Open: true},
		{Vessel: "E", Tone: run.Waiting, Stage: "Hold", Do: "Swirl", In: 150 * time.Second, Closes: 5 * time.Minute},
	}
	got := drawn(64, 4, true, func(a area) { drawQueue(a, together(turns), "A") })
	want := []string{
		"now   B  ! Run off the water                        late by 1:10",
		"next [A] > Swirl                                  closes in 1:35",
		"then  C  - Begin with Charge. Also D                    any time",
		"      E  o Hold: Swirl                   in 2:30, closes in 5:00",
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("row %d is\n%q, want\n%q", i, got[i], want[i])
		}
	}
	for w, want := range map[int]string{46: "B ! +1:10  C -  D -  E o 2:30", 29: "B ! +1:10  C -  D -  E o 2:30", 28: "B ! +1:10  C -  D -  +1",
		22: "B ! +1:10  C -  +2", 12: "+4"} {
		if line := drawn(w, 1, true, func(a area) { drawOthers(a, turns, "A") }); line[0] != want {
			t.Errorf("on %d columns the others are %q, want %q", w, line[0], want)
		}
	}
	short := drawn(64, 3, true, func(a area) { drawQueue(a, together(turns), "A") })
	if want := "then  C -  D -  E o 2:30"; short[1] != got[1] || short[2] != want {
		t.Errorf("on three rows the queue is\n%s\nwant %q at its end", strings.Join(short, "\n"), want)
	}
}

// TestCurve: the readings of a straight line stand on a diagonal, the first at the lower left and the last at the upper
// right, with their bounds beside them; equal readings stand on one row; too few are no curve.
func TestCurve(t *testing.T) {
	straight := curve{title: "Water", unit: "°C"}
	level := straight
	for i := range 5 {
		straight.points = append(straight.points, point{time.Duration(i) * time.Minute, 20 + 5*float64(i)})
		level.points = append(level.points, point{time.Duration(i) * time.Minute, 20})
	}
	got := drawn(30, 7, true, func(a area) { drawCurve(a, straight) })
	for y, at := range []int{1: 29, 2: 23, 3: 17, 4: 10, 5: 4} { // of 26 columns from 4 on: every 6.25
		if y > 0 && (strings.Count(got[y], "*") != 1 || strings.Index(got[y], "*") != at) {
			t.Errorf("row %d is %q, want a reading in column %d", y, got[y], at)
		}
	}
	if got[0] != "Water in degC" || !strings.HasPrefix(got[1], "40 |") || !strings.HasPrefix(got[5], "20 |") || got[6] != "   `0:00 ---------------- 4:00" {
		t.Errorf("title, bounds or times are wrong:\n%s", strings.Join(got, "\n"))
	}
	rows := 0
	for _, line := range drawn(30, 7, true, func(a area) { drawCurve(a, level) }) {
		if strings.Contains(line, "*") {
			rows++
		}
	}
	if rows != 1 {
		t.Errorf("equal readings stand on %d rows, want 1", rows)
	}
	straight.points = straight.points[:2]
	if text := strings.Join(drawn(30, 7, true, func(a area) { drawCurve(a, straight) }), ""); text != "" {
		t.Errorf("two readings draw %q, want nothing", text)
	}
}

// TestEcho: while a reading is typed, the line names the vessel and says what it will be taken for.
func TestEcho(t *testing.T) {
	p := newPlayer(t, 2)
	p.play("", "B", "")
	for _, tt := range []struct{ typed, want string }{
		{"50,04", "B Oil weighed ▸ 50,04▏ = 50.04 g"},
		{"500 mg", "B Oil weighed ▸ 500 mg▏ = 0.5 g"},
		{"+", "B Oil weighed ▸ +▏ g"},
		{"nwet", "B note ▸ wet▏"},
		{"50\r", "Oil weighed: 50.00 g"},
		{"c", "B correct Oil weighed 50.00 g to ▸ ▏"},
		{"c look", "B correct ▸ look▏"},
		{"c 54.1 two of the figures on the label were swapped", "B correct 50.00 g to ▸ 54.1 two of the figures on the label were swapped▏"},
		{"c 54.1 two figures swapped, the label was wet and smudged", "B correct ▸ 54.1 two figures swapped, the label was wet and smudged▏"},
	} {
		for _, r := range tt.typed {
			p.send(typed(string(r)))
		}
		if text := p.text(); !strings.Contains(text, tt.want+"\n") {
			t.Errorf("typing %q does not show %q:\n%s", tt.typed, tt.want, text)
		}
		p.send(tea.KeyMsg{Type: tea.KeyEsc})
	}
}

// TestFarView: the key shows the far view and brings the bench back; a reading can be typed in it.
func TestFarView(t *testing.T) {
	p := newPlayer(t, 2)
	p.play("", "", "f")
	if text := p.text(); strings.Contains(text, boxGlyphs.edge) || !strings.Contains(text, "Weigh 50 g of oil") {
		t.Fatalf("the far view is\n%s", text)
	}
	p.play("50.04")
	if n := len(p.now().Run().Vessels[0].Taken); n != 1 {
		t.Errorf("%d readings were taken in the far view, want 1", n)
	}
	p.play("f")
	if text := p.text(); !strings.Contains(text, boxGlyphs.edge) {
		t.Errorf("the bench does not come back:\n%s", text)
	}
}

// TestFarChips: from across the room, too, it is seen that the bell calls and that the hands are away.
func TestFarChips(t *testing.T) {
	f := busyFrame(3, time.Minute, &protocol.Stage{Title: "Settle"})
	f.ringing, f.away = true, true
	for _, size := range sizes {
		top, _, _ := strings.Cut(drawFar(f, size[0], size[1], bare(false)), "\n")
		if !strings.HasSuffix(top, " AWAY    BELL ") && !strings.HasSuffix(top, " AWAY    BELL") || !strings.HasPrefix(strings.TrimLeft(top, " "), "B ") {
			t.Errorf("at %v the top is %q", size, top)
		}
	}
}

// TestHelpIsWhole: the help, with its bottom line, names every key of the key map.
func TestHelpIsWhole(t *testing.T) {
	p := newPlayer(t, 1)
	p.play("", "?")
	p.size(120, 90)
	text := p.text()
	keys := reflect.ValueOf(tui.NewKeys())
	for i := range keys.NumField() {
		b := keys.Field(i).Interface().(key.Binding)
		h := b.Help()
		named := strings.Contains(text, "\n "+h.Key+" ") || strings.Contains(text, h.Key+" "+h.Desc)
		if !named && (len(h.Key) == 1 || !strings.Contains(text, " "+h.Key+" ")) {
			t.Errorf("the help does not name %q, %s", h.Key, h.Desc)
		}
	}
}
