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

// A ground holds what a tone looks like on a light and on a dark ground.
type ground struct{ light, dark lipgloss.CompleteColor }

func (g ground) colour() lipgloss.TerminalColor {
	return lipgloss.CompleteAdaptiveColor{Light: g.light, Dark: g.dark}
}

// toneColours are those of waiting, hands needed and late. They are named for each terminal: the nearest of few
// colours can be the same one for two tones.
var toneColours = [3]ground{
	{lipgloss.CompleteColor{TrueColor: "#00688A", ANSI256: "24", ANSI: "6"}, lipgloss.CompleteColor{TrueColor: "#58C4DC", ANSI256: "80", ANSI: "14"}},
	{lipgloss.CompleteColor{TrueColor: "#9A5B00", ANSI256: "94", ANSI: "3"}, lipgloss.CompleteColor{TrueColor: "#FFB84D", ANSI256: "215", ANSI: "11"}},
	{lipgloss.CompleteColor{TrueColor: "#8C0038", ANSI256: "89", ANSI: "1"}, lipgloss.CompleteColor{TrueColor: "#FF5C7A", ANSI256: "204", ANSI: "9"}},
}

func coloured(s lipgloss.Style) Styles {
	shade := func(light, dark string) lipgloss.AdaptiveColor {
		return lipgloss.AdaptiveColor{Light: light, Dark: dark}
	}
	ink, ground := shade("#1C2226", "#E4E7E4"), shade("#FFFFFF", "#12181B")
	faint, glass := shade("#5B666C", "#8C989C"), shade("#47606B", "#9DB6BF")
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
