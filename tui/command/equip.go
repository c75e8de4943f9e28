package command

import (
	"errors"
	"io/fs"
	"path/filepath"

	"example.org/meniscus/protocol"
	"example.org/meniscus/protocol/regular"
)

// equip loads the named protocol with the lab's own instruments in the place of its own; lab is their text, "" when the
// lab has none.
func (e *env) equip(name string) (p *protocol.Protocol, src source, lab string, err error) {
	if p, src, err = e.load(name); err != nil {
		return nil, src, "", err
	}
	path := filepath.Join(e.config, "instruments.toml")
	text, err := regular.Read(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return p, src, "", nil
	case err != nil:
		return nil, src, "", told("file of instruments", path, err)
	}
	if p, err = p.WithInstruments(path, text); err != nil {
		return nil, src, "", err
	}
	return p, src, string(text), nil
}
