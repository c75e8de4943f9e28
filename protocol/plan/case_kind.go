package plan

import (
	"fmt"
)

// kind reads what vessels of a kind go through: the steps, waits and holds of a block.
func (r *caseReader) kind(b *block) Vessel {
	k := &kindReader{r: r, at: map[string]int{}}
	for i, s := range b.blocks("step", "step") {
		if len(k.v.Steps) < mostSteps {
			k.step(i, s)
		} else if i == mostSteps {
			s.fault("", fmt.Sprintf("these are more than %d steps", mostSteps), "fewer")
		}
	}
	for _, w := range b.blocks("wait", "wait") {
		k.wait(w)
	}
	if round := k.v.circle(); round != nil {
		b.fault("wait", "waits lead round in a circle, through "+quoted(round), "waits that go from earlier steps to later ones")
	} else {
		k.next = k.v.follow()
		for _, h := range b.blocks("hold", "hold") {
			k.hold(h)
		}
	}
	return k.v
}

type kindReader struct {
	r   *caseReader
	v   Vessel
	at  map[string]int // index of a step by its id
	ids []string

	next [][]int // by step: those to which its waits lead
}

func (k *kindReader) step(i int, b *block) {
	s := Step{ID: b.text("id", true), Title: b.text("title", false), Operators: b.whole("operators", 1, 0, 99)}
	b.label = fmt.Sprintf("step %q: ", s.ID)
	if _, taken := k.at[s.ID]; taken && s.ID != "" {
		b.fault("id", "the id is taken", "another one")
	}
	if most := k.r.p.Operators; most > 0 && s.Operators > most {
		b.fault("operators", fmt.Sprintf("it takes %d pairs of hands and there are %d", s.Operators, most), fmt.Sprintf("operators = %d at the top of the file", s.Operators))
	}
	s.Hands = b.minutes("hands", true)
	b.texts("uses", func(path, resource string) {
		s.Uses = append(s.Uses, resource)
		k.r.uses = append(k.r.uses, mention{path, resource})
	})
	k.at[s.ID], k.ids = i, append(k.ids, s.ID)
	k.v.Steps = append(k.v.Steps, s)
}

func (k *kindReader) wait(b *block) {
	from, to, ok := k.ends(b, "wait")
	w := Wait{From: from, To: to, AtLeast: b.minutes("at_least", false), AtMost: Forever}
	w.Aim = w.AtLeast
	if b.keys["aim"] != nil {
		w.Aim = b.minutes("aim", false)
	}
	if b.keys["at_most"] != nil {
		w.AtMost = b.minutes("at_most", false)
	}
	if !b.sound {
		return
	}
	switch {
	case w.Aim < w.AtLeast:
		b.fault("aim", fmt.Sprintf("aim = %s is below at_least = %s", b.spelt("aim"), b.spelt("at_least")), "an aim of that or more")
	case w.AtMost < w.AtLeast:
		b.fault("at_most", fmt.Sprintf("at_most = %s is below at_least = %s", b.spelt("at_most"), b.spelt("at_least")), "an at_most of that or more")
	case w.Aim > w.AtMost:
		b.fault("aim", fmt.Sprintf("aim = %s is above at_most = %s", b.spelt("aim"), b.spelt("at_most")), "an aim of that or less")
	}
	if ok && b.sound {
		k.v.Waits = append(k.v.Waits, w)
	}
}

func (k *kindReader) hold(b *block) {
	resource := b.text("resource", true)
	if resource != "" {
		k.r.uses = append(k.r.uses, mention{b.at("resource"), resource})
	}
	from, to, ok := k.ends(b, "hold of "+resource)
	switch {
	case !ok:
		return
	case from != to && leads(k.next, to, from):
		b.fault("from", fmt.Sprintf("the hold goes from a later step to an earlier one: waits lead from %q to %q", k.ids[to], k.ids[from]),
			fmt.Sprintf("from = %q, to = %q", k.ids[to], k.ids[from]))
		return
	case from != to && !leads(k.next, from, to):
		b.fault("from", fmt.Sprintf("no waits lead from %q to %q, so either may be first", k.ids[from], k.ids[to]),
			fmt.Sprintf("[[wait]] from = %q, to = %q, or a hold between steps that follow each other", k.ids[from], k.ids[to]))
		return
	}
	k.v.Holds = append(k.v.Holds, Hold{resource, from, to})
}

// ends reads from and to; both are steps, for a wait different ones.
func (k *kindReader) ends(b *block, what string) (from, to int, ok bool) {
	first, second := b.text("from", true), b.text("to", true)
	if what == "wait" {
		what = fmt.Sprintf("wait from %q to %q", first, second)
	}
	b.label = what + ": "
	from, ok = k.find(b, "from", first)
	to, found := k.find(b, "to", second)
	ok = ok && found
	if ok && from == to && b.kind == "wait" {
		b.fault("to", "it leads from a step to itself", "another step after to, or leave the wait out")
		ok = false
	}
	return from, to, ok
}

// find looks up a step; one that is missing is told already.
func (k *kindReader) find(b *block, key, id string) (int, bool) {
	i, ok := k.at[id]
	if id == "" || ok {
		return i, ok && id != ""
	}
	remedy := "one of " + quoted(k.ids[:min(len(k.ids), 12)])
	if near := nearestOf(id, k.ids); near != "" {
		remedy = fmt.Sprintf("%q", near)
	}
	b.fault(key, fmt.Sprintf("there is no step %q", id), remedy)
	return 0, false
}
