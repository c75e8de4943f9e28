package command

import (
	"fmt"
	"io"
	"strings"
	"sync"
	"time"
)

// timeLeft writes on one line of a terminal which share of a long piece of work is done and how long the rest takes,
// from a second after the begin and twice a second. done wipes the line away.
func timeLeft(w io.Writer, now func() time.Time) (progress func(share float64), done func()) {
	const beat = time.Second / 2
	var cores sync.Mutex
	begun := now()
	told, width := begun.Add(beat), 0
	write := func(text string) {
		fmt.Fprintf(w, "\r%-*s\r%s", width, "", text)
		width = len(text)
	}
	progress = func(share float64) {
		cores.Lock()
		defer cores.Unlock()
		at := now()
		if share <= 0 || at.Sub(told) < beat {
			return
		}
		told = at
		left := time.Duration(float64(at.Sub(begun)) * (1 - share) / share).Round(time.Second)
		write(fmt.Sprintf("Trials: %.0f %%, %d:%02d left", 100*share, int(left.Minutes()), int(left.Seconds())%60))
	}
	return progress, func() {
		cores.Lock()
		defer cores.Unlock()
		if width > 0 {
			fmt.Fprint(w, "\r"+strings.Repeat(" ", width)+"\r")
		}
	}
}
