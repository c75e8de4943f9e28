package protocols_test

import (
	"strings"
	"testing"
	"time"

	"example.org/meniscus/protocols"
)

func TestParseScript(t *testing.T) {
	const text = "\ufeff# remark\r\nprotocol = burn-test\r\ntitle = Two burns\nvessels = 2\ngiven oil = olive\ngiven B.oil = palm\n\n" +
		"0:00:00\t-\n0:12:40\tB\tn 5 = five\tand a tab\n0:12:40\tA\t\n"
	s, err := protocols.ParseScript("x.demo", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	if s.Protocol != "burn-test" || s.Title != "Two burns" || strings.Join(s.Vessels, "") != "AB" {
		t.Errorf("head: %q %q %q", s.Protocol, s.Title, s.Vessels)
	}
	if a, b := s.GivensOf("A")["oil"], s.GivensOf("B")["oil"]; a != "olive" || b != "palm" {
		t.Errorf("oil of A and B: %q %q, want olive and palm", a, b)
	}
	want := []protocols.Line{
		{At: 0, Vessel: "", Typed: "", Number: 8},
		{At: 12*time.Minute + 40*time.Second, Vessel: "B", Typed: "n 5 = five\tand a tab", Number: 9},
		{At: 12*time.Minute + 40*time.Second, Vessel: "A", Typed: "", Number: 10},
	}
	if len(s.Lines) != len(want) {
		t.Fatalf("%d acts, want %d", len(s.Lines), len(want))
	}
	for i := range want {
		if s.Lines[i] != want[i] {
			t.Errorf("act %d: %+v, want %+v", i, s.Lines[i], want[i])
		}
	}
}

func TestParseScriptFaults(t *testing.T) {
	const head = "protocol = p\n"
	const act = "0:00:00\t-\n"
	tests := []struct{ text, want string }{
		{act, "x.demo:1: no protocol is named; write protocol = ID"},
		{head, "x.demo:1: there is no act; write 0:00:00, a tab, -, a tab"},
		{head + act + "hello\n", `x.demo:3: "hello" is neither an act nor a line of the head; write 0:12:40, a tab, A, a tab, what is typed`},
		{head + act + "title = late\n", "x.demo:3: title stands below the first act; write it above"},
		{head + "title =\n" + act, "x.demo:2: title has no value"},
		{head + "colour = red\n" + act, `x.demo:2: "colour" is not known; write protocol, title, vessels or given ID`},
		{head + "vessels = 0\n" + act, "x.demo:2: vessels = 0; write a number from 1 to 12"},
		{head + "vessels = many\n" + act, "x.demo:2: vessels = many; write a number from 1 to 12"},
		{head + "given A. = 1\n" + act, "x.demo:2: given A. has no id; write given ID or given A.ID"},
		{head + "given a = 1\ngiven a = 2\n" + act, "x.demo:3: given a is set twice"},
		{head + "given B.a = 1\n" + act, "x.demo:1: a given is set for vessel B, which the run does not have; write vessels = N"},
		{head + "0:12:40 A 5\n", `x.demo:2: "0:12:40 A 5" has no tab; write 0:12:40, a tab, A, a tab, what is typed`},
		{head + "0:12\tA\t5\n" + act, `x.demo:2: "0:12" is no time since the run began; write H:MM:SS, such as 1:05:30`},
		{head + "0:61:00\tA\t5\n" + act, `x.demo:2: "0:61:00" is no time since the run began; write H:MM:SS, such as 1:05:30`},
		{head + "0:01:00\tA\t5\n" + act, "x.demo:3: 0:00:00 is earlier than the act before it"},
		{head + "0:01:00\tC\t5\n", `x.demo:2: there is no vessel "C"; write one of A, or - for the whole run`},
		{"\xff", "x.demo:1: the file is not UTF-8"},
		{head + act + "oops\n0:0:0\tA\n", `x.demo:3: "oops" is neither an act nor a line of the head; write 0:12:40, a tab, A, a tab, what is typed` + "\n" +
			`x.demo:4: "0:0:0" is no time since the run began; write H:MM:SS, such as 1:05:30`},
	}
	for _, tt := range tests {
		_, err := protocols.ParseScript("x.demo", []byte(tt.text))
		if err == nil {
			t.Errorf("%q was taken, want %s", tt.text, tt.want)
		} else if !strings.Contains("\n"+err.Error()+"\n", "\n"+tt.want+"\n") {
			t.Errorf("%q:\n%v\nwant\n%s", tt.text, err, tt.want)
		}
	}
}

// Whatever is in a file, its acts come out in order of time and on vessels that the script has, or it is refused.
func FuzzParseScript(f *testing.F) {
	for _, id := range protocols.IDs() {
		text, err := protocols.FS.ReadFile(id + ".demo")
		if err != nil {
			f.Fatal(err)
		}
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		s, err := protocols.ParseScript("x.demo", text)
		if err != nil {
			return
		}
		known := "-" + strings.Join(s.Vessels, "")
		var last time.Duration
		for _, l := range s.Lines {
			if l.At < last || !strings.Contains(known, l.Vessel) {
				t.Errorf("line %d: %+v after %v", l.Number, l, last)
			}
			last = l.At
		}
	})
}
