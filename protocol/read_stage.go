package protocol

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.org/meniscus/calc/quantity"
)

func (l *loader) stage(path string, number int, keys map[string]any) {
	t := l.table(path, "stage", labelOf("stage", number, keys), keys)
	s := &Stage{ID: t.id(anyID), Number: number - 1, Portions: 1}
	s.Title = t.title(s.ID)
	if !t.has("title") {
		t.missing("title", `title = "what is done here"`)
	}
	l.declareStage(t, s)
	here := scope{l: l, who: fmt.Sprintf("stage %q", s.ID), readings: number}
	if n, ok := t.whole("portions", 1, maxPortion); ok {
		s.Portions = n
	}
	s.Shares = t.shares(s.Portions)
	s.Say = t.sayIn("say", here)
	s.Pause = t.sayIn("pause", here)
	s.Steps = t.steps(s, here)
	if t.has("hands") {
		s.Hands = t.window("hands", "s")
	}
	if t.has("clock") {
		clock := t.window("clock", "min")
		s.Clock = &clock
	}
	s.WaitLast, s.Attended = t.flag("wait_last"), t.flag("attended")
	s.Uses = t.uses()
	t.reminders(s, here)
	t.conditions(s, here)
	t.live(s, here)
	t.readings(s, here)
	t.shapeOf(s)
}

// declareStage makes the stage known; its shares are a name of their own in formulas.
func (l *loader) declareStage(t *table, s *Stage) {
	for _, other := range l.p.Stages {
		if other.ID == s.ID && s.ID != "" {
			t.faultAt("id", fmt.Sprintf("the id %q is taken by an earlier stage", s.ID), "another id")
			break
		}
	}
	if l.names[s.ID+".shares"] == nil && nameID.fits(s.ID) {
		l.declare(t, s.ID+".shares", "stage", shares{s})
	}
	l.blocks[s] = t
	l.p.Stages = append(l.p.Stages, s)
}

// shapeOf reports parts of a stage that do not go together.
func (t *table) shapeOf(s *Stage) {
	if s.Clock == nil {
		for _, key := range []string{"wait_last", "remind"} {
			if t.has(key) {
				t.faultAt(key, key+" belongs to a timed wait, and this stage has no clock", `clock = { aim = "10 min" }`)
			}
		}
	}
	if !s.Hands.IsZero() && len(s.Steps) == 0 && !t.has("steps") {
		t.faultAt("hands", "hands is the time for the steps, and this stage has none", `steps = [ "…" ]`)
	}
	if len(s.Steps) == 0 && s.HasHands() {
		s.Steps = []Step{{Say: plainText(s.Title)}}
	}
	for portion := 1; portion <= s.Portions && s.HasHands(); portion++ {
		if len(s.StepsOf(portion)) == 0 {
			t.faultAt("steps", fmt.Sprintf("portion %d has no step", portion), fmt.Sprintf(`{ say = "…", portion = %d }`, portion))
		}
	}
}

// shares reads the portions' sizes as parts of the whole; equal ones when they are not declared.
func (t *table) shares(portions int) []float64 {
	equal := make([]float64, portions)
	for i := range equal {
		equal[i] = 1 / float64(portions)
	}
	if !t.has("shares") {
		return equal
	}
	items, ok := t.get("shares").([]any)
	if !ok {
		t.wrong("shares", "a list of numbers", "shares = [ 0.6, 0.4 ]")
		return equal
	}
	out := make([]float64, 0, len(items))
	sum := 0.0
	for i, item := range items {
		x, ok := asNumber(item)
		if !ok || !(x > 0 && x <= 1) {
			t.l.add(t.l.x.place(element(t.pathOf("shares"), i)).value, t.label+": a share is a number above 0 and up to 1", "")
			return equal
		}
		out = append(out, x)
		sum += x
	}
	switch {
	case len(out) != portions:
		t.faultAt("shares", fmt.Sprintf("%d shares for %d portions", len(out), portions), fmt.Sprintf("portions = %d, or a share for each portion", max(1, len(out))))
		return equal
	case math.Abs(sum-1) > 1e-6:
		t.faultAt("shares", fmt.Sprintf("the shares add up to %.6g, not to 1", sum), "")
		return equal
	}
	return out
}

func asNumber(v any) (float64, bool) {
	switch n := v.(type) {
	case int64:
		return float64(n), true
	case float64:
		return n, true
	}
	return 0, false
}

// steps reads texts and { say, portion } tables.
func (t *table) steps(s *Stage, here scope) []Step {
	if !t.has("steps") {
		return nil
	}
	path := t.pathOf("steps")
	var out []Step
	for i, item := range t.items("steps") {
		at := element(path, i)
		label := fmt.Sprintf("%s, step %d", t.label, i+1)
		switch v := item.(type) {
		case string:
			out = append(out, Step{Say: t.l.say(words{at, label, "", v}, here)})
			if strings.TrimSpace(v) == "" {
				t.l.addIn(words{at, label, "", v}, whole, "the step is empty", "what the hands do")
			}
		case map[string]any:
			st := t.l.table(at, "step", label, v)
			st.required("say", "what the hands do")
			step := Step{Say: st.sayIn("say", here)}
			if n, ok := st.whole("portion", 1, s.Portions); ok {
				step.Portion = n
			}
			out = append(out, step)
		default:
			t.l.add(t.l.x.place(at).value, fmt.Sprintf("%s is %s, not a text", label, describe(item)), `"…"`)
			out = append(out, Step{})
		}
	}
	if len(out) > maxBlocks {
		t.faultAt("steps", fmt.Sprintf("%d steps: at most %d are read", len(out), maxBlocks), "")
		out = out[:maxBlocks]
	}
	return out
}

// items returns a list as it is; a list of tables alone comes from the decoder in another shape.
func (t *table) items(key string) []any {
	switch v := t.get(key).(type) {
	case []any:
		return v
	case []map[string]any:
		out := make([]any, len(v))
		for i := range v {
			out[i] = v[i]
		}
		return out
	}
	t.wrong(key, "a list", key+` = [ "…" ]`)
	return nil
}

func (t *table) uses() []string {
	var ids, out []string
	for _, r := range t.l.p.Resources {
		ids = append(ids, r.ID)
	}
	for _, w := range t.list("uses") {
		switch {
		case !slices.Contains(ids, w.text):
			remedy := "[resource." + strings.Trim(anyID.spell(w.text), `"`) + "] at the top of the file"
			if meant := Nearest(w.text, ids); meant != "" {
				remedy = fmt.Sprintf("%q", meant)
			}
			t.l.addIn(w, whole, fmt.Sprintf("uses: there is no resource %q", w.text), remedy)
		case slices.Contains(out, w.text):
			t.l.addIn(w, whole, fmt.Sprintf("uses: %q stands there twice", w.text), "")
		default:
			out = append(out, w.text)
		}
	}
	return out
}

// conditions reads ready and interlock.
func (t *table) conditions(s *Stage, here scope) {
	if w, ok := t.words("ready"); ok {
		s.Ready = &Condition{Say: t.sayIn("ready_say", here)}
		t.l.later = append(t.l.later, func() { s.Ready.Holds = t.l.condition(w, here) })
	} else if t.has("ready_say") && !t.has("ready") {
		t.faultAt("ready_say", "ready_say tells a condition in words, and there is none", `ready = "a formula"`)
	}
	keys, ok := t.get("interlock").(map[string]any)
	if !ok {
		if t.has("interlock") {
			t.wrong("interlock", "a table", `interlock = { holds = "…", say = "…" }`)
		}
		return
	}
	t.interlock(s, here, keys)
}

func (t *table) interlock(s *Stage, here scope, keys map[string]any) {
	in := t.l.table(t.pathOf("interlock"), "interlock", t.label+", interlock", keys)
	before := here // what is read in the stage itself would come too late
	before.who, before.readings = fmt.Sprintf("the interlock of stage %q", s.ID), s.Number
	in.required("holds", "burner_cold")
	in.required("say", "what must be done first")
	s.Interlock = &Interlock{Condition: Condition{Say: in.sayIn("say", before)}}
	if w, ok := in.words("holds"); ok {
		t.l.later = append(t.l.later, func() { s.Interlock.Holds = t.l.condition(w, before) })
	}
	if in.has("since") != in.has("at_least") {
		in.fault("since and at_least go together", `since = "the id of a mark", at_least = "10 min"`)
		return
	}
	id, atLeast := in.text("since"), words{}
	if atLeast, _ = in.words("at_least"); id == "" || atLeast.text == "" {
		return
	}
	t.l.later = append(t.l.later, func() {
		s.Interlock.AtLeast = t.l.bound(atLeast, before, quantity.MustUnit("min"), false)
		if d, ok := t.l.names[id]; ok {
			s.Interlock.Since, _ = d.what.(*Reading)
		}
		if r := s.Interlock.Since; r == nil || r.Kind != Mark {
			in.faultAt("since", fmt.Sprintf("%q is no reading of kind mark", id), "")
			return
		}
		t.l.used[id] = true
	})
}
