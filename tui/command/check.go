package command

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"example.org/meniscus/protocol"
	"example.org/meniscus/tui"
)

// checkCommand tells whether protocol files are sound.
func (e *env) checkCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "check FILE...",
		Short: "Tell whether a protocol file is sound",
		Long: "Tells whether protocol files are sound: every fault at once, as file:line:column: what is wrong and what to write. It" +
			" ends with exit code 1 if there is one. A warning tells of a given or a reading that nothing uses, and leaves the file sound.",
		Example:           "  meniscus check my-protocol.toml\n  meniscus check protocols/*.toml",
		Args:              between(1, -1, "a protocol file"),
		ValidArgsFunction: e.completeProtocol,
		RunE: func(_ *cobra.Command, args []string) error {
			sound := true
			for _, name := range args {
				sound = e.check(name) && sound
			}
			if !sound {
				return errors.New("") // the faults are told already
			}
			return nil
		},
	}
}

// check tells the faults of one file, or that it has none.
func (e *env) check(name string) bool {
	p, src, err := e.load(name)
	if err != nil {
		e.remark("%v", err)
		return false
	}
	for _, w := range p.Warnings {
		e.remark("%v", w)
	}
	sheet, err := p.Scale(nil)
	if err != nil {
		e.remark("%s: with the givens as they stand: %v", src.file, err)
		return false
	}
	for _, w := range sheet.Warnings() {
		e.remark("%s: with the givens as they stand: %s", src.file, w)
	}
	fmt.Fprintf(tui.Writer(e.out), "%s: sound (%s %s: %d stages, %d readings, %d results)\n", src.file, p.ID, p.Version, len(p.Stages),
		readings(p), len(p.Results))
	return true
}

func readings(p *protocol.Protocol) int {
	n := 0
	for _, s := range p.Stages {
		n += len(s.Readings)
	}
	return n
}
