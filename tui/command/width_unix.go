//go:build !windows

package command

import (
	"os"

	"golang.org/x/sys/unix"
)

// widthOf returns how many columns a terminal has; 0 when the stream is none.
func widthOf(stream any) int {
	f, ok := stream.(*os.File)
	if !ok {
		return 0
	}
	size, err := unix.IoctlGetWinsize(int(f.Fd()), unix.TIOCGWINSZ)
	if err != nil {
		return 0
	}
	return int(size.Col)
}
