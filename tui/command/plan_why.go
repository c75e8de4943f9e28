package command

import (
	"fmt"
	"strings"

	"example.org/meniscus/protocol/plan"
)

// reasons tells what binds, and what was tried to find out.
func (t *timetable) reasons() []string {
	y := t.why
	said := []string{"A vessel planned alone takes " + long(y.Alone) + "."}
	if y.Chain {
		said = append(said, "The waits and steps of one vessel bind: nothing is shorter than a vessel by itself.")
	}
	for _, l := range y.Loads {
		busy := fmt.Sprintf("%s: busy for %.0f %% of the time.", capital(t.nameOf(l.Resource)), 100*l.Share)
		if l.AtLeast == t.plan.Makespan {
			busy += " Its work alone takes as long as the plan."
		}
		said = append(said, busy)
	}
	binding, others, named := y.Chain, 0, 0
	for _, tr := range y.Trials {
		binding = binding || tr.Binds != plan.No
		switch {
		case tr.Kind != plan.NoWindow:
			said = append(said, t.tried(tr))
		case tr.Binds == plan.No:
			others++
		default:
			said = append(said, t.tried(tr))
			named++
		}
	}
	switch {
	case others > 0 && named > 0:
		said = append(said, "Without one of the other latest ends, no plan would be shorter.")
	case others > 0:
		said = append(said, "Without one latest end alone, no plan would be shorter: only several together bind.")
	}
	if !binding {
		said = append(said, "Nothing of this binds by itself: only two or more of these together would make the plan shorter, or other steps and waits.")
	}
	return said
}

// tried says what came of a trial.
func (t *timetable) tried(tr plan.Trial) string {
	what, thing, verb := t.relaxed(tr)
	switch {
	case tr.Excess < t.plan.Excess && tr.Excess == 0:
		return fmt.Sprintf("%s, all windows would be kept%s.", what, t.binding(tr, thing, verb))
	case tr.Excess < t.plan.Excess:
		return fmt.Sprintf("%s, windows would be exceeded by %s instead of %s%s.", what, long(tr.Excess), long(t.plan.Excess), t.binding(tr, thing, verb))
	case tr.Saves > 0 && tr.Proven:
		return fmt.Sprintf("%s, the plan would be %s shorter%s.", what, long(tr.Saves), t.binding(tr, thing, verb))
	case tr.Saves > 0 && tr.Binds == plan.Yes:
		return fmt.Sprintf("%s, the plan would be %s shorter or more%s.", what, long(tr.Saves), t.binding(tr, thing, verb))
	case tr.Saves > 0:
		return fmt.Sprintf("%s, a plan was found that is %s shorter%s.", what, long(tr.Saves), t.binding(tr, thing, verb))
	case tr.Binds == plan.No:
		return fmt.Sprintf("%s, no plan would be shorter%s.", what, t.binding(tr, thing, verb))
	default:
		return fmt.Sprintf("%s, no shorter plan was found%s.", what, t.binding(tr, thing, verb))
	}
}

func (t *timetable) binding(tr plan.Trial, thing, verb string) string {
	not := map[string]string{"bind": "do not bind", "binds": "does not bind"}[verb]
	unknown := map[string]string{"bind": "are not known to bind", "binds": "is not known to bind"}[verb]
	return ": " + thing + " " + map[plan.Answer]string{plan.Yes: verb, plan.No: not, plan.Unknown: unknown}[tr.Binds]
}

// relaxed names what a trial relaxes, and what it would show to bind.
func (t *timetable) relaxed(tr plan.Trial) (what, thing, verb string) {
	switch tr.Kind {
	case plan.OneMorePair:
		return "With one more pair of hands", "the hands", "bind"
	case plan.OneMorePlace:
		return "With one more place of " + t.clean(tr.Resource), t.clean(tr.Resource), "binds"
	case plan.NoBreak:
		times := t.at(tr.Break.From) + "-" + t.at(tr.Break.To)
		return "Without the break " + times, "the break", "binds"
	case plan.NoWindows:
		return "Without any latest end", "windows", "bind"
	}
	of := ""
	if len(tr.Vessels) < len(t.plan.Problem.Vessels) {
		of = " of " + t.clean(strings.Join(tr.Vessels, ", "))
	}
	return fmt.Sprintf("Without the latest end from %s to %s%s", t.clean(tr.From), t.clean(tr.To), of), "this window", "binds"
}

func (t *timetable) nameOf(resource string) string {
	if resource == "operators" {
		return "hands"
	}
	return t.clean(resource)
}
