package tui

import (
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
	return coloured(r.NewStyle())
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

// toneColours are those of waiting, hands needed and late.
var toneColours = [3]ground{
	{shade("#00688A", "24", "4"), shade("#58C4DC", "80", "14")},
	{shade("#9A5B00", "94", "5"), shade("#FFB84D", "215", "11")},
	{shade("#8C0038", "89", "1"), shade("#FF5C7A", "204", "9")},
}

// The rest has no meaning of its own.
var (
	inkColour   = ground{shade("#1C2226", "235", "0"), shade("#E4E7E4", "254", "7")}
	faintColour = ground{shade("#5B666C", "241", "8"), shade("#8C989C", "246", "7")}
	glassColour = ground{shade("#47606B", "59", "8"), shade("#9DB6BF", "145", "7")}
	onChip      = ground{shade("#FFFFFF", "231", "15"), shade("#12181B", "233", "0")}
)

func coloured(s lipgloss.Style) Styles {
	ink, faint, glass, ground := inkColour.colour(), faintColour.colour(), glassColour.colour(), onChip.colour()
	calm, busy, late := toneColours[0].colour(), toneColours[1].colour(), toneColours[2].colour()
	pen := func(c lipgloss.TerminalColor) lipgloss.Style { return s.Foreground(c) }
	chip := func(c lipgloss.TerminalColor) lipgloss.Style { return s.Foreground(ground).Background(c).Bold(true) }
	return Styles{
		Ink: pen(ink), Faint: pen(faint), Strong: pen(ink).Bold(true),
		Glass: pen(glass), Scale: pen(faint),
		Warn: pen(late).Bold(true), Ask: pen(busy).Bold(true), Entry: pen(ink).Bold(true), Key: pen(calm).Bold(true),
		Struck:   pen(faint).Strikethrough(true),
		IdleChip: chip(faint), WaitChip: chip(calm), HandsChip: chip(busy), LateChip: chip(late),
		IdleShade: pen(faint), WaitShade: pen(calm), HandsShade: pen(busy), LateShade: pen(late),
	}
}
