package plan

import (
	"errors"
	"fmt"
	"math"
	"sort"
	"strings"
	"time"

	"github.com/BurntSushi/toml"

	"example.org/meniscus/protocol"
)

// caseFile is a case as it stands in its file.
type caseFile struct {
	Operators *int           `toml:"operators"`
	Vessels   any            `toml:"vessels"`
	Capacity  map[string]int `toml:"capacity"`
	kind
	Break  []span   `toml:"break"`
	Vessel []vessel `toml:"vessel"`
}

// kind is what vessels of a kind go through.
type kind struct {
	Step []struct {
		ID        string   `toml:"id"`
		Title     string   `toml:"title"`
		Hands     float64  `toml:"hands"`
		Operators *int     `toml:"operators"`
		Uses      []string `toml:"uses"`
	} `toml:"step"`
	Wait []struct {
		From    string   `toml:"from"`
		To      string   `toml:"to"`
		AtLeast float64  `toml:"at_least"`
		Aim     *float64 `toml:"aim"`
		AtMost  *float64 `toml:"at_most"`
	} `toml:"wait"`
	Hold []struct {
		Resource string `toml:"resource"`
		From     string `toml:"from"`
		To       string `toml:"to"`
	} `toml:"hold"`
}

type span struct {
	From float64 `toml:"from"`
	To   float64 `toml:"to"`
}

type vessel struct {
	Label string `toml:"label"`
	kind
}

// mostLettered is how many vessels a number may ask for.
const mostLettered = 26

// ReadCase reads a bare case; file is the name that errors use.
func ReadCase(file string, text []byte) (*Problem, error) {
	var c caseFile
	meta, err := toml.Decode(string(text), &c)
	var syntax toml.ParseError
	switch {
	case errors.As(err, &syntax):
		return nil, fmt.Errorf("%s:%d:%d: %s; write TOML", file, syntax.Position.Line, syntax.Position.Col, syntax.Message)
	case err != nil:
		return nil, fmt.Errorf("%s: %s; write it as the description of a case does", file, strings.TrimPrefix(err.Error(), "toml: "))
	}
	if unknown := meta.Undecoded(); len(unknown) > 0 {
		key := unknown[0]
		write := protocol.Nearest(key[len(key)-1], caseKeys)
		if write == "" {
			write = "one of " + strings.Join(caseKeys, ", ")
		}
		return nil, fmt.Errorf("%s: unknown key %s; write %s", file, key, write)
	}
	p, err := c.problem()
	if err == nil {
		err = p.Check()
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %w", file, err)
	}
	return p, nil
}

var caseKeys = []string{"operators", "vessels", "capacity", "step", "wait", "hold", "break", "vessel", "id", "title", "hands",
	"uses", "from", "to", "at_least", "aim", "at_most", "resource", "label"}

func (c *caseFile) problem() (*Problem, error) {
	p := &Problem{Operators: 1}
	if c.Operators != nil {
		p.Operators = *c.Operators
	}
	names := make([]string, 0, len(c.Capacity))
	for name := range c.Capacity {
		names = append(names, name)
	}
	sort.Strings(names)
	for _, name := range names {
		p.Places = append(p.Places, Place{name, c.Capacity[name]})
	}
	for _, b := range c.Break {
		out, err := b.interval()
		if err != nil {
			return nil, err
		}
		p.Breaks = append(p.Breaks, out)
	}
	labels, err := c.labels()
	if err != nil {
		return nil, err
	}
	for _, label := range labels {
		v, err := c.kind.vessel(label)
		if err != nil {
			return nil, err
		}
		p.Vessels = append(p.Vessels, v)
	}
	for _, own := range c.Vessel {
		v, err := own.kind.vessel(own.Label)
		if err != nil {
			return nil, err
		}
		p.Vessels = append(p.Vessels, v)
	}
	return p, distinct(p.Vessels)
}

func distinct(vessels []Vessel) error {
	seen := map[string]bool{}
	for _, v := range vessels {
		if v.Label == "" || seen[v.Label] {
			return fmt.Errorf("the label %q of a vessel is empty or taken; write another one", v.Label)
		}
		seen[v.Label] = true
	}
	return nil
}

// labels reads vessels: a number, or a list of labels.
func (c *caseFile) labels() ([]string, error) {
	const say = "vessels is no number from 1 to 26 and no list of labels; write vessels = 3"
	var out []string
	switch v := c.Vessels.(type) {
	case nil:
		if len(c.Step) > 0 {
			out = []string{"A"}
		}
	case int64:
		if v < 1 || v > mostLettered {
			return nil, errors.New(say)
		}
		for i := range int(v) {
			out = append(out, string(rune('A'+i)))
		}
	case []any:
		for _, item := range v {
			label, ok := item.(string)
			if !ok {
				return nil, errors.New(say)
			}
			out = append(out, label)
		}
	default:
		return nil, errors.New(say)
	}
	return out, nil
}

// minutesOf reads a number of minutes, in whole seconds.
func minutesOf(x float64, what string) (time.Duration, error) {
	if !(x >= 0 && x <= longest.Minutes()) {
		return 0, fmt.Errorf("%s = %v is no number of minutes from 0 to %v; write one", what, x, longest.Minutes())
	}
	return time.Duration(math.Round(x*60)) * time.Second, nil
}

func (s span) interval() (Interval, error) {
	from, err := minutesOf(s.From, "from")
	if err != nil {
		return Interval{}, err
	}
	to, err := minutesOf(s.To, "to")
	return Interval{from, to}, err
}

func (k *kind) vessel(label string) (Vessel, error) {
	v := Vessel{Label: label}
	at := map[string]int{}
	var ids []string
	for i, s := range k.Step {
		hands, err := minutesOf(s.Hands, "step "+s.ID+": hands")
		if err != nil {
			return v, err
		}
		if _, taken := at[s.ID]; taken || s.ID == "" {
			return v, fmt.Errorf("the id %q of a step is empty or taken; write another one", s.ID)
		}
		out := Step{ID: s.ID, Title: s.Title, Hands: hands, Operators: 1, Uses: s.Uses}
		if s.Operators != nil {
			out.Operators = *s.Operators
		}
		at[s.ID], ids = i, append(ids, s.ID)
		v.Steps = append(v.Steps, out)
	}
	find := func(id, what string) (int, error) {
		if i, ok := at[id]; ok {
			return i, nil
		}
		if meant := protocol.Nearest(id, ids); meant != "" {
			return 0, fmt.Errorf("%s: there is no step %q; write %q", what, id, meant)
		}
		return 0, fmt.Errorf("%s: there is no step %q; write one of %s", what, id, strings.Join(ids, ", "))
	}
	return v, errors.Join(k.waits(&v, find), k.holds(&v, find))
}

func (k *kind) waits(v *Vessel, find func(id, what string) (int, error)) error {
	for _, w := range k.Wait {
		what := "wait " + w.From + " > " + w.To
		from, err := find(w.From, what)
		if err != nil {
			return err
		}
		to, err := find(w.To, what)
		if err != nil {
			return err
		}
		out := Wait{From: from, To: to, AtMost: Forever}
		if out.AtLeast, err = minutesOf(w.AtLeast, what+": at_least"); err != nil {
			return err
		}
		out.Aim = out.AtLeast
		if w.Aim != nil {
			if out.Aim, err = minutesOf(*w.Aim, what+": aim"); err != nil {
				return err
			}
		}
		if w.AtMost != nil {
			if out.AtMost, err = minutesOf(*w.AtMost, what+": at_most"); err != nil {
				return err
			}
		}
		v.Waits = append(v.Waits, out)
	}
	return nil
}

func (k *kind) holds(v *Vessel, find func(id, what string) (int, error)) error {
	for _, h := range k.Hold {
		what := "hold of " + h.Resource
		from, err := find(h.From, what)
		if err != nil {
			return err
		}
		to, err := find(h.To, what)
		if err != nil {
			return err
		}
		v.Holds = append(v.Holds, Hold{h.Resource, from, to})
	}
	return nil
}
