// Package bench holds the screens of a run: choosing a protocol, the briefing, the bench itself, and the summary.
//
// Model is the whole of it for a bubbletea program. It reads the clock when a message arrives and never while it draws:
// View is a pure function of what Update left behind. A key becomes a typed line, a typed line goes to tui.Operator, and
// what comes back is shown; the model decides nothing about the run.
//
// Drawing takes plain values: drawBench puts a frame (views, tape, line) on a canvas of an exact size in cells, so that
// no screen is ever larger than the terminal, whatever a protocol's texts hold.
package bench
