package plain

import (
	"bufio"
	"errors"
	"io"

	"example.org/meniscus/tui"
)

// longest is how many bytes of one line are taken; a note of a few sentences fits.
const longest = 4000

// typed is one line of the input, or its end.
type typed struct {
	text string
	long bool
	last bool  // there is no whole line; err tells why, nil for the plain end
	err  error // never io.EOF
}

// reader hands over one line for each want, so that nothing is read ahead of what was asked.
type reader struct {
	want chan struct{}
	got  chan typed
}

// read starts reading lines from in. The reader ends with the input, or with done; a Read that hangs outlives it.
func read(in io.Reader, done <-chan struct{}) *reader {
	r := &reader{make(chan struct{}, 1), make(chan typed)}
	go func() {
		buffered := bufio.NewReader(in)
		for {
			select {
			case <-r.want:
			case <-done:
				return
			}
			line := next(buffered)
			select {
			case r.got <- line:
			case <-done:
				return
			}
		}
	}()
	return r
}

// next reads to the end of the line and keeps no more of it than longest. A last line without a newline is no line yet.
func next(in *bufio.Reader) typed {
	var text []byte
	long := false
	for {
		b, err := in.ReadByte()
		switch {
		case errors.Is(err, io.EOF) && len(text) == 0 && !long:
			return typed{last: true}
		case err != nil && !errors.Is(err, io.EOF):
			return typed{last: true, err: err}
		case err != nil:
			return typed{text: tui.Line(string(text)), last: true}
		case b == '\n':
			return typed{text: tui.Line(string(text)), long: long}
		case len(text) == longest:
			long = true
		default:
			text = append(text, b)
		}
	}
}
