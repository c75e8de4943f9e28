package journal

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocols"
)

// BenchmarkAppend appends one reading with its fsync; BenchmarkBareAppend does the same with the same bytes and nothing
// else: the ratio of the two is what the journal costs.
func BenchmarkAppend(b *testing.B) {
	path := write(b, sample()[:3])
	w, _, err := Open(path)
	if err != nil {
		b.Fatal(err)
	}
	defer w.Close()
	e := sample()[3]
	for b.Loop() {
		if err := w.Append(e); err != nil {
			b.Fatal(err)
		}
		e.N++
	}
}

func BenchmarkBareAppend(b *testing.B) {
	line, _, err := encode(nil, sample()[3], 0, origin)
	if err != nil {
		b.Fatal(err)
	}
	f, err := os.OpenFile(filepath.Join(b.TempDir(), "bare"), os.O_CREATE|os.O_WRONLY|os.O_APPEND, 0o600)
	if err != nil {
		b.Fatal(err)
	}
	defer f.Close()
	for b.Loop() {
		if _, err := f.Write(line); err != nil {
			b.Fatal(err)
		}
		if err := f.Sync(); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkAppendOverBare gives the ratio itself, times-bare: the two take turns, so that the disk's moods fall on both.
func BenchmarkAppendOverBare(b *testing.B) {
	path := write(b, sample()[:3])
	w, _, err := Open(path)
	if err != nil {
		b.Fatal(err)
	}
	defer w.Close()
	line, _, _ := encode(nil, sample()[3], 0, origin)
	f, err := os.OpenFile(filepath.Join(b.TempDir(), "bare"), os.O_CREATE|os.O_WRONLY|os.O_APPEND, 0o600)
	if err != nil {
		b.Fatal(err)
	}
	defer f.Close()
	e := sample()[3]
	var ours, bare time.Duration
	for b.Loop() {
		t0 := time.Now()
		if err := w.Append(e); err != nil {
			b.Fatal(err)
		}
		t1 := time.Now()
		if _, err := f.Write(line); err != nil {
			b.Fatal(err)
		}
		if err := f.Sync(); err != nil {
			b.Fatal(err)
		}
		ours, bare = ours+t1.Sub(t0), bare+time.Since(t1)
		e.N++
	}
	b.ReportMetric(float64(ours)/float64(bare), "times-bare")
}

// long is a journal of n events: a run of the acid protocol in which readings, notes and absences go on and on.
func long(tb testing.TB, n int) []byte {
	tb.Helper()
	text, ok := protocols.Text("acid-and-catalyst")
	if !ok {
		tb.Fatal("the protocol does not ship")
	}
	var out bytes.Buffer
	last, line := origin, []byte(nil)
	var err error
	for i := 1; i <= n; i++ {
		e := at(i, time.Duration(i)*time.Second, nil)
		switch {
		case i == 1:
			e.What = run.Begun{Run: "r", Program: "meniscus test", File: "acid-and-catalyst.toml", Protocol: string(text), Vessels: []run.VesselBegun{{Label: "A"}}}
		case i == 2:
			e.What = run.Acknowledged{}
		case i%50 == 0:
			e.What, e.Vessel = run.Noted{Text: "the flask was swirled, colour as before"}, "A"
		case i%3 == 0:
			e.What, e.Vessel = run.ReadingTaken{Stage: "standardise", Portion: 1, Reading: "khp", Typed: "0.2013", Value: 0.2013, Unit: "g", TypedAt: run.Span(e.Elapsed)}, "A"
		case i%2 == 0:
			e.What = run.CameBack{}
		default:
			e.What = run.CalledAway{}
		}
		if line, last, err = encode(line[:0], e, 0, last); err != nil {
			tb.Fatal(err)
		}
		out.Write(line)
	}
	return out.Bytes()
}

const million = 1_000_000

// BenchmarkFoldAndVerify reads a journal of a million events, holds it against its chain and folds it, and decodes the
// same lines with encoding/json into the same events; times-decode is the ratio.
func BenchmarkFoldAndVerify(b *testing.B) {
	text := long(b, million)
	b.SetBytes(int64(len(text)))
	var ours, bare time.Duration
	for b.Loop() {
		t0 := time.Now()
		var s run.State
		end, err := scan(bytes.NewReader(text), "r", s.Apply)
		if err != nil || end.Lines != million {
			b.Fatalf("%d lines, %v", end.Lines, err)
		}
		t1 := time.Now()
		decodeOnly(b, text)
		ours, bare = ours+t1.Sub(t0), bare+time.Since(t1)
	}
	b.ReportMetric(float64(ours)/float64(bare), "times-decode")
	b.ReportMetric(ours.Seconds()/float64(b.N), "s/fold")
}

// decodeOnly reads each line with encoding/json, its fact into the type that its name says.
func decodeOnly(tb testing.TB, text []byte) {
	var r struct {
		Format  int             `json:"format"`
		N       int             `json:"n"`
		At      time.Time       `json:"at"`
		Elapsed float64         `json:"elapsed"`
		Vessel  string          `json:"vessel"`
		Fact    string          `json:"fact"`
		Data    json.RawMessage `json:"data"`
		Chain   string          `json:"chain"`
	}
	for len(text) > 0 {
		i := bytes.IndexByte(text, '\n')
		if err := json.Unmarshal(text[:i], &r); err != nil {
			tb.Fatal(err)
		}
		var err error
		switch r.Fact {
		case "begun":
			var f run.Begun
			err = json.Unmarshal(r.Data, &f)
		case "reading taken":
			var f run.ReadingTaken
			err = json.Unmarshal(r.Data, &f)
		case "noted":
			var f run.Noted
			err = json.Unmarshal(r.Data, &f)
		default:
			var f struct{}
			err = json.Unmarshal(r.Data, &f)
		}
		if err != nil {
			tb.Fatal(err)
		}
		text = text[i+1:]
	}
}

// TestVerifyInConstantMemory: what verifying keeps does not grow with the journal.
func TestVerifyInConstantMemory(t *testing.T) {
	kept := func(text []byte) uint64 {
		var before, peak runtime.MemStats
		in := newScanner(bytes.NewReader(text), "r")
		runtime.GC()
		runtime.ReadMemStats(&before)
		for in.next() {
		}
		runtime.GC()
		runtime.ReadMemStats(&peak)
		if in.err != nil || in.lines == 0 {
			t.Fatalf("%d lines, %v", in.lines, in.err)
		}
		runtime.KeepAlive(in)
		return peak.HeapAlloc - min(before.HeapAlloc, peak.HeapAlloc)
	}
	few, many := long(t, 100), long(t, 20_000)
	if a, b := kept(few), kept(many); b > a+1<<16 {
		t.Errorf("100 events keep %d bytes, 20000 events %d", a, b)
	}
}
