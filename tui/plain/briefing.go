package plain

import (
	"fmt"
	"slices"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/protocol/summary"
)

// greet opens the conversation: which run, and the briefing where it was not acknowledged yet.
func (f *face) greet() {
	s := f.state()
	f.say("", fmt.Sprintf("%s (%s %s), run %s", s.Protocol.Title, s.Protocol.ID, s.Protocol.Version, s.ID))
	f.say("", "Type a line and press Enter; ? tells what can be typed.")
	for _, said := range f.o.Resumed() {
		f.say("", said)
	}
	if ask := f.o.Open(); ask != nil {
		f.ask(ask)
	}
	if !s.Acknowledged {
		f.brief()
		press := "Press Enter"
		if s.Unfit() != "" {
			press = "What does not fit wants a word why: type y and the word"
		}
		f.say("", press+" once this was read and everything stands ready.")
	}
}

// brief tells the cautions of the whole protocol and what to have ready for each vessel.
func (f *face) brief() {
	s := f.state()
	f.say("", "Before the start")
	sheet := s.Vessels[0].Sheet
	for _, c := range s.Protocol.Contents {
		hazards := protocol.HazardsOf([]*protocol.Content{c})
		f.say("", protocol.Beware(hazards, len(hazards), nil))
	}
	for _, say := range protocol.ToDo(s.Protocol.Contents, sheet) {
		f.say("Caution: ", say)
	}
	for _, c := range s.Protocol.Cautions {
		f.say("Caution: ", c.Say.Fill(sheet, 0))
	}
	f.say("", summary.Deferral)
	for i := 0; i < len(s.Vessels); {
		first, want := i, ready(s.Vessels[i])
		for i < len(s.Vessels) && slices.Equal(ready(s.Vessels[i]), want) {
			i++
		}
		f.haveReady(s.Vessels[first:i])
	}
}

// haveReady tells what to have ready for vessels that want the same.
func (f *face) haveReady(vessels []*run.Vessel) {
	f.say("", "Have ready for "+labels(vessels))
	for _, line := range ready(vessels[0]) {
		f.say("  ", line)
	}
}

// labels names vessels that stand in a row: "vessel A", "each of the vessels A to C".
func labels(vessels []*run.Vessel) string {
	first, last := vessels[0].Label, vessels[len(vessels)-1].Label
	if first == last {
		return "vessel " + first
	}
	return "each of the vessels " + first + " to " + last
}

// ready lists the amounts of a vessel, and what fits and what does not.
func ready(v *run.Vessel) []string {
	var lines []string
	for _, a := range v.Sheet.Protocol.Amounts {
		if shown, ok := v.Sheet.Show(a.ID, 0); ok {
			lines = append(lines, a.Title+": "+shown)
		}
	}
	lines = append(lines, v.Sheet.Fits()...)
	for _, w := range v.Sheet.Warnings() {
		lines = append(lines, "Mind: "+w)
	}
	return lines
}
