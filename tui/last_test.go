package tui_test

import (
	"strings"
	"testing"
	"time"

	"example.org/meniscus/tui"
)

// gone returns a batch whose vessel A has its 50 g of oil and waits, and whose hands have gone on to B a second ago.
func gone(t *testing.T) (*tui.Operator, *moody) {
	t.Helper()
	o, m := atBatch(t, "AB")
	for _, line := range []string{"", "50", "1"} {
		m.now += time.Second
		o.Enter(line, 0)
	}
	m.now += time.Second
	if o.Vessel != "B" {
		t.Fatalf("%s is in hand, want B", o.Vessel)
	}
	return o, m
}

// A correction that names nothing is about the reading that was typed last, wherever the hands are by now. Every line is
// typed after the ones before it.
func TestSlipAtTheVesselBefore(t *testing.T) {
	for _, tt := range []struct{ lines, vessel, hears string }{
		{"c 2 misread", "B", "A How the oil looks"},
		{"u another flask", "B", "A Take How the oil looks (clear) back, for the reason “another flask”?"},
		{"u another flask|", "B", "A How the oil looks: clear is taken back"},
		{"B|c 2 misread", "B", "Vessel B has no reading to correct yet"},
		{"|50|A|c 2 misread", "A", "A How the oil looks"},
		{"|50|n the hands stay|c 51 misread", "B", "B Oil weighed: 51"},
	} {
		o, m := gone(t)
		got := ""
		for _, line := range strings.Split(tt.lines, "|") {
			m.now += time.Second
			got = heard(o.Enter(line, 0))
		}
		if !strings.HasPrefix(got, tt.hears) {
			t.Errorf("%s: %q, want %q", tt.lines, got, tt.hears)
		}
	}
}

// A line begun too soon after the hands left a vessel that is through lands on no other vessel.
func TestALineBegunTooSoonAfterTheEnd(t *testing.T) {
	through := func() (*tui.Operator, *moody) {
		o, m := gone(t)
		for _, line := range []string{"A", "d broken", ""} {
			m.now += time.Second
			o.Enter(line, 0)
		}
		return o, m
	}
	o, m := through()
	for range 3 { // slow digits of one number
		m.now += 700 * time.Millisecond
		if refused := o.StartLine('5'); !strings.Contains(refused, "vessel A is through") || o.Vessel != "B" {
			t.Fatalf("%q with %s in hand", refused, o.Vessel)
		}
	}
	m.now += time.Second
	if a := o.Enter("", 0); len(a.Events) > 0 || a.Refused == "" {
		t.Errorf("the Enter of a number that was not taken did something: %+v", a)
	}
	m.now += time.Second
	if refused := o.StartLine('5'); refused != "" {
		t.Error(refused)
	}
	o, m = through()
	m.now += 300 * time.Millisecond
	if refused := o.StartLine('c'); refused != "" || o.Vessel != "A" {
		t.Errorf("a correction begun at once: %q, %s in hand", refused, o.Vessel)
	}
	if got := heard(o.Enter("c oil 51 misread", 0)); strings.Contains(got, "B Oil") {
		t.Error(got)
	}
}

// What was typed does not go without a word when something else is typed at its question.
func TestNothingTypedIsLost(t *testing.T) {
	for line, want := range map[string]string{
		"A": "Answer first", "B": "Answer first", "p": "Answer first",
		"n hot": "B 5000 not taken. B Noted.", "x broken": "B 5000 not taken.", "y": "B 5000 not taken.",
	} {
		o, _ := gone(t)
		o.Enter("", 0)
		if a := o.Enter("5000", 0); a.Ask == nil || !strings.HasPrefix(a.Ask.Say, "B Oil weighed") {
			t.Fatalf("%+v", a)
		}
		got := heard(o.Enter(line, 0))
		if open := o.Open() != nil; !strings.HasPrefix(got, want) || open != (want == "Answer first") {
			t.Errorf("%s: %q, open %t; want %q", line, got, open, want)
		}
	}
}

func TestQuestionsNameTheVessel(t *testing.T) {
	o, m := gone(t)
	o.Enter("A", 0)
	if got := heard(o.Enter("s broken", 0)); !strings.HasPrefix(got, "Skip what is left of Prewarm of A,") {
		t.Error(got)
	}
	o.Enter("-", 0)
	o.Enter("B", 0)
	o.Enter("", 0)
	if err := o.Engine.KeepDraft("B", "50.2", m.now); err != nil {
		t.Fatal(err)
	}
	q := tui.NewOperator(o.Engine).Open()
	if want := "B Oil weighed, typed at " + o.Engine.State.Wall(m.now) + ": “50.2” was typed"; q == nil || !strings.HasPrefix(q.Say, want) {
		t.Errorf("the draft is offered as %+v, want %q", q, want)
	}
}

// A correction whose reason is missing is to be kept, so that only the reason is added.
func TestReasonIsAdded(t *testing.T) {
	o, _ := gone(t)
	for _, line := range []string{"z out of oil", "", "A"} {
		o.Enter(line, 0)
	}
	for line, want := range map[string]string{"c look 2": "needs a reason: c look, the new value", "c 2": "needs a reason: c, the new value"} {
		if a := o.Enter(line, 0); !a.Keep || !strings.Contains(a.Refused, want) {
			t.Errorf("%s: %+v", line, a)
		}
	}
	if a := o.Enter("c look 2 misread", 0); a.Keep || len(a.Events) == 0 {
		t.Errorf("%+v", a)
	}
}

// A correction with two keys: c, the value, Enter, or with a name between them. What the record will say stands beside the
// value before.
func TestCorrectedWithTwoKeys(t *testing.T) {
	o, m := gone(t)
	for line, want := range map[string]string{"c 2": "hazy, mistyped", "c 2 misread": "", "c": "", "c 9": "", "u 2": ""} {
		if slip, ok := o.Slip(line); !ok || slip.Becomes != want {
			t.Errorf("%q becomes %q (%t), want %q", line, slip.Becomes, ok, want)
		}
	}
	if got := heard(o.Enter("c 2", 0)); !strings.HasPrefix(got, "A How the oil looks: hazy instead of clear, mistyped") {
		t.Error(got)
	}
	m.now += time.Second
	o.Enter("A", 0)
	for line, want := range map[string]string{"c oil_weighed": "50.00 g", "c oil_weighed 5": "50.00 g 5 g, mistyped", "u oil_weighed spilt": "50.00 g",
		"c oil_weighed 51 misread": "50.00 g", "c look": "hazy", "c oil_weigh": "none", "c lookk 2": "none", "u look": "hazy"} {
		slip, ok := o.Slip(line)
		got := "none"
		if ok {
			got = strings.TrimSpace(slip.Taken.Shown() + " " + slip.Becomes)
		}
		if got != want {
			t.Errorf("%q is about %s, want %s", line, got, want)
		}
	}
	if got := heard(o.Enter("c oil_weighed 50.01", 0)); !strings.HasPrefix(got, "A Oil weighed: 50.01 g instead of 50.00 g, mistyped") {
		t.Error(got)
	}
	m.now += time.Second
	o.Enter("z out of oil", 0)
	m.now += time.Second
	if o.Enter("", 0); o.Engine.State.Ended == nil {
		t.Fatal("the run goes on")
	}
	if slip, ok := o.Slip("c 3"); !ok || slip.Taken == nil || slip.Becomes != "" {
		t.Errorf("after the end, without a reason: %+v (%t)", slip, ok)
	}
}

// A name after u is the reading that is taken back; any other word is the reason.
func TestTakeBackByName(t *testing.T) {
	o, m := gone(t)
	o.Enter("A", 0)
	if got := heard(o.Enter("u oil_weighed another flask", 0)); got != "A Take Oil weighed (50.00 g) back, for the reason “another flask”?" {
		t.Error(got)
	}
	m.now += time.Second
	const want = "A Oil weighed: 50.00 g is taken back; the right one is entered as @10:42 oil_weighed, then the value"
	if got := heard(o.Enter("", 0)); !strings.HasPrefix(got, want) {
		t.Error(got)
	}
}

// What a reminder asked for is confirmed in words, with its time, and the reading that it was to bring.
func TestAnsweredReminder(t *testing.T) {
	o, m := atBatch(t, "A")
	for _, line := range []string{"", "", "50", "1"} {
		m.now += 10 * time.Second
		o.Enter(line, 0)
	}
	m.now = 5 * time.Minute
	if got := heard(o.Enter("", 0)); got != "Swirl the flask: done at 5:00" {
		t.Errorf("%q", got)
	}
	m.now = 13 * time.Minute
	if got := heard(o.Enter("", 0)); got != "Swirl the flask: done at 13:00; 1 before it was missed" {
		t.Errorf("%q", got)
	}
}
