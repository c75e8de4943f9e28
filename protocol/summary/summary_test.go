package summary_test

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/summary"
)

var begin = time.Date(2026, 3, 2, 8, 30, 0, 0, time.UTC)

// tape writes events with their numbers; each is a minute after the one before.
type tape struct{ events []run.Event }

func (t *tape) add(vessel string, fact run.Fact) int {
	n := len(t.events)
	since := time.Duration(n) * time.Minute
	if f, ok := fact.(run.ReadingTaken); ok {
		f.TypedAt = run.Span(since)
		fact = f
	}
	t.events = append(t.events, run.Event{N: n + 1, Moment: run.Moment{At: begin.Add(since), Elapsed: since}, Vessel: vessel, What: fact})
	return n + 1
}

func (t *tape) take(vessel, stage, reading string, portion int, typed string, value float64) int {
	return t.add(vessel, run.ReadingTaken{Stage: stage, Portion: portion, Reading: reading, Typed: typed, Value: value})
}

func begun(t *testing.T) *tape {
	t.Helper()
	text, err := os.ReadFile("../../testdata/paper/weighings.toml")
	if err != nil {
		t.Fatal(err)
	}
	tp := &tape{}
	tp.add("", run.Begun{Run: "r-1", Program: "meniscus 0.1", File: "weighings.toml", Protocol: string(text), Zone: "+01:00",
		Vessels: []run.VesselBegun{{Label: "A", Givens: map[string]string{"wanted": "12,5"}}, {Label: "B", Givens: map[string]string{"wanted": "12,5", "fuel": "ester"}}}})
	return tp
}

func whole(t *testing.T) *tape {
	tp := begun(t)
	tp.take("A", "weigh", "empty", 1, "112.36", 112.36)
	full := tp.take("A", "weigh", "full", 1, "102,35", 102.35)
	tp.add("A", run.GuardSpoke{Guard: "filled", Say: "Not heavier."})
	tp.add("A", run.ReadingCorrected{Of: full, Reading: "full", Typed: "122.35", Value: 122.35, Why: "mistyped"})
	tp.add("A", run.Noted{Text: "draught"})
	tp.add("", run.Noted{Text: "of the run"})
	tp.add("", run.Resumed{Program: "meniscus 0.1", Gap: run.Span(30 * time.Second), Torn: "half a line"})
	for i, v := range []float64{2.19, 2.18, 2.22} {
		tp.take("A", "titration", "titre", i+1, "2.2", v)
	}
	tp.add("A", run.ReadingTaken{Stage: "wait", Portion: 1, Reading: "efflux", Typed: "0 s", Value: 0})
	tp.add("B", run.ReadingNotTaken{Stage: "weigh", Portion: 1, Reading: "full", Why: "spilled"})
	tp.add("B", run.VesselEnded{Why: "spilled"})
	tp.add("", run.Ended{})
	return tp
}

func of(t *testing.T, events []run.Event) *summary.Summary {
	t.Helper()
	s, err := summary.Of(nil, events)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func find(t *testing.T, rs []summary.Result, id string) summary.Result {
	t.Helper()
	for _, r := range rs {
		if r.ID == id {
			return r
		}
	}
	t.Fatalf("no result %s", id)
	return summary.Result{}
}

func TestUncertaintyOfAWeighingByDifference(t *testing.T) {
	r := find(t, of(t, whole(t).events).Vessels[0].Results, "mass")
	tests := []struct {
		what      string
		got, want float64
		within    float64
		source    string
	}{
		{"value", *r.Value, 9.99, 1e-9, "122.35 - 112.36"},
		{"u", *r.StandardUncertainty, 0.01 / math.Sqrt(12) * math.Sqrt2, 1e-12,
			"JCGM 100:2008, F.2.2.1: a resolution d gives u = d/sqrt(12), here twice; the shared offset cancels (from memory)"},
		{"k", *r.CoverageFactor, 1.960, 0.0005, "JCGM 100:2008, Table G.2, infinitely many degrees of freedom, 95 % (from memory)"},
		{"U", *r.ExpandedUncertainty, 1.960 * 0.0040825, 0.000005, "JCGM 100:2008, 6.2.1: U = k u (from memory)"},
	}
	for _, tt := range tests {
		if math.Abs(tt.got-tt.want) > tt.within {
			t.Errorf("%s = %v, want %v (%s)", tt.what, tt.got, tt.want, tt.source)
		}
	}
	if r.DegreesOfFreedom != nil {
		t.Errorf("degrees of freedom %v, want none: both sources are taken as known", *r.DegreesOfFreedom)
	}
	var share float64
	for _, b := range r.Budget {
		share += b.Share
	}
	if len(r.Budget) != 2 || math.Abs(share-1) > 1e-12 {
		t.Errorf("budget %v, want two sources whose shares add up to 1", r.Budget)
	}
}

func TestResultsSayWhyTheyHaveNoValue(t *testing.T) {
	s := of(t, whole(t).events)
	tests := []struct {
		vessel int
		id     string
		status summary.Status
		msg    string
	}{
		{0, "mass", summary.OK, ""},
		{0, "titres.1", summary.OK, ""},
		{0, "titres.3", summary.OK, ""},
		{0, "flow", summary.Impossible, "mean(titre) / efflux: division by zero"},
		{0, "cooling", summary.Missing, "Temperature (temperature) was not taken"},
		{1, "mass", summary.Missing, "Flask, filled (full) was not taken: spilled"},
		{1, "titres", summary.Missing, "Titre (titre) was not taken"},
	}
	for _, tt := range tests {
		r := find(t, s.Vessels[tt.vessel].Results, tt.id)
		if r.Status != tt.status || r.Message != tt.msg || (r.Value == nil) != (tt.status != summary.OK) {
			t.Errorf("vessel %d, %s: %s %q with value %v, want %s %q", tt.vessel, tt.id, r.Status, r.Message, r.Value, tt.status, tt.msg)
		}
	}
	if total := find(t, s.Results, "total"); total.Value == nil || math.Abs(*total.Value-9.99) > 1e-9 {
		t.Errorf("the run's total is %v, want 9.99: vessel B has no mass", total.Value)
	}
}

func TestChecks(t *testing.T) {
	s := of(t, whole(t).events)
	want := []summary.Check{
		{Result: "mass", Title: "Mass taken", Verdict: "inside", Unit: "g", Limit: "9.98 to 10.5 g", Message: "inside",
			Source: "invented for this file", Say: "A limit of nobody."},
		{Result: "flow", Title: "Flow", Verdict: "cannot tell", Unit: "mL/s", Limit: "at most 1 mL/s",
			Message: "cannot tell: there is no result", Source: "invented for this file"},
	}
	got := append([]summary.Check{}, s.Vessels[0].Checks...)
	for i := range got {
		got[i].Low, got[i].High = nil, nil
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("-want +got:\n%s", d)
	}
}

func TestWhatHappenedIsKept(t *testing.T) {
	s := of(t, whole(t).events)
	a, b := s.Vessels[0], s.Vessels[1]
	full := a.Readings[1]
	if *full.Value != 122.35 || full.ElapsedS != 120 || full.At != "2026-03-02T08:32:00.000Z" {
		t.Errorf("the corrected reading is %v at %s, %v s: want the new value at the old time", *full.Value, full.At, full.ElapsedS)
	}
	if len(full.Corrections) != 1 || full.Corrections[0].Typed != "102,35" || full.Corrections[0].Why != "mistyped" {
		t.Errorf("corrections %+v, want the old text with the reason", full.Corrections)
	}
	if len(s.Guards) != 1 || !s.Guards[0].Settled || s.Guards[0].Vessel != "A" {
		t.Errorf("guards %+v, want one of vessel A, settled by the correction", s.Guards)
	}
	if len(a.Notes) != 1 || a.Notes[0].Text != "draught" || len(s.Notes) != 1 || s.Notes[0].Text != "of the run" {
		t.Errorf("notes %+v and %+v, want one of the vessel and one of the run", a.Notes, s.Notes)
	}
	if len(s.Restarts) != 1 || s.Restarts[0].GapS != 30 || s.Restarts[0].Torn != "half a line" {
		t.Errorf("restarts %+v", s.Restarts)
	}
	if not := b.Readings[0]; !not.NotTaken || not.Value != nil || not.Why != "spilled" {
		t.Errorf("the reading left out is %+v", not)
	}
	if b.GivenUp != "spilled" || len(b.Deviations) != 2 {
		t.Errorf("vessel B: given up %q with deviations %+v, want two", b.GivenUp, b.Deviations)
	}
	if *a.Givens[0].Value != 12.5 || b.Givens[1].Text != "ester" {
		t.Errorf("givens %+v and %+v", a.Givens, b.Givens)
	}
	if s.Run.Ended == nil || !s.Run.Complete {
		t.Errorf("run %+v, want it complete", s.Run)
	}
}

func TestARunThatGoesOnHasNoEnd(t *testing.T) {
	s := of(t, begun(t).events)
	if s.Run.Ended != nil || s.Run.Complete {
		t.Errorf("run %+v, want no end", s.Run)
	}
}

func TestOfRefusesAnotherProtocol(t *testing.T) {
	other := &protocol.Protocol{ID: "weighings", Version: "2.0", Text: []byte("other")}
	_, err := summary.Of(other, begun(t).events)
	const want = "the run r-1 is of another protocol, or of another version of it: weighings 1.2, not weighings 2.0"
	if err == nil || err.Error() != want {
		t.Errorf("got %v, want %s", err, want)
	}
}

func TestSameEventsSameBytes(t *testing.T) {
	events := whole(t).events
	first, err := json.Marshal(of(t, events))
	if err != nil {
		t.Fatal(err)
	}
	for range 20 {
		again, err := json.Marshal(of(t, events))
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(first, again) {
			t.Fatal("two summaries of the same events differ")
		}
	}
}
