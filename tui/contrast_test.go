package tui

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"testing"

	"github.com/charmbracelet/lipgloss"
	"github.com/lucasb-eyer/go-colorful"
	"github.com/muesli/termenv"
)

// palettes are what terminals make of the 16 colours. From memory: the defaults of xterm, and the text mode of the VGA, which
// consoles of today still have.
var palettes = map[string][16]string{
	"xterm": {
		"#000000", "#CD0000", "#00CD00", "#CDCD00", "#0000EE", "#CD00CD", "#00CDCD", "#E5E5E5",
		"#7F7F7F", "#FF0000", "#00FF00", "#FFFF00", "#5C5CFF", "#FF00FF", "#00FFFF", "#FFFFFF",
	},
	"VGA": {
		"#000000", "#AA0000", "#00AA00", "#AA5500", "#0000AA", "#AA00AA", "#00AAAA", "#AAAAAA",
		"#555555", "#FF5555", "#55FF55", "#FFFF55", "#5555FF", "#FF55FF", "#55FFFF", "#FFFFFF",
	},
}

// A screenKind is a terminal as it is looked at: what it can show, and on what.
type screenKind struct {
	profile        termenv.Profile
	dark           bool
	own, ground    string     // what it writes with by itself, and on which
	few            [16]string // the 16 colours, if it has no more
	boldIsBrighter bool       // a bold one of the first eight is shown as its brighter neighbour
}

// screenKinds are those that the colours are held against. A ground is seldom quite black or white, unless it is one of the
// 16 itself.
func screenKinds() map[string]screenKind {
	kinds := map[string]screenKind{}
	for _, ground := range []string{"#000000", "#12181B", "#1C1C1C", "#FFFFFF", "#F5F5F5"} {
		dark := ground < "#8"
		kinds["true colour on "+ground] = screenKind{profile: termenv.TrueColor, dark: dark, ground: ground}
		kinds["256 colours on "+ground] = screenKind{profile: termenv.ANSI256, dark: dark, ground: ground}
	}
	for name, few := range palettes {
		for _, brighter := range []bool{false, true} {
			dark := screenKind{termenv.ANSI, true, few[7], few[0], few, brighter}
			light := screenKind{termenv.ANSI, false, few[0], few[15], few, brighter}
			kinds[fmt.Sprintf("16 colours of %s, dark, bold is brighter: %t", name, brighter)] = dark
			kinds[fmt.Sprintf("16 colours of %s, light, bold is brighter: %t", name, brighter)] = light
		}
	}
	return kinds
}

func (k screenKind) styles() Styles {
	r := lipgloss.NewRenderer(io.Discard)
	r.SetColorProfile(k.profile)
	r.SetHasDarkBackground(k.dark)
	return coloured(r)
}

// shown tells in which colour a style's text is seen, and on which.
func (k screenKind) shown(t *testing.T, s lipgloss.Style) (text, behind colorful.Color) {
	t.Helper()
	sent, _, _ := strings.Cut(strings.TrimPrefix(s.Render("x"), "\x1b["), "m")
	fore, back, brighter, turned := k.own, k.ground, 0, false
	codes := strings.Split(sent, ";")
	if sent == "x" {
		codes = nil
	}
	for len(codes) > 0 {
		n, _ := strconv.Atoi(codes[0])
		codes = codes[1:]
		switch {
		case n == 1 && k.boldIsBrighter:
			brighter = 8
		case n == 1, n == 9: // bold, struck
		case n == 7:
			turned = true
		case n == 38:
			fore, codes = named(t, codes)
		case n == 48:
			back, codes = named(t, codes)
		case n >= 30 && n <= 37:
			fore = k.few[n-30+brighter] // bold comes first
		case n >= 40 && n <= 47:
			back = k.few[n-40]
		case n >= 90 && n <= 97:
			fore = k.few[n-90+8]
		case n >= 100 && n <= 107:
			back = k.few[n-100+8]
		default:
			t.Fatalf("%q asks for %d, which is no colour", sent, n)
		}
	}
	if turned {
		fore, back = back, fore
	}
	return hex(t, fore), hex(t, back)
}

// named reads a colour after 38 or 48: 2;R;G;B, or 5 and one of the 256 beyond the first 16, which are the same everywhere.
func named(t *testing.T, codes []string) (colour string, rest []string) {
	t.Helper()
	var n [4]int
	for i := range n[:min(4, len(codes))] {
		n[i], _ = strconv.Atoi(codes[i])
	}
	level := func(i int) int { return [6]int{0, 95, 135, 175, 215, 255}[i%6] }
	switch i := n[1] - 16; {
	case n[0] == 2:
		return fmt.Sprintf("#%02X%02X%02X", n[1], n[2], n[3]), codes[4:]
	case n[0] != 5 || i < 0 || i >= 240:
		t.Fatalf("%v is no colour that is the same everywhere", codes)
	case i < 216:
		return fmt.Sprintf("#%02X%02X%02X", level(i/36), level(i/6), level(i)), codes[2:]
	}
	return "#" + strings.Repeat(fmt.Sprintf("%02X", 8+10*(n[1]-232)), 3), codes[2:]
}

// TestContrast: every role is read on its ground, whatever the terminal. The measure and the 4.5 for text are of WCAG 2.1,
// 1.4.3; the 3 for lines that carry no words is of 1.4.11.
func TestContrast(t *testing.T) {
	for name, kind := range screenKinds() {
		for role, style := range kind.styles() {
			least := 4.5
			if Role(role) == Glass {
				least = 3
			}
			text, behind := kind.shown(t, style)
			if got := contrast(text, behind); got < least {
				t.Errorf("%s: role %d is %s on %s, a contrast of %.2f, want %.1f", name, role, text.Hex(), behind.Hex(), got, least)
			}
		}
	}
}
