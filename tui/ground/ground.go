// Package ground keeps the program from asking the terminal what colour its background has.
//
// A terminal that does not answer that question costs seconds at the start, and what is typed meanwhile is lost. The
// screen library asks when it is initialised, unless the answer is known by then. Packages are initialised in the order
// of their import paths as soon as what they import is ready; this one imports only the style library and sorts before
// the screen library, so its answer comes first. A better one, from a flag or from COLORFGBG, is given later.
package ground

import "github.com/charmbracelet/lipgloss"

func init() { lipgloss.SetHasDarkBackground(true) }
