package paper_test

import (
	"os"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/paper"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocols"
)

const folder = "../../testdata/paper/"

func weighings(t testing.TB) *protocol.Protocol {
	t.Helper()
	text, err := os.ReadFile(folder + "weighings.toml")
	if err != nil {
		t.Fatal(err)
	}
	p, err := protocol.Load("weighings.toml", text)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func read(t *testing.T, rows string) []run.Event {
	t.Helper()
	events, err := paper.Read(strings.NewReader(rows), weighings(t), "readings.csv", paper.Options{Run: "r", Program: "p"})
	if err != nil {
		t.Fatal(err)
	}
	return events
}

// taken lists the readings of events: vessel, reading, portion, value, text, elapsed.
type taken struct {
	Vessel, Reading string
	Portion         int
	Value           float64
	Text            string
	Elapsed         time.Duration
	Unlikely        bool
}

func readings(events []run.Event) []taken {
	var out []taken
	for _, e := range events {
		if f, ok := e.What.(run.ReadingTaken); ok {
			out = append(out, taken{e.Vessel, f.Reading, f.Portion, f.Value, f.Text, e.Elapsed, f.Unlikely})
		}
	}
	return out
}

func TestReadTurnsRowsIntoReadings(t *testing.T) {
	text, err := os.ReadFile(folder + "weighings.csv")
	if err != nil {
		t.Fatal(err)
	}
	events := read(t, string(text))
	at := func(min float64) time.Duration { return time.Duration(min * float64(time.Minute)) } // since 9:58
	want := []taken{
		{"A", "lot", 1, 0, "LOT 7", at(2), false},
		{"A", "empty", 1, 112.36, "", at(2.5), false},
		{"B", "empty", 1, 110, "", at(3), false},
		{"A", "full", 1, 122.35, "", at(4), false},
		{"A", "standing_since", 1, 300, "", at(5), false},
		{"B", "full", 1, 120, "", at(5), false},
		{"A", "temperature", 1, 23.4, "", at(6), false},
		{"A", "temperature", 1, 23.1, "", at(8), false},
		{"A", "temperature", 1, 22.8, "", at(10), false},
		{"A", "look", 1, 1, "clear", at(11), false},
		{"A", "capped", 1, 1, "", at(11), false},
		{"A", "titre", 1, 2.19, "", at(14), true}, // finer than the burette's step of 0.05 mL, and told once
		{"A", "titre", 2, 2.18, "", at(17), false},
		{"A", "titre", 3, 2.22, "", at(20), false},
		{"B", "titre", 1, 2.2, "", at(22), false},
	}
	if d := cmp.Diff(want, readings(events)); d != "" {
		t.Errorf("readings (-want +got):\n%s", d)
	}
	begun := events[0].What.(run.Begun)
	wantVessels := []run.VesselBegun{
		{Label: "A", Givens: map[string]string{"wanted": "10", "fuel": "ester", "group": "=cmd|' /C calc'!A0"}},
		{Label: "B", Givens: map[string]string{"wanted": "10", "group": "=cmd|' /C calc'!A0"}},
	}
	if d := cmp.Diff(wantVessels, begun.Vessels); d != "" {
		t.Errorf("vessels (-want +got):\n%s", d)
	}
	if _, ended := events[len(events)-1].What.(run.Ended); !ended {
		t.Errorf("the last event is %T, want run.Ended", events[len(events)-1].What)
	}
}

func TestNeededReadingsThatAreNotThereAreTold(t *testing.T) {
	events := read(t, paper.Header+"\nA,titre,2.19,,0\n")
	var got []string
	for _, e := range events {
		if f, ok := e.What.(run.ReadingNotTaken); ok {
			got = append(got, f.Reading+" "+string(rune('0'+f.Portion)))
		}
	}
	if d := cmp.Diff([]string{"empty 1", "full 1", "titre 2", "titre 3"}, got); d != "" {
		t.Errorf("not taken (-want +got):\n%s", d)
	}
}

func TestGuardsSpeakAndUnlikelyReadingsAreMarked(t *testing.T) {
	events := read(t, paper.Header+"\nA,empty,222.36,,0\nA,full,112.00,,2\n")
	if got := readings(events); !got[0].Unlikely || got[1].Unlikely {
		t.Errorf("unlikely: %v and %v, want true and false: 222.36 g is above 180 g, and nothing is expected of the other", got[0].Unlikely, got[1].Unlikely)
	}
	slipped := read(t, paper.Header+"\nA,empty,1123.6,,0\nA,full,112.00,,2\n")
	if f, want := slipped[1].What.(run.ReadingTaken), "80 to 180 g. A decimal mark one place off? That would be 112.36 g."; f.Planned != want {
		t.Errorf("of 1123.6 g was planned %q, want %q", f.Planned, want)
	}
	spoke := 0
	for _, e := range events {
		if f, ok := e.What.(run.GuardSpoke); ok && f.Guard == "filled" && e.Vessel == "A" {
			spoke++
		}
	}
	if spoke != 1 {
		t.Errorf("the guard spoke %d times, want 1", spoke)
	}
}

func TestTimes(t *testing.T) {
	tests := []struct {
		name string
		at   [3]string // of three rows
		want [3]string // since begin
	}{
		{"minutes", [3]string{"2", "4.5", "6,25"}, [3]string{"2m0s", "4m30s", "6m15s"}},
		{"minutes before the start", [3]string{"-2", "-0.5 min", "3"}, [3]string{"0s", "1m30s", "5m0s"}},
		{"clock", [3]string{"9:30", "9:30:15", "10:00:00.250"}, [3]string{"0s", "15s", "30m0.25s"}},
		{"past midnight", [3]string{"23:50", "0:10", "0:20"}, [3]string{"0s", "20m0s", "30m0s"}},
		{"overnight", [3]string{"17:00", "9:00", "9:05"}, [3]string{"0s", "16h0m0s", "16h5m0s"}},
		{"from midnight", [3]string{"0:00", "13:00", "23:59"}, [3]string{"0s", "13h0m0s", "23h59m0s"}},
		{"dates", [3]string{"2026-03-02T09:30:00+01:00", "2026-03-02T08:31:00Z", "2026-03-02T08:31:00.125Z"}, [3]string{"0s", "1m0s", "1m0.125s"}},
		{"empty", [3]string{"9:30", "", ""}, [3]string{"0s", "0s", "0s"}},
		{"none", [3]string{"", "", ""}, [3]string{"0s", "0s", "0s"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			rows := paper.Header + "\n"
			for _, at := range tt.at {
				rows += "A,temperature,20,,\"" + at + "\"\n"
			}
			for i, got := range readings(read(t, rows)) {
				if got.Elapsed.String() != tt.want[i] {
					t.Errorf("row %d: %v since the begin, want %s", i+1, got.Elapsed, tt.want[i])
				}
			}
		})
	}
}

func TestVesselsKeepTheirOwnClock(t *testing.T) {
	got := readings(read(t, paper.Header+"\nA,temperature,20,,9:30\nA,temperature,20,,11:30\nB,temperature,20,,9:00\nB,temperature,20,,9:15\n"))
	var order []string
	for _, r := range got {
		order = append(order, r.Vessel+" "+r.Elapsed.String())
	}
	if d := cmp.Diff([]string{"B 0s", "B 15m0s", "A 30m0s", "A 2h30m0s"}, order); d != "" {
		t.Errorf("-want +got:\n%s", d)
	}
}

func TestSemicolonsAndByteOrderMark(t *testing.T) {
	got := readings(read(t, "\ufeffVessel;Reading;Value;Unit;At\r\nA;empty;112,36;g;0\r\n;;;;\r\nA;efflux;7:30;;1\r\nA;standing_since;2;min;\r\n"))
	want := []taken{
		{"A", "empty", 1, 112.36, "", 0, false},
		{"A", "efflux", 1, 450, "", time.Minute, false},
		{"A", "standing_since", 1, 120, "", 2 * time.Minute, false},
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("-want +got:\n%s", d)
	}
}

// A value may name its portion, so that one that was not taken shifts nothing.
func TestPortionsByName(t *testing.T) {
	text, _ := protocols.Text("acid-and-catalyst")
	p, err := protocol.Load("acid-and-catalyst.toml", text)
	if err != nil {
		t.Fatal(err)
	}
	csv := "vessel,reading,value,unit,at\nA,titre.2,2.18,,1\nA,titre,2.22,,2\nA,titre.4,2.2,,3\nA,titre.2,2.19,,4\n"
	_, err = paper.Read(strings.NewReader(csv), p, "r.csv", paper.Options{})
	for _, want := range []string{`r.csv:4: acid-and-catalyst has no reading "titre.4"`, "r.csv:5: titre.2 stands there twice for vessel A"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v, want %q", err, want)
		}
	}
	events, err := paper.Read(strings.NewReader(strings.Join(strings.SplitAfter(csv, "\n")[:3], "")), p, "r.csv", paper.Options{})
	if err != nil {
		t.Fatal(err)
	}
	var got []int
	for _, e := range events {
		if f, ok := e.What.(run.ReadingTaken); ok {
			got = append(got, f.Portion)
		}
	}
	if len(got) != 2 || got[0] != 2 || got[1] != 3 {
		t.Errorf("portions %v, want 2 and 3", got)
	}
}

// TestRowsBeforeTheFirstTime: they were read at the begin, which is the earliest time of the file.
func TestRowsBeforeTheFirstTime(t *testing.T) {
	for at, begun := range map[[2]string]string{
		{"10:00:05", "10:02"}: "0001-01-01T10:00:05Z",
		{"10:02", "9:58"}:     "0001-01-01T09:58:00Z",
		{"0.5", "2"}:          "0001-01-01T00:00:00Z",
		{"-2", "2"}:           "0000-12-31T23:58:00Z",
		{"2026-03-02T09:30:00Z", "2026-03-02T09:32:00Z"}: "2026-03-02T09:30:00Z",
		{"", ""}: "0001-01-01T00:00:00Z",
	} {
		events := read(t, paper.Header+"\nA,lot,LOT 7,,\nA,empty,112.36,g,\nA,full,122.35,,"+at[0]+"\nB,empty,110,g,"+at[1]+"\n")
		if got := events[0].At.Format(time.RFC3339); got != begun {
			t.Errorf("%s: begun at %s, want %s", at, got, begun)
		}
		for _, one := range readings(events)[:2] {
			if one.Elapsed != 0 || one.Vessel != "A" {
				t.Errorf("%s: %+v", at, one)
			}
		}
	}
}
