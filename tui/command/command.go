package command

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/adrg/xdg"
	"github.com/mattn/go-isatty"
	"github.com/spf13/cobra"

	"example.org/meniscus/tui"
	_ "example.org/meniscus/tui/ground" // before the terminal libraries: they would ask the terminal for its colour
)

// Version is the program's version.
const Version = "0.1.0"

// program is how a journal names what wrote it.
const program = "meniscus " + Version

// The exit codes.
const (
	done      = 0
	unsound   = 1
	wrongCall = 2
)

// callError is a call that is wrong, told from input that is unsound.
type callError struct{ error }

func (e callError) Unwrap() error { return e.error }

func wrong(format string, args ...any) error { return callError{fmt.Errorf(format, args...)} }

// env is what a command works with: everything from outside is in here.
type env struct {
	in        io.Reader
	out, errs io.Writer
	progress  io.Writer // where long work tells how far it is: errs, if that is a terminal; nil otherwise
	now       func() time.Time
	random    io.Reader
	runs      string // folder of journals
	protocols string // the user's own
	config    string // the program's config folder
	look      look
	sound     sound
	called    string // how the program is started, for what is to be typed next; "" is meniscus
}

// look is how the faces are to appear.
type look struct{ plain, longLines, ascii, light, dark bool }

// Run carries out the command line args (without the program's name) and returns the exit code.
func Run(args []string, in io.Reader, out, errs io.Writer) int {
	e := &env{
		in: in, out: out, errs: errs, now: time.Now, random: rand.Reader,
		runs:      defaultRuns(),
		protocols: filepath.Join(xdg.DataHome, "meniscus", "protocols"),
		config:    filepath.Join(xdg.ConfigHome, "meniscus"),
		called:    calledAs(os.Args[0]),
	}
	return e.run(args)
}

func defaultRuns() string { return filepath.Join(xdg.DataHome, "meniscus", "runs") }

func (e *env) run(args []string) int {
	if isTerminal(e.errs) {
		e.progress = e.errs
	}
	e.errs = tui.Writer(e.errs) // errors quote what strangers wrote
	out := &outlet{w: e.out}
	if !isTerminal(e.out) {
		e.out = out
	}
	root := e.root()
	root.SetArgs(args)
	root.SetIn(e.in)
	root.SetOut(e.out)
	root.SetErr(e.errs)
	c, err := root.ExecuteC()
	if err == nil {
		err = noCommand(c)
	}
	e.sound.stop()
	if err == nil && out.err != nil {
		err = fmt.Errorf("not all of the output could be written: %w", out.err)
	}
	if err == nil {
		return done
	}
	if err.Error() != "" {
		fmt.Fprintln(e.errs, "meniscus: "+strings.TrimSpace(err.Error()))
	}
	if errors.As(err, new(callError)) {
		return wrongCall
	}
	return unsound
}

// An outlet keeps the first error of a writer: whoever reads the output is to know that it is not whole.
type outlet struct {
	w   io.Writer
	err error
}

func (o *outlet) Write(p []byte) (int, error) {
	n, err := o.w.Write(p)
	if o.err == nil {
		o.err = err
	}
	return n, err
}

// root builds the command tree.
func (e *env) root() *cobra.Command {
	root := &cobra.Command{
		Use:   "meniscus",
		Short: "Walk through a timed procedure at the bench and work up its readings",
		Long: "Leads one pair of hands through a procedure of timed stages, takes each reading as it happens, and prints results" +
			" with their uncertainty.\nWithout a command it lets you choose a protocol, or go on with a run that is not finished.",
		Example:       "  meniscus\n  meniscus rehearse\n  meniscus run ester-batch --given oil_mass=100",
		Version:       Version,
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          onlyCommands,
		PersistentPreRunE: func(*cobra.Command, []string) error {
			if e.look.light && e.look.dark {
				return wrong("--light and --dark exclude each other; write one of them")
			}
			return nil
		},
		RunE: func(*cobra.Command, []string) error { return e.choose() },
	}
	e.soundFlag(root)
	flags := root.PersistentFlags()
	flags.StringVar(&e.runs, "runs", e.runs, "keep the journals of runs in the folder `DIR`")
	flags.BoolVar(&e.look.ascii, "ascii", false, "draw and write with plain characters only")
	flags.BoolVar(&e.look.light, "light", false, "the terminal's ground is light")
	flags.BoolVar(&e.look.dark, "dark", false, "the terminal's ground is dark")
	root.AddCommand(e.runCommand(), e.resumeCommand(), e.rehearseCommand(), e.calculateCommand(), e.summaryCommand(), e.compareCommand(),
		e.planCommand(), e.verifyCommand(), e.checkCommand(), e.sheetCommand(), e.protocolsCommand(), e.methodsCommand(), e.unitsCommand(), e.completionCommand(root))
	dress(root)
	return root
}

// onlyCommands refuses an argument of the root: it is a command that does not exist.
func onlyCommands(root *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	var names []string
	for _, c := range root.Commands() {
		if c.IsAvailableCommand() {
			names = append(names, c.Name())
		}
	}
	return wrong("there is no command %q; %s", args[0], nearest(args[0], names))
}

// noCommand is the error of a word that is no command and stands beside --help or --version, where cobra does not look
// at arguments.
func noCommand(c *cobra.Command) error {
	if c.HasParent() {
		return nil
	}
	return onlyCommands(c, c.Flags().Args())
}

// between refuses a wrong number of arguments; what names them, as the usage line does.
func between(least, most int, what string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		switch {
		case len(args) < least:
			return wrong("%s needs %s; write %s", c.Name(), what, call(c))
		case most == 0 && len(args) > 0:
			return wrong("%s takes no argument, found %q; write %s", c.Name(), args[0], call(c))
		case most >= 0 && len(args) > most:
			return wrong("%s takes %s and no more, found %q as well; write %s", c.Name(), what, args[most], call(c))
		}
		return nil
	}
}

// call is how a command is called, without the flags that it may have.
func call(c *cobra.Command) string { return strings.TrimSuffix(c.UseLine(), " [flags]") }

// terminal tells whether a screen can be shown: input and output are one that can move its cursor.
func (e *env) terminal() bool {
	term := os.Getenv("TERM")
	return term != "dumb" && term != "" && isTerminal(e.in) && isTerminal(e.out)
}

func isTerminal(stream any) bool {
	f, ok := stream.(*os.File)
	return ok && isatty.IsTerminal(f.Fd())
}

func (e *env) remark(format string, args ...any) { fmt.Fprintf(e.errs, format+"\n", args...) }
