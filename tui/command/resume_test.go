package command

import (
	"io"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"example.org/meniscus/protocol/journal"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui"
	"example.org/meniscus/tui/bench"
)

// Bath is an invented protocol with a wait in which readings are taken for as long as it lasts.
const Bath = `format = 1
[protocol]
id = "bath"
title = "A bath"
version = "1.0"
[[stage]]
id = "watch"
title = "Watch"
clock = { at_least = "1 min", aim = "23 h" }
  [[stage.reading]]
  id = "bath"
  title = "Bath"
  kind = "series"
  unit = "Cel"
`

// dayLong writes the journal of a run that took a reading every 5 s for a day, until just now.
func dayLong(tb testing.TB) (path string) {
	tb.Helper()
	const every, n = 5 * time.Second, 24 * 60 * 12
	begun := time.Now().UTC().Truncate(time.Millisecond).Add(-n * every)
	at := func(i int, what run.Fact) run.Event {
		e := run.Event{N: i, Moment: run.Moment{At: begun.Add(time.Duration(i) * every), Elapsed: time.Duration(i) * every}, Vessel: "A", What: what}
		return e
	}
	first := at(1, run.Begun{Run: "bath", Program: program, File: "bath.toml", Protocol: Bath, Vessels: []run.VesselBegun{{Label: "A"}}})
	known := at(2, run.Acknowledged{})
	first.Vessel, known.Vessel = "", ""
	path = filepath.Join(tb.TempDir(), "bath.journal")
	w, err := journal.Create(path, first)
	if err != nil {
		tb.Fatal(err)
	}
	events := []run.Event{known, at(3, run.StageEntered{Stage: "watch"})}
	for i := 4; i <= n; i++ {
		value := 50 + float64(i%100)/10
		events = append(events, at(i, run.ReadingTaken{Stage: "watch", Portion: 1, Reading: "bath", Typed: strconv.FormatFloat(value, 'f', 1, 64),
			Value: value, Unit: "Cel", TypedAt: run.Span(time.Duration(i) * every)}))
	}
	for some := range slices.Chunk(events, 100) { // fewer waits for the disk
		if err := w.Append(some...); err != nil {
			tb.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		tb.Fatal(err)
	}
	return path
}

// firstFrame takes a run up and draws its first screen.
func firstFrame(path string) (string, error) {
	e := &env{out: io.Discard, errs: io.Discard, now: time.Now, runs: filepath.Dir(path)}
	s, err := e.goOn(path)
	if err != nil {
		return "", err
	}
	defer s.close()
	o := e.benchOptions(s.hash)
	o.Operator = tui.NewOperator(s.engine)
	return bench.New(o).View(), nil
}

// BenchmarkResume takes up a run of a day with 17 280 events, to its first screen.
func BenchmarkResume(b *testing.B) {
	path := dayLong(b)
	for b.Loop() {
		if _, err := firstFrame(path); err != nil {
			b.Fatal(err)
		}
	}
}

// TestADayIsTakenUp: the first screen of a run that was left after a day tells the day.
func TestADayIsTakenUp(t *testing.T) {
	frame, err := firstFrame(dayLong(t))
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"A bath", "run 24:00:", "Watch"} {
		if !strings.Contains(frame, want) {
			t.Errorf("no %q in\n%s", want, frame)
		}
	}
}
