package protocol

import (
	"slices"
	"strings"

	"example.org/meniscus/calc/reference"
)

// A Content is what a vessel, a bottle or a burner on the bench holds from one stage to another. Its hazard statements
// follow from its parts, so a caution stays as long as what it is about.
type Content struct {
	Title       string
	Parts       []reference.Part // those that count; the rest is taken as harmless
	Statements  []string         // as one label carries them: those of the parts, and those that the file adds
	Say         Text             // what to do when it gets on skin, in an eye, on fire
	From, Until int              // numbers of the first and the last stage that has it on the bench
}

// A Hazard is a hazard statement with what it is said of.
type Hazard struct {
	Code string
	Of   []string // titles of contents, in file order
}

// ContentsOf returns what is on the bench in a stage, in file order.
func (p *Protocol) ContentsOf(stage *Stage) []*Content {
	var out []*Content
	for _, c := range p.Contents {
		if c.From <= stage.Number && stage.Number <= c.Until {
			out = append(out, c)
		}
	}
	return out
}

// HazardsOf returns the statements of contents, each once with all that it is said of, the gravest first.
func HazardsOf(contents []*Content) []Hazard {
	var out []Hazard
	for _, c := range contents {
		for _, code := range c.Statements {
			i := slices.IndexFunc(out, func(h Hazard) bool { return h.Code == code })
			if i < 0 {
				i, out = len(out), append(out, Hazard{Code: code})
			}
			out[i].Of = append(out[i].Of, c.Title)
		}
	}
	slices.SortStableFunc(out, func(a, b Hazard) int { return reference.ByGravity(a.Code, b.Code) })
	return out
}

// SignalWord returns "Danger" or "Warning" for hazards in the order of HazardsOf, "" where none has one.
func SignalWord(hazards []Hazard) string {
	if len(hazards) == 0 {
		return ""
	}
	return reference.HazardClasses()[hazards[0].Code].Signal
}

// Beware tells hazards, the signal word first, then what to do about them: "Danger. Ethanol; Raw layer: H225 Highly
// flammable liquid and vapour, H319. Keep flames away." The first worded of them have the official words, the others
// their codes.
func Beware(hazards []Hazard, worded int, said []string) string {
	var parts []string
	if signal := SignalWord(hazards); signal != "" {
		parts = append(parts, signal+".")
	}
	var of []string
	for i, h := range hazards {
		words, _ := reference.Statement(h.Code)
		statement := h.Code
		if i < worded {
			statement += " " + words
		}
		if i > 0 && slices.Equal(h.Of, of) {
			parts[len(parts)-1] = strings.TrimSuffix(parts[len(parts)-1], ".") + ", " + statement + "."
			continue
		}
		of = h.Of
		parts = append(parts, strings.Join(of, "; ")+": "+statement+".")
	}
	return strings.Join(append(parts, said...), " ")
}

// ToDo returns what to do about contents, each sentence once.
func ToDo(contents []*Content, values Shower) []string {
	var out []string
	for _, c := range contents {
		if say := c.Say.Fill(values, 0); say != "" && !slices.Contains(out, say) {
			out = append(out, say)
		}
	}
	return out
}
