package bench

import (
	"errors"
	"strings"
	"testing"

	"example.org/meniscus/protocol/run"
)

// TestUnsoundRunIsListed: a run that cannot be gone on with stands among the others with what is wrong and what to do, by its
// name where its protocol is not known.
func TestUnsoundRunIsListed(t *testing.T) {
	p := &player{t: t}
	o := p.options()
	o.Unfinished = []Unfinished{{Run: "run-2", Wrong: "run-2.journal:1: this is no line of a journal; meniscus verify run-2 tells more"},
		{Run: "run-1", Title: "Ethyl ester, small batch"}}
	p.model = New(o)
	p.size(80, 24)
	text := strings.Join(strings.Fields(p.text()), " ")
	for _, want := range []string{"1 run-2 cannot go on", "this is no line of a journal; meniscus verify run-2 tells more", "2 Ethyl ester"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q:\n%s", want, p.text())
		}
	}
}

// TestWhyARunCannotBeTakenUp: the whole sentence is in sight, and Enter tries again.
func TestWhyARunCannotBeTakenUp(t *testing.T) {
	p := &player{t: t}
	o := p.options()
	o.Unfinished = []Unfinished{{Run: "run-1", Title: "Ethyl ester, small batch"}}
	held := true
	o.Resume = func(string) (*run.Engine, error) {
		if held {
			return nil, errors.New("/home/bench/.local/share/meniscus/runs/2026-03-02-0830-ester-batch.journal: another meniscus (its last line is of 2026-03-02 08:31:05 UTC) is at this run; go on there")
		}
		return p.engine(1, nil), nil
	}
	p.model = New(o)
	p.size(48, 20)
	p.play("")
	text := strings.Join(strings.Fields(p.text()), " ")
	for _, want := range []string{"(its last line is of 2026-03-02 08:31:05 UTC)", "go on there", "Enter ▸ try again"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q:\n%s", want, p.text())
		}
	}
	held = false
	if p.play(""); p.now().Run() == nil {
		t.Errorf("not taken up:\n%s", p.text())
	}
}
