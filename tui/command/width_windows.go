package command

import (
	"os"

	"golang.org/x/sys/windows"
)

// widthOf returns how many columns a terminal has; 0 when the stream is none.
func widthOf(stream any) int {
	f, ok := stream.(*os.File)
	if !ok {
		return 0
	}
	var info windows.ConsoleScreenBufferInfo
	if windows.GetConsoleScreenBufferInfo(windows.Handle(f.Fd()), &info) != nil {
		return 0
	}
	return int(info.Window.Right-info.Window.Left) + 1
}
