package protocol

import "fmt"

// verdict reads a sentence that stands beside a result while its condition holds.
func (l *loader) verdict(path string, number int, keys map[string]any) {
	t := l.table(path, "verdict", fmt.Sprintf("verdict %d", number), keys)
	v := &Verdict{}
	id := t.required("result", "the id of a result")
	t.required("when", "molar_ratio < 3")
	t.required("say", "what the result cannot show then")
	l.p.Verdicts = append(l.p.Verdicts, v)
	all := scope{l: l, who: "a verdict", readings: everyReading, results: everyResult}
	d, ok := l.names[id]
	if ok {
		v.Result, ok = d.what.(*Result)
	}
	switch {
	case ok && v.Result.OfRun:
		all.who, all.run = "a verdict on a result of the run", true
	case !ok && id != "":
		t.faultAt("result", fmt.Sprintf("there is no result %q", id), oneOfThese(id, l.resultIDs()))
	}
	v.Say = t.sayIn("say", all)
	if w, has := t.words("when"); has && (ok || id == "") {
		l.later = append(l.later, func() { v.When = l.condition(w, all) })
	}
}
