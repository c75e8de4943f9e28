package paper

import (
	"fmt"
	"sort"
	"strings"
)

// A Fault says where a file of readings is wrong and what to write.
type Fault struct {
	File   string
	Line   int // 1-based; 0 when the file as a whole is meant
	Msg    string
	Remedy string // what to write; "" when Msg says it
}

func (f *Fault) Error() string {
	where := f.File
	if f.Line > 0 {
		where = fmt.Sprintf("%s:%d", f.File, f.Line)
	}
	if f.Remedy == "" {
		return where + ": " + f.Msg
	}
	return where + ": " + f.Msg + "; write " + f.Remedy
}

// Faults are all the faults of one file, by line.
type Faults []*Fault

func (fs Faults) Error() string {
	lines := make([]string, len(fs))
	for i, f := range fs {
		lines[i] = f.Error()
	}
	return strings.Join(lines, "\n")
}

// maxFaults is how many faults are worth telling: a file with more is wrong as a whole.
const maxFaults = 200

func (r *reader) fault(line int, remedy, format string, args ...any) {
	if len(r.faults) < maxFaults {
		r.faults = append(r.faults, &Fault{r.name, line, fmt.Sprintf(format, args...), remedy})
	}
}

// err returns the faults in file order, or nil.
func (r *reader) err() error {
	if len(r.faults) == 0 {
		return nil
	}
	sort.SliceStable(r.faults, func(i, j int) bool { return r.faults[i].Line < r.faults[j].Line })
	return r.faults
}
