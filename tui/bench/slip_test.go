package bench

import (
	"strings"
	"testing"
	"time"
)

// A correction names the vessel and the reading it is about, also when the hands have gone on, and keeps what was typed
// when its reason is missing.
func TestCorrectionOfTheVesselBefore(t *testing.T) {
	p := newPlayer(t, 2)
	p.size(120, 30)
	p.play("", "+1s", "", "+1s", "50", "+1s", "1", "+1s")
	if p.now().Operator.Vessel != "B" {
		t.Fatalf("%s is in hand, want B", p.now().Operator.Vessel)
	}
	says := func(want string) {
		t.Helper()
		if !strings.Contains(p.text(), want) {
			t.Errorf("not shown: %q in\n%s", want, p.text())
		}
	}
	keys := Keys("c 2")
	for _, k := range keys[:len(keys)-1] {
		p.send(k)
	}
	says("A correct How the oil looks clear to")
	says("2▏ = hazy, mistyped")
	p.send(keys[len(keys)-1])
	says("A How the oil looks: hazy instead of clear, mistyped")
	p.play("A")
	keys = Keys("c look 3")
	for _, k := range keys[:len(keys)-1] {
		p.send(k)
	}
	says("A correct How the oil looks hazy to")
	says("look 3▏ = cloudy, mistyped")
	p.send(keys[len(keys)-1])
	says("A How the oil looks: cloudy instead of hazy, mistyped")
	for _, k := range Keys("u x")[:2] {
		p.send(k)
	}
	says("A undo the correction of How the oil looks to cloudy")
}

func TestAwayEnterComesBack(t *testing.T) {
	p := newPlayer(t, 1)
	p.size(80, 24)
	p.play("", "+1s", "", "a")
	if text := p.text(); !strings.Contains(text, "Enter ▸ come back") {
		t.Error(text)
	}
}

// What is typed for a vessel that is through acts on nothing, sign by sign: its letters are no keys.
func TestNothingLandsOnTheNextVessel(t *testing.T) {
	p := newPlayer(t, 2)
	p.size(120, 30)
	p.play("", "+1s", "", "+1s", "50", "+1s", "1", "+1s", "A", "d broken", "+1s", "")
	before := len(p.events)
	for _, k := range Keys("x at 12.5 q") {
		p.at += 100 * time.Millisecond
		p.send(k)
	}
	if m := p.now(); len(p.events) != before || m.Left() || len(m.line) > 0 || m.Operator.Vessel != "B" {
		t.Errorf("events %+v, line %q, left %t, %s in hand", p.events[before:], string(m.line), m.Left(), m.Operator.Vessel)
	}
	if text := p.text(); !strings.Contains(text, "B is in hand now: Enter again") {
		t.Error(text)
	}
	p.play("+1s", "")
	if len(p.events) == before {
		t.Error("B was not begun by the next Enter")
	}
}
