package bench

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui"
)

// questionsOf are the questions that a protocol that ships asks where its readings are mixed up or slip, and where its waits
// end too soon, by where they are asked, each with its moment.
func questionsOf(t *testing.T, id string, show func(m Model, ask *run.Question)) {
	script := shipped(t, id)
	var typed []string
	for _, l := range script.Lines {
		if l.Typed != "" && tui.StartsReading([]rune(l.Typed)[0]) && !slices.Contains(typed, l.Typed) {
			typed = append(typed, l.Typed)
		}
	}
	typed = append(typed, "999999", "0", "-1", "12.34567")
	seen := map[string]bool{}
	walk(t, script, false, func(m Model) {
		if m.screen != working || m.Operator.Open() != nil {
			return
		}
		v := m.Operator.View()
		ask := func(act run.Act) {
			_, err := run.Decide(m.Run(), run.Command{Vessel: v.Vessel, Do: act}, m.Operator.Engine.Now())
			var q *run.Question
			if errors.As(err, &q) && !seen[q.Say] {
				seen[q.Say] = true
				show(m, q)
			}
		}
		ask(run.Forward{})
		ask(run.Skip{Why: "the fuel is used up"})
		if v.Asked == nil || v.Asked.Reading.Kind != protocol.Number {
			return
		}
		place := fmt.Sprint(v.Asked.Reading.ID, v.Portion)
		if seen[place] {
			return
		}
		seen[place] = true
		for _, text := range typed {
			ask(run.Take{Typed: text})
		}
	})
}

// TestNoQuestionIsCut: of the long questions that the protocols that ship ask, what it is about and what is asked
// stand whole on the screen, and the bench keeps some rows.
func TestNoQuestionIsCut(t *testing.T) {
	asked, longest := 0, ""
	for _, id := range protocols.IDs() {
		questionsOf(t, id, func(m Model, q *run.Question) {
			if len(q.Say) < 180 { // there is room for it at any size
				return
			}
			asked++
			if len(q.Say) > len(longest) {
				longest = q.Say
			}
			parts := sentences(q.Say)
			f := m.frame()
			f.question = q
			for _, size := range [][2]int{{48, 20}, {60, 20}, {80, 24}} {
				for name, draw := range map[string]func(*frame, int, int, look) string{"bench": drawBench, "far": drawFar} {
					text := draw(f, size[0], size[1], bare(false))
					checkSize(t, text, size[0], size[1])
					one := strings.Join(strings.Fields(text), " ")
					for _, part := range []string{parts[0], parts[len(parts)-1]} {
						if !strings.Contains(one, strings.Join(strings.Fields(part), " ")) {
							t.Fatalf("%s at %v lacks %q of %q:\n%s", name, size, part, q.Say, text)
						}
					}
					if _, talk, ok := strings.Cut(text, strings.Repeat(boxGlyphs.edge, size[0])); ok && len(cutLines(talk, false)) > 0 {
						t.Errorf("%s at %v cuts the question:\n%s", name, size, text)
					}
				}
			}
		})
	}
	if asked < 100 || len(longest) < 250 {
		t.Errorf("%d questions, the longest %q", asked, longest)
	}
	t.Logf("%d questions, the longest has %d characters: %s", asked, len(longest), longest)
}

// TestQuestionRows: the first and the last sentence are kept, and as many before the last as there is room for.
func TestQuestionRows(t *testing.T) {
	const say = "One is far off. Two may be why. Three may be, too. Keep it?"
	for most, want := range map[int]string{
		4: "One is far off.|Two may be why.|Three may be, too.|Keep it?",
		3: "One is far off.|Two may be why.|Keep it?",
		2: "One is far off.|Keep it?",
		1: "Keep it?",
	} {
		a := newCanvas(18, 9, bare(false)).all()
		var got []string
		for _, r := range questionRows(a, say, most) {
			got = append(got, r.text)
		}
		if strings.Join(got, "|") != want {
			t.Errorf("in %d rows: %q, want %q", most, got, want)
		}
	}
}
