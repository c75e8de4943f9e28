package journal

import (
	"bytes"
	"errors"
	"path/filepath"
	"syscall"
)

// A fault is what goes wrong at a call of the disk.
type fault int

const (
	none        fault = iota
	short             // half of a write is done, then the disk is full; any other call fails
	fails             // nothing is done
	crashBefore       // the power fails, nothing is done
	crashAfter        // it is done, then the power fails
	faults
)

var errCrash = errors.New("the power failed")

// A fakeDisk holds files in memory, tells what of them would survive, and has a fault at given calls.
type fakeDisk struct {
	files  map[string]*fakeFile
	calls  int
	faults map[int]fault
	dead   bool
}

func newFakeDisk() *fakeDisk {
	return &fakeDisk{files: map[string]*fakeFile{}, faults: map[int]fault{}}
}

// do carries out one call, unless its turn has come.
func (d *fakeDisk) do(act, half func()) error {
	if d.dead {
		return errCrash
	}
	d.calls++
	switch d.faults[d.calls] {
	case short:
		if half != nil {
			half()
		}
		return syscall.ENOSPC
	case fails:
		return syscall.EIO
	case crashBefore:
		d.dead = true
		return errCrash
	case crashAfter:
		act()
		d.dead = true
		return errCrash
	}
	act()
	return nil
}

// A fakeFile is clean up to dirty: what lies behind it reaches the disk with the next sync. After a sync that failed the
// system takes it for written all the same, and forgets it.
type fakeFile struct {
	disk    *fakeDisk
	written []byte // as every program sees it
	durable []byte
	dirty   int
	entered bool // its entry in the folder is durable
}

func (f *fakeFile) Write(p []byte) (n int, err error) {
	put := func(p []byte) {
		f.dirty = min(f.dirty, len(f.written))
		f.written = append(f.written, p...)
		n = len(p)
	}
	err = f.disk.do(func() { put(p) }, func() { put(p[:len(p)/2]) })
	return n, err
}

func (f *fakeFile) Sync() error {
	flush := func() {
		for len(f.durable) < f.dirty {
			f.durable = append(f.durable, 0) // a hole: it was taken for written
		}
		f.durable = append(f.durable[:f.dirty], f.written[f.dirty:]...)
		f.dirty = len(f.written)
	}
	err := f.disk.do(flush, nil)
	if err != nil && !f.disk.dead {
		f.dirty = len(f.written)
	}
	return err
}

func (f *fakeFile) Truncate(size int64) error {
	return f.disk.do(func() { f.written, f.dirty = f.written[:size:size], min(f.dirty, int(size)) }, nil)
}

func (f *fakeFile) ReadAt(p []byte, at int64) (int, error) {
	return bytes.NewReader(f.written).ReadAt(p, at)
}
func (f *fakeFile) Close() error             { return nil }
func (f *fakeFile) lock() (bool, error)      { return true, nil }
func (f *fakeFile) standing() (int64, error) { return int64(len(f.written)), nil }

func (d *fakeDisk) makeFolder(string) error { return d.do(func() {}, nil) }

func (d *fakeDisk) syncFolder(dir string) error {
	return d.do(func() {
		for name, f := range d.files {
			f.entered = f.entered || filepath.Dir(name) == dir
		}
	}, nil)
}

func (d *fakeDisk) create(path string) (f file, err error) {
	if d.files[path] != nil {
		return nil, syscall.EEXIST
	}
	fresh := &fakeFile{disk: d}
	return fresh, d.do(func() { d.files[path] = fresh }, nil)
}

func (d *fakeDisk) open(path string) (file, error) {
	if d.files[path] == nil {
		return nil, syscall.ENOENT
	}
	return d.files[path], nil
}

func (d *fakeDisk) remove(path string) error {
	return d.do(func() { delete(d.files, path) }, nil)
}

// after is the disk as it is found again: with all that was written when only the program died, else with what was
// durable and some of what was under way.
func (d *fakeDisk) after(onlyProgram bool, draw func(n int) int) *fakeDisk {
	again := newFakeDisk()
	for name, f := range d.files {
		kept := f.written
		switch {
		case onlyProgram:
		case !f.entered && draw(2) == 0:
			continue
		case bytes.HasPrefix(f.written, f.durable):
			kept = f.written[:len(f.durable)+draw(len(f.written)-len(f.durable)+1)]
		case draw(2) == 0:
			kept = f.durable
		}
		again.files[name] = &fakeFile{disk: again, written: bytes.Clone(kept), durable: bytes.Clone(kept), dirty: len(kept), entered: true}
	}
	return again
}

func (d *fakeDisk) leaveWord(string, string) {}
