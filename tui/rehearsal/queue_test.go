package rehearsal

import (
	"testing"
	"time"

	"example.org/meniscus/protocols"
)

// TestAskedAgainAndAgain: hands that are asked the same whatever they answer give it up.
func TestAskedAgainAndAgain(t *testing.T) {
	script, _ := protocols.Demo("ester-batch")
	o, clock, err := inMemory(script, nil)
	if err != nil {
		t.Fatal(err)
	}
	for i := 0; o.Open() == nil; i++ {
		if err := play(o, clock, script.Lines[i]); err != nil {
			t.Fatal(err)
		}
	}
	q, line := queue{}, protocols.Line{At: time.Hour, Typed: "126.41"}
	for i := range mostAsked {
		if err := q.answer(o, line); err != nil || len(q.lines) != 1 || q.lines[0].At != line.At+thought {
			t.Fatalf("question %d is answered with %v, %v", i+1, q.lines, err)
		}
		q.lines = nil
	}
	if err := q.answer(o, line); err == nil {
		t.Errorf("%d questions in a row are no fault", mostAsked+1)
	}
}
