package run

import (
	"errors"
	"fmt"
	"runtime"
	"strings"
	"testing"
	"time"

	"example.org/meniscus/calc/quantity"
)

// quick holds f against ten seconds (a race build is ten times slower, and others use the machine) and 200 MB allocated
// in all; it takes the better of two.
func quick(t *testing.T, f func()) {
	t.Helper()
	var took time.Duration
	var held uint64
	for range 2 {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		begun := time.Now()
		f()
		took = time.Since(begun)
		runtime.ReadMemStats(&after)
		if held = after.TotalAlloc - before.TotalAlloc; took <= 10*time.Second && held <= 200<<20 {
			return
		}
	}
	t.Errorf("took %v and %d MB, want at most 10 s and 200 MB", took, held>>20)
}

// TestManyOfEverything: the largest protocol that loads can be begun, looked at and worked out.
func TestManyOfEverything(t *testing.T) {
	var text strings.Builder
	text.WriteString("format = 1\n[protocol]\nid = \"x\"\ntitle = \"X\"\nversion = \"1\"\n[[given]]\nid = \"b\"\nvalue = \"3 g\"\n")
	for i := range 60 {
		fmt.Fprintf(&text, "[[stage]]\nid = \"s%d\"\ntitle = \"S\"\nportions = 100\nsteps = [\"Do {b}\"]\nhands = \"1 min\"\n", i)
		for j := range 40 {
			fmt.Fprintf(&text, "[[stage.reading]]\nid = \"r%d_%d\"\nkind = \"number\"\nunit = \"g\"\n", i, j)
		}
	}
	for i := range 150 {
		before := "b"
		if i > 0 {
			before = fmt.Sprintf("n%d", i-1)
		}
		fmt.Fprintf(&text, "[[result]]\nid = \"n%d\"\nof = \"run\"\nunit = \"g\"\nformula = \"%s / 2 + %s / 2\"\n", i, before, before)
	}
	begun := Begun{Run: "r", File: "x.toml", Protocol: text.String()}
	for i := range 26 {
		begun.Vessels = append(begun.Vessels, VesselBegun{Label: string(rune('A' + i))})
	}
	quick(t, func() {
		s, _, err := Begin(begun, Moment{At: noon})
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range s.Vessels {
			s.Look(v.Label, time.Minute)
		}
		for _, r := range s.Protocol.Results {
			if val, err := s.Result("A", r); err != nil || val.Number.Value != 3 {
				t.Fatalf("%s: %v, %v", r.ID, val.Number.Value, err)
			}
		}
	})
}

// TestHostileBegin: a first line that no command line has written is refused, not carried out.
func TestHostileBegin(t *testing.T) {
	text := "format = 1\n[protocol]\nid = \"x\"\ntitle = \"X\"\nversion = \"1\"\n[[given]]\nid = \"lot\"\nkind = \"text\"\nvalue = \"7\"\n" +
		"[[stage]]\nid = \"s\"\ntitle = \"S\"\nsteps = [\"Do " + strings.Repeat("{lot}", 50) + "\"]\n"
	many := make([]VesselBegun, 100_000)
	for i := range many {
		many[i].Label = fmt.Sprint(i)
	}
	for _, tt := range []struct {
		vessels []VesselBegun
		says    string
	}{
		{many, "more than 100 vessels"},
		{[]VesselBegun{{Label: strings.Repeat("A", 1<<20)}}, "no label"},
		{[]VesselBegun{{Label: "\x1b[2J"}}, "no label"},
		{[]VesselBegun{{Label: "A", Givens: map[string]string{"lot": strings.Repeat("w", 8<<20)}}}, "at most 1000"},
	} {
		quick(t, func() {
			if _, _, err := Begin(Begun{Run: "r", File: "x.toml", Protocol: text, Vessels: tt.vessels}, Moment{At: noon}); err == nil ||
				!strings.Contains(err.Error(), tt.says) || len(err.Error()) > 500 {
				t.Errorf("%.300v, want %q", err, tt.says)
			}
		})
	}
}

// TestAMillionPoints: a series that no hand has typed is told as too long, and looking at the run stays quick.
func TestAMillionPoints(t *testing.T) {
	h := begin(t, "A")
	h.upTo("A", "warm")
	h.do("2:00", "A", Forward{})
	s, v := h.engine.State, h.engine.State.Vessels[0]
	warmth := s.Protocol.Reading("warmth")
	v.Taken = make([]Taken, 1_000_000)
	for i := range v.Taken {
		v.Taken[i] = Taken{Event: i + 20, Reading: warmth, Portion: 1, Value: 50, At: Moment{Elapsed: time.Duration(i) * time.Second}}
	}
	quick(t, func() {
		var much *quantity.RangeError
		if _, err := s.Values("A").Value("warmth"); !errors.As(err, &much) || !strings.Contains(err.Error(), "1000000 points") {
			t.Errorf("a million points: %v", err)
		}
		s.Look("A", time.Hour)
	})
}
