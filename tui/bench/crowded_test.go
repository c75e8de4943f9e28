package bench

import (
	"reflect"
	"strings"
	"testing"
	"time"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
)

// TestQueueTellsWhatBeforeWhen: where the words of one turn and its time do not fit beside each other, every turn of the
// queue has the shorter time.
func TestQueueTellsWhatBeforeWhen(t *testing.T) {
	turns := []run.Turn{
		{Vessel: "A", Tone: run.Late, Do: "Run off the lower layer", Closes: -70 * time.Second},
		{Vessel: "B", Tone: run.Hands, Do: "Swirl", Closes: 95 * time.Second},
	}
	for _, tt := range []struct {
		w    int
		want []string
	}{
		{48, []string{"now  [A] ! Run off the lower layer  late by 1:10", "next  B  > Swirl                  closes in 1:35"}},
		{45, []string{"now  [A] ! Run off the lower layer  1:10 late", "next  B  > Swirl                    1:35 left"}},
	} {
		got := drawn(tt.w, 2, true, func(a area) { drawQueue(a, together(turns), "A") })
		if !reflect.DeepEqual(got, tt.want) {
			t.Errorf("on %d columns the queue is\n%s\nwant\n%s", tt.w, strings.Join(got, "\n"), strings.Join(tt.want, "\n"))
		}
	}
}

// TestChosenIsToldWithoutColour: of two vessels that wait, the one that the keys go to is marked above its glass and in
// the queue.
func TestChosenIsToldWithoutColour(t *testing.T) {
	for _, size := range sizes {
		p := newPlanned(t, 3)
		p.playPlanned("", "", "C")
		p.size(size[0], size[1])
		want := 2
		if size[0] < slimmest { // the queue is too low for C
			want = 1
		}
		if text := p.text(); strings.Count(text, "[C]") != want || strings.Contains(text, "[B]") {
			t.Errorf("at %dx%d, [C] should stand %d times, and [B] nowhere:\n%s", size[0], size[1], want, text)
		}
	}
}

// TestHeldWaitTellsWhatCloses: at every size, a wait that the timetable has the hands end later tells when its window
// closes.
func TestHeldWaitTellsWhatCloses(t *testing.T) {
	planned := 12 * time.Minute
	for _, size := range sizes {
		w, h := size[0], size[1]
		f := busyFrame(3, 4*time.Minute, &protocol.Stage{Title: "Reaction hold"})
		v := &f.views[0]
		v.Tone, v.Planned, v.Due, v.Live, v.Gate, v.Busy = run.Waiting, &planned, nil, nil, nil, nil
		v.Clock = &run.ClockView{Held: true, Elapsed: 4 * time.Minute, Left: time.Minute,
			Window: protocol.Window{AtLeast: 3 * time.Minute, Aim: 5 * time.Minute, AtMost: 20 * time.Minute}}
		text := drawBench(f, w, h, bare(false))
		if !strings.Contains(text, "hands here at 09:12") || !strings.Contains(text, ", closes in 16:00") {
			t.Errorf("at %dx%d it is not told that hands come at 09:12 and the window closes in 16:00:\n%s", w, h, text)
		}
	}
}

// TestTapeTitlesAreWhole: the times move to the left before a title is cut off, and no further than they need.
func TestTapeTitlesAreWhole(t *testing.T) {
	tape := []strip{
		{at: 4 * time.Minute, title: "Oil temperature", value: "34.5"},
		{at: 14*time.Minute + 40*time.Second, title: "Portion by difference 1", value: "8.71 g"},
	}
	for w, want := range map[int]string{
		42: "  14:40  Portion by difference 1    8.71 g",
		38: "14:40  Portion by difference 1  8.71 g",
	} {
		if got := drawn(w, 2, true, func(a area) { drawTape(a, tape) })[1]; got != want {
			t.Errorf("on %d columns the newest reading is %q, want %q", w, got, want)
		}
	}
}

// TestFarViewTellsTheOthers: a vessel that is due is told although another one fills the screen.
func TestFarViewTellsTheOthers(t *testing.T) {
	p := newPlayer(t, 4)
	p.size(80, 24)
	p.play(after(at("A", catalyst), "+10s", "C", "", "+5m", "A", "f")...)
	if top, _, _ := strings.Cut(p.text(), "\n"); !strings.Contains(top, "C ▶ now") {
		t.Errorf("the first line of the far view is %q, want C among the others, needing hands now", top)
	}
}

// TestCautionsBeforeGaps: rows that would only set the parts apart go to a caution that is cut off.
func TestCautionsBeforeGaps(t *testing.T) {
	p := demo(t, "burn-test", 15*time.Minute+10*time.Second)
	p.size(100, 30)
	if text := p.text(); !strings.Contains(text, "hardly be seen in daylight") {
		t.Errorf("one line of the caution is all that is shown:\n%s", text)
	}
}
