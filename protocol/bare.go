package protocol

import "fmt"

// Bare is a TOML file that is no protocol but is read with the same care: the same bounds, every fault at its place, all at
// once.
type Bare struct {
	Keys map[string]any
	l    *loader
}

// ReadBare reads a file's blocks. The error is of type Errors: the file is too large, or no TOML.
func ReadBare(file string, text []byte) (*Bare, error) {
	l := newLoader(file, text)
	root := l.decode("the file")
	if root == nil {
		return nil, l.errors()
	}
	return &Bare{root.keys, l}, nil
}

// Fault notes a fault of the value, or where there is none of the block, that stands at a path such as step[2].hands.
func (b *Bare) Fault(path, msg, remedy string) { b.l.add(b.l.x.place(path).value, msg, remedy) }

// FaultOfKey notes a fault of the key at a path.
func (b *Bare) FaultOfKey(path, msg, remedy string) { b.l.add(b.l.x.place(path).key, msg, remedy) }

// Found tells how the file spells the value at a path, and what it is, for a message: "2 min", a text.
func (b *Bare) Found(path string, value any) string {
	p := b.l.x.place(path)
	return fmt.Sprintf("%s, %s", clip(b.l.x.text[p.value:max(p.end, p.value)], value), describe(value))
}

// Spelt is how the file spells the value at a path.
func (b *Bare) Spelt(path string, value any) string {
	p := b.l.x.place(path)
	return clip(b.l.x.text[p.value:max(p.end, p.value)], value)
}

// Errors returns all faults, in file order; nil when there are none.
func (b *Bare) Errors() error { return b.l.errors() }

// Path returns the path of a key in a block; "" is the file itself.
func Path(block, key string) string { return join(block, key) }

// PathOf returns the path of the i-th element, from 0, of what stands at a path.
func PathOf(path string, i int) string { return element(path, i) }
