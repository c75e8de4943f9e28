package tui

import (
	"strconv"

	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"

	_ "example.org/meniscus/tui/ground" // no question to the terminal about its background

	"example.org/meniscus/protocol/run"
)

// A Role is what a piece of text means; only this file knows its colour.
type Role uint8

// The roles. Each of the three tones has a chip (its word), a shade for digits and liquid, and no meaning by colour
// alone: the word and the shape beside it tell the same.
const (
	Ink      Role = iota // plain text
	Faint                // what may be overlooked
	Strong               // what the eye should find
	Glass                // the vessel and the bench
	Scale                // graduations
	Warn                 // cautions, refusals
	Ask                  // a question
	Entry                // what is typed
	Key                  // the letter of a key
	Struck               // a superseded value
	IdleChip             // then Waiting, Hands, Late, in the order of run.Tone
	WaitChip
	HandsChip
	LateChip
	IdleShade
	WaitShade
	HandsShade
	LateShade
	roles
)

// Chip returns the role of a tone's word.
func Chip(t run.Tone) Role { return IdleChip + Role(min(t, run.Late)) }

// Shade returns the role of a tone's digits and liquid.
func Shade(t run.Tone) Role { return IdleShade + Role(min(t, run.Late)) }

// Styles has a style for each role.
type Styles [roles]lipgloss.Style

// A Palette says what the terminal can show.
type Palette struct {
	Dark    bool // light text on a dark ground
	NoColor bool // bold and reverse only
	Bare    bool // no escape sequences at all
}

// NewStyles returns the styles for a palette.
func NewStyles(p Palette) Styles {
	r := lipgloss.NewRenderer(nil)
	r.SetHasDarkBackground(p.Dark)
	r.SetColorProfile(lipgloss.ColorProfile())
	switch {
	case p.Bare:
		r.SetColorProfile(termenv.Ascii)
	case p.NoColor:
		r.SetColorProfile(termenv.ANSI)
	}
	if p.NoColor || p.Bare {
		return shapesOnly(r.NewStyle())
	}
	return coloured(r)
}

func shapesOnly(s lipgloss.Style) Styles {
	bold, turned := s.Bold(true), s.Bold(true).Reverse(true)
	var out Styles
	for i := range out {
		out[i] = s
	}
	for _, i := range []Role{Strong, Warn, Ask, Entry, Key, HandsShade, LateShade, WaitChip} {
		out[i] = bold
	}
	out[HandsChip], out[LateChip] = turned, turned
	out[Struck] = s.Strikethrough(true)
	return out
}

// A ground holds a colour on a light and on a dark ground, each named for every terminal: the nearest of few colours can
// be the same one for two tones, a blue for a grey, or a yellow that nobody reads on white.
type ground struct{ light, dark lipgloss.CompleteColor }

func (g ground) colour() lipgloss.TerminalColor {
	return lipgloss.CompleteAdaptiveColor{Light: g.light, Dark: g.dark}
}

// shade names a colour of true colours, 256 and 16.
func shade(full, many, few string) lipgloss.CompleteColor {
	return lipgloss.CompleteColor{TrueColor: full, ANSI256: many, ANSI: few}
}

// own stands where there are 16 colours for the one that the terminal writes with by itself. Whatever its owner has made
// of the 16, that one is read on its ground.
const own = ""

// toneColours are those of waiting, hands needed and late. Of the 16, only red, blue and magenta are read on white, and blue
// and magenta are one colour to whoever sees no red: there, what waits is written as everything else is.
var toneColours = [3]ground{
	{shade("#00688A", "25", own), shade("#58C4DC", "80", "14")},
	{shade("#9A5B00", "94", "5"), shade("#FFB84D", "215", "11")},
	{shade("#8C0038", "89", "1"), shade("#FF6B85", "204", "9")},
}

// The rest has no meaning of its own.
var (
	inkColour   = ground{shade("#1C2226", "235", own), shade("#E4E7E4", "254", own)}
	faintColour = ground{shade("#5B666C", "241", own), shade("#8C989C", "246", own)}
	keyColour   = ground{shade("#00688A", "25", "4"), shade("#58C4DC", "80", "14")}
	glassColour = ground{shade("#47606B", "59", own), shade("#9DB6BF", "145", own)}
	onChip      = ground{shade("#FFFFFF", "231", "15"), shade("#12181B", "233", "0")}
)

func coloured(r *lipgloss.Renderer) Styles {
	calm, busy, late := toneColours[0], toneColours[1], toneColours[2]
	pen := func(g ground) lipgloss.Style { return r.NewStyle().Foreground(g.colour()) }
	heavy := func(g ground) lipgloss.Style { return pen(g).Bold(!g.brightens(r)) }
	chip := func(g ground) lipgloss.Style {
		if name, ok := g.of16(r); ok && name == own {
			return heavy(g).Reverse(true)
		}
		return heavy(onChip).Background(g.colour())
	}
	return Styles{
		Ink: pen(inkColour), Faint: pen(faintColour), Strong: heavy(inkColour),
		Glass: pen(glassColour), Scale: pen(faintColour),
		Warn: heavy(late), Ask: heavy(busy), Entry: heavy(inkColour),
		Key:      pen(keyColour).Bold(true), // told from the words beside it; a pale blue is still read on white
		Struck:   pen(faintColour).Strikethrough(true),
		IdleChip: chip(faintColour), WaitChip: chip(calm), HandsChip: chip(busy), LateChip: chip(late),
		IdleShade: pen(faintColour), WaitShade: pen(calm), HandsShade: pen(busy), LateShade: pen(late),
	}
}

// of16 names the colour where the terminal has 16 and no more.
func (g ground) of16(r *lipgloss.Renderer) (name string, ok bool) {
	if r.HasDarkBackground() {
		return g.dark.ANSI, r.ColorProfile() == termenv.ANSI
	}
	return g.light.ANSI, r.ColorProfile() == termenv.ANSI
}

// brightens tells whether bold may make another colour of it. Many terminals with 16 colours show a bold one of the first
// eight as its brighter neighbour: black on red becomes grey on red, and magenta on white a pink.
func (g ground) brightens(r *lipgloss.Renderer) bool {
	name, ok := g.of16(r)
	n, err := strconv.Atoi(name)
	return ok && err == nil && n < 8
}
