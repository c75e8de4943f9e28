package bench

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.org/meniscus/protocol/run"
)

var update = flag.Bool("update", false, "write the golden screens anew")

// checkScreen compares the screen at three sizes with what was looked at and found good.
func checkScreen(t *testing.T, name string, p *player) {
	t.Helper()
	for _, size := range [][2]int{{80, 24}, {120, 40}, {48, 20}} {
		w, h := size[0], size[1]
		p.size(w, h)
		got := p.text() + "\n"
		checkSize(t, got[:len(got)-1], w, h)
		file := filepath.Join(screens, t.Name(), fmt.Sprintf("%s-%dx%d.golden", name, w, h))
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
			t.Errorf("%s at %dx%d is\n%s\nwant (or -update after a look)\n%s", name, w, h, got, want)
		}
	}
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

func TestBench(t *testing.T) {
	warmed := []string{"", "", "+1m", "50,04", "+1m", "1", "+2m", "34.5", "+2m", "43.6", "", "+4m", "", "53.9"}
	catalyst := append(append([]string{}, warmed...), "+3m40s", "54.2", "", "+1m", "8,71", "+30s", "")
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
		{"waiting", 1, append(warmed, "+45s")},
		{"due", 1, append(warmed, "+4m10s")},
		{"over", 1, append(warmed, "+5m", "", "+1m")},
		{"late", 1, append(warmed, "+13m")},
		{"corrected", 1, append(warmed, "c 54.1 misread the scale", "+30s")},
		{"portions", 1, append(catalyst, "+50s")},
		{"two-vessels", 2, append(catalyst, "+10s", "B", "", "+20s", "50", "2", "+2m", "A")},
		{"four-vessels", 4, append(catalyst, "+10s", "C", "")},
		{"away", 1, append(warmed, "a", "m", "+3m")},
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
			checkScreen(t, "bench", p)
		})
	}
}

func TestPages(t *testing.T) {
	t.Run("briefing", func(t *testing.T) { checkScreen(t, "page", newPlayer(t, 2)) })
	t.Run("help", func(t *testing.T) {
		p := newPlayer(t, 1)
		p.play("", "?")
		checkScreen(t, "page", p)
	})
	t.Run("summary", func(t *testing.T) {
		p := newPlayer(t, 1)
		p.play("", "z power cut", "")
		if !p.now().Ended() {
			t.Fatalf("the run goes on:\n%s", p.text())
		}
		checkScreen(t, "page", p)
	})
	t.Run("chooser", func(t *testing.T) {
		p := &player{t: t}
		o := p.options()
		o.Protocols = []Offer{
			{"burn-test", "Burn test under a can", "How much heat a gram gives", 70 * time.Minute, 25 * time.Minute},
			{"ester-batch", "Ethyl ester, small batch", "From oil to washed ester", 4 * time.Hour, 95 * time.Minute},
		}
		o.Unfinished = []Unfinished{{"run-1", "Ethyl ester, small batch", 25 * time.Minute, "Reaction hold"}}
		o.Begin = func(string) (*run.Engine, error) { return p.engine(1), nil }
		p.model = New(o)
		p.play("2")
		if got := p.now().screen; got != briefing {
			t.Fatalf("choosing 2 leads to screen %d, want the briefing", got)
		}
		p.model = New(o)
		checkScreen(t, "page", p)
	})
}
