//go:build !windows

package command_test

import (
	"bufio"
	"bytes"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"example.org/meniscus/protocol/journal"
	"example.org/meniscus/protocol/run"
	"example.org/meniscus/tui/command"
)

var kills = flag.Int("kills", 50, "how often TestKilled kills the program")

// A driver feeds the plain face with numbers, each one once, and remembers which were confirmed.
type driver struct {
	t     *testing.T
	rand  *rand.Rand
	dir   string
	next  int
	sent  map[int]time.Time
	said  map[int]time.Time // confirmed, and when
	order []int
}

func (d *driver) command(args ...string) *exec.Cmd {
	self, err := os.Executable()
	if err != nil {
		d.t.Fatal(err)
	}
	cmd := &exec.Cmd{Path: self, Args: append([]string{"meniscus", "--runs", filepath.Join(d.dir, "runs")}, args...), Dir: d.dir}
	cmd.Env = append(os.Environ(), "XDG_DATA_HOME="+d.dir, "XDG_CONFIG_HOME="+d.dir, "GORACE=atexit_sleep_ms=0")
	return cmd
}

// A visit is how long the driver stays with the program, counted in numbers that it is told are confirmed.
type visit struct {
	until  int  // so many are confirmed
	ahead  int  // so many more are typed before that: the program is at one of them when it is killed
	killed bool // else it is left with q
	early  bool // killed as soon as it was started
}

// sit starts the program and types first, then numbers.
func (d *driver) sit(v visit, first string, args ...string) {
	d.t.Helper()
	cmd := d.command(args...)
	var errs bytes.Buffer
	cmd.Stderr = &errs
	in, err := cmd.StdinPipe()
	if err != nil {
		d.t.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		d.t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		d.t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	if !v.early {
		lines.Scan() // the greeting
		_, _ = io.WriteString(in, first)
		d.feed(in, lines, v)
	}
	if v.killed {
		_ = cmd.Process.Kill()
	} else {
		_, _ = io.WriteString(in, "q\n")
	}
	for d.hear(lines) { // what it told before it was gone
	}
	in.Close()
	if err := cmd.Wait(); !v.killed && err != nil {
		d.t.Fatalf("%v: %v: %s", args, err, errs.String())
	}
}

// feed types numbers, some ahead of those that are confirmed, until enough are or the program is gone.
func (d *driver) feed(in io.Writer, lines *bufio.Scanner, v visit) {
	from, told := d.next, len(d.order)
	for {
		for d.next-from < min(len(d.order)-told+1, v.until)+v.ahead {
			d.sent[d.next] = time.Now()
			if _, err := fmt.Fprintf(in, "%d\n", d.next); err != nil {
				return
			}
			d.next++
		}
		if len(d.order)-told == v.until || !d.hear(lines) {
			return
		}
	}
}

var confirmation = regexp.MustCompile(`Bath: (\d+) °C`)

// hear takes note of the next number that is confirmed; false when the program is gone.
func (d *driver) hear(lines *bufio.Scanner) bool {
	for lines.Scan() {
		m := confirmation.FindStringSubmatch(lines.Text())
		if m == nil {
			continue
		}
		n, _ := strconv.Atoi(m[1])
		if _, again := d.said[n]; !again {
			d.said[n] = time.Now()
			d.order = append(d.order, n)
			return true
		}
	}
	return false
}

// check holds the journal against what was confirmed.
func (d *driver) check(path string) (unconfirmed, resumed int) {
	d.t.Helper()
	c, err := journal.Read(path)
	if err != nil || c.Torn != "" {
		d.t.Fatalf("%v, torn %q", err, c.Torn)
	}
	begun := c.Events[0].At
	var kept []int
	for _, e := range c.Events {
		switch f := e.What.(type) {
		case run.Resumed:
			resumed++
		case run.ReadingTaken:
			n := int(f.Value)
			if said, ok := d.said[n]; ok {
				kept = append(kept, n)
				d.agree(n, e, begun, said)
			} else if _, ok := d.sent[n]; !ok {
				d.t.Errorf("event %d has %d, which was never typed", e.N, n)
			} else {
				unconfirmed++
			}
		}
	}
	if fmt.Sprint(kept) != fmt.Sprint(d.order) {
		d.t.Errorf("%d readings were confirmed, %d of them are there, or in another order:\n%v\n%v", len(d.order), len(kept), d.order, kept)
	}
	return unconfirmed, resumed
}

// slack is how far two looks at a clock may lie apart: each is cut to a millisecond.
const slack = 3 * time.Millisecond

// agree holds an event's times against the driver's clock: it lies between typing and hearing of it.
func (d *driver) agree(n int, e run.Event, begun, said time.Time) {
	if e.At.Before(d.sent[n].Add(-slack)) || e.At.After(said.Add(slack)) {
		d.t.Errorf("reading %d: at %v, typed at %v, confirmed at %v", n, e.At, d.sent[n], said)
	}
	if low, high := d.sent[n].Sub(begun)-slack, said.Sub(begun)+slack; e.Elapsed < low || e.Elapsed > high {
		d.t.Errorf("reading %d: %v elapsed, by the driver's clock between %v and %v", n, e.Elapsed, low, high)
	}
}

// TestKilled kills the program again and again, after a number of confirmations that is drawn and amid what was typed ahead,
// and takes the run up after each: what was confirmed is there, in order, once, at the right time.
func TestKilled(t *testing.T) {
	d := &driver{t: t, rand: rand.New(rand.NewPCG(1, uint64(*kills))), dir: t.TempDir(), next: 1000, sent: map[int]time.Time{}, said: map[int]time.Time{}}
	if err := os.WriteFile(filepath.Join(d.dir, "bath.toml"), []byte(command.Bath), 0o600); err != nil {
		t.Fatal(err)
	}
	d.sit(visit{until: 3}, "\n\n", "run", "./bath.toml", "--plain")
	if len(d.order) != 3 {
		t.Fatalf("%d of 3 readings were confirmed before anything was killed", len(d.order))
	}
	wanted, visits := 3, 0
	for range *kills {
		v := visit{until: d.rand.IntN(20), ahead: d.rand.IntN(8), killed: true, early: d.rand.IntN(5) == 0}
		if !v.early {
			wanted += v.until
			visits++
		}
		d.sit(v, "", "resume", "--plain")
	}
	d.sit(visit{until: 1}, "", "resume", "--plain")
	found, err := filepath.Glob(filepath.Join(d.dir, "runs", "*.journal"))
	if err != nil || len(found) != 1 {
		t.Fatalf("journals: %v, %v", found, err)
	}
	unconfirmed, resumed := d.check(found[0])
	if out, err := d.command("verify", found[0]).CombinedOutput(); err != nil {
		t.Errorf("verify: %v: %s", err, out)
	}
	if len(d.order) < wanted+1 || resumed < visits+1 {
		t.Errorf("%d readings were confirmed and the run was resumed %d times; want at least %d and %d", len(d.order), resumed, wanted+1, visits+1)
	}
	t.Logf("killed %d times: %d readings confirmed and kept, %d kept that nobody was told of, %d times resumed", *kills, len(d.order), unconfirmed, resumed)
}

// TestFolderRemoved: while a run goes on its folder is removed. The reading is told as not saved, goes to another folder
// with all before it, and the run is taken up from there.
func TestFolderRemoved(t *testing.T) {
	d := &driver{t: t, dir: t.TempDir()}
	if err := os.WriteFile(filepath.Join(d.dir, "bath.toml"), []byte(command.Bath), 0o600); err != nil {
		t.Fatal(err)
	}
	cmd := d.command("run", "./bath.toml", "--plain")
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	say := func(line, want string) (found string) {
		t.Helper()
		if _, err := io.WriteString(in, line+"\n"); err != nil {
			t.Fatal(err)
		}
		for lines.Scan() {
			if strings.Contains(lines.Text(), want) {
				return lines.Text()
			}
		}
		t.Fatalf("%s: not said: %s", line, want)
		return ""
	}
	say("", "acknowledged")
	say("", "Watch")
	say("41", "Bath: 41 °C")
	if err := os.RemoveAll(filepath.Join(d.dir, "runs")); err != nil {
		t.Fatal(err)
	}
	say("42", "Not saved: the file or its folder was removed while the run went on. Nothing was done.")
	say("", "Not saved: the file or its folder was removed")
	say("w other", "The journal goes on in "+filepath.Join(d.dir, "other"))
	say("43", "Bath: 43 °C")
	line := say("q", "To take it up again: meniscus resume ")
	in.Close()
	if err := cmd.Wait(); err != nil {
		t.Error(err)
	}
	_, path, _ := strings.Cut(line, "meniscus resume ")
	c, err := journal.Read(path)
	if err != nil {
		t.Fatal(err)
	}
	var read []float64
	for _, e := range c.Events {
		if f, ok := e.What.(run.ReadingTaken); ok {
			read = append(read, f.Value)
		}
	}
	if fmt.Sprint(read) != "[41 42 43]" {
		t.Errorf("readings %v, want 41 42 43", read)
	}
}
