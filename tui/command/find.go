package command

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"sort"
	"strings"

	"github.com/spf13/cobra"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/regular"
	"example.org/meniscus/protocols"
	"example.org/meniscus/tui"
)

// largest is how much of a protocol file is read; the loader refuses less already.
const largest = 4 << 20

var protocolID = regexp.MustCompile(`^[a-z][a-z0-9_-]*$`)

// source is a protocol's text with the name that errors use.
type source struct {
	file string
	text []byte
}

// find returns the protocol's text: of an id in the user's own folder, an id that ships, or a file.
func (e *env) find(name string) (source, error) {
	if own, ok := e.own(name); ok {
		return readSource(own)
	}
	isPath := strings.ContainsAny(name, `/\`) || strings.HasSuffix(name, ".toml")
	if text, ok := protocols.Text(name); ok && !isPath {
		return source{name + ".toml", text}, nil
	}
	if isPath || isFile(name) {
		return readSource(name)
	}
	return source{}, fmt.Errorf("there is no protocol %q, neither by id nor as a file; %s", name, nearest(name, e.protocolIDs()))
}

// own returns the file of an id in the user's own folder.
func (e *env) own(id string) (path string, ok bool) {
	path = filepath.Join(e.protocols, id+".toml")
	return path, protocolID.MatchString(id) && isFile(path)
}

// standsIn is what is said of a protocol of the user's own that has the id of one that ships.
const standsIn = "your own, in the place of the one that ships"

// inPlace reports whether the user's own protocol of an id is taken and not the one that ships.
func (e *env) inPlace(id string) bool {
	_, own := e.own(id)
	_, ships := protocols.Text(id)
	return own && ships
}

// tellOwn says that the user's own protocol is taken and not the one that ships.
func (e *env) tellOwn(id string) {
	if e.inPlace(id) {
		path, _ := e.own(id)
		e.remark("Protocol %s is %s: %s", id, standsIn, path)
	}
}

func isFile(path string) bool {
	info, err := os.Stat(path)
	return err == nil && !info.IsDir()
}

func readSource(path string) (source, error) {
	f, err := regular.Open(path)
	if err != nil {
		return source{}, told("protocol", path, err)
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, largest))
	if err != nil {
		return source{}, told("protocol", path, err)
	}
	return source{path, text}, nil
}

// told says in one sentence why a file could not be used.
func told(what, path string, err error) error {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return fmt.Errorf("there is no %s %s", what, path)
	case errors.Is(err, fs.ErrPermission):
		return fmt.Errorf("%s %s may not be read by this user", what, path)
	}
	var pe *fs.PathError
	var odd *regular.Refusal
	switch {
	case errors.As(err, &odd):
		err = odd.Err
	case errors.As(err, &pe):
		err = pe.Err
	}
	return fmt.Errorf("%s %s cannot be read: %w", what, path, err)
}

// load finds the protocol and loads it.
func (e *env) load(name string) (*protocol.Protocol, source, error) {
	src, err := e.find(name)
	if err != nil {
		return nil, src, err
	}
	p, err := protocol.Load(src.file, src.text)
	return p, src, err
}

// protocolIDs lists what ships and what is in the user's own folder.
func (e *env) protocolIDs() []string {
	ids := append([]string(nil), protocols.IDs()...)
	for _, id := range idsIn(e.protocols, ".toml") {
		if _, ships := protocols.Text(id); !ships {
			ids = append(ids, id)
		}
	}
	return ids
}

// runIDs lists the runs that are kept, in the order of their names: the oldest first.
func (e *env) runIDs() []string { return idsIn(e.runs, ".journal") }

func idsIn(folder, ext string) []string {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return nil
	}
	var ids []string
	for _, entry := range entries {
		if name := entry.Name(); strings.HasSuffix(name, ext) && !entry.IsDir() && tui.Clean(name) == name {
			ids = append(ids, strings.TrimSuffix(name, ext))
		}
	}
	sort.Strings(ids)
	return ids
}

// aboutRun says how a command is told which run is meant.
const aboutRun = "RUN is the id of a run, a beginning that no other id has, or a journal file"

// journalOf returns the path of a run's journal: of an id, of a beginning that only one id has, or the file itself.
func (e *env) journalOf(run string) (string, error) {
	if strings.ContainsAny(run, `/\`) || strings.HasSuffix(run, ".journal") {
		if !isFile(run) {
			return "", fmt.Errorf("there is no journal %s", run)
		}
		return run, nil
	}
	if path := e.journalPath(run); isFile(path) {
		return path, nil
	}
	fit := slices.DeleteFunc(e.runIDs(), func(id string) bool { return run == "" || !strings.HasPrefix(id, run) })
	switch {
	case len(fit) == 1:
		return e.journalPath(fit[0]), nil
	case len(fit) > 1:
		return "", fmt.Errorf("%q is the beginning of %d runs: %s; write more of it", run, len(fit), strings.Join(fit, ", "))
	}
	return "", fmt.Errorf("there is no run %q in %s; %s", run, e.runs, nearest(run, e.runIDs()))
}

func (e *env) journalPath(run string) string { return filepath.Join(e.runs, run+".journal") }

// completeProtocol and completeRun offer the names that the shell may fill in as the first argument.
func (e *env) completeProtocol(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	if len(args) > 0 {
		return nil, cobra.ShellCompDirectiveDefault
	}
	return e.protocolIDs(), cobra.ShellCompDirectiveDefault
}

func (e *env) completeRun(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	if len(args) > 0 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	return e.runIDs(), cobra.ShellCompDirectiveNoFileComp
}
