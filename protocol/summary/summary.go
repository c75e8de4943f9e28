package summary

import (
	"bytes"
	"encoding/json"
	"time"

	"example.org/meniscus/calc/quantity"
)

// A Summary is all that a run leaves behind for a reader. Its JSON form is a contract with other programs: names are
// only ever added.
type Summary struct {
	Protocol    Protocol     `json:"protocol"`
	Run         Run          `json:"run"`
	Vessels     []Vessel     `json:"vessels"`
	Results     []Result     `json:"results"` // those of the whole run
	Checks      []Check      `json:"checks"`  // of those results
	Guards      []Guard      `json:"guards"`
	Deviations  []Deviation  `json:"deviations"` // of the whole run; a vessel's own stand with it
	Notes       []Note       `json:"notes"`      // the same
	Restarts    []Restart    `json:"restarts"`
	Breaks      []Break      `json:"breaks,omitempty"`
	Timetable   *Timetable   `json:"timetable,omitempty"` // of a run that had one
	Instruments []Instrument `json:"instruments"`
	References  []string     `json:"references"`
	MonteCarlo  string       `json:"monte_carlo,omitempty"` // what the trials say of all results together; "" where they were not asked for
	Deferral    string       `json:"deferral"`
}

// Protocol names what was done.
type Protocol struct {
	ID      string `json:"id"`
	Title   string `json:"title"`
	Version string `json:"version"`
	Purpose string `json:"purpose"`
}

// Run names when it was done, and with which program. Times are RFC 3339 in UTC with milliseconds; Begun is "" when the
// readings came without a date.
type Run struct {
	ID       string  `json:"id"`
	Begun    string  `json:"begun"`
	Ended    *string `json:"ended"`     // null while the run goes on
	ElapsedS float64 `json:"elapsed_s"` // from the begin to the newest event
	Complete bool    `json:"complete"`
	Why      string  `json:"why,omitempty"` // why it was given up
	Zone     string  `json:"zone,omitempty"`
	Program  string  `json:"program"`
	Hash     string  `json:"journal_hash,omitempty"` // of the journal's line that is the newest event's; "" without a journal

	Start time.Time `json:"-"`
}

// Vessel is one vessel's part of the run.
type Vessel struct {
	Label      string      `json:"label"`
	Givens     Givens      `json:"givens"`
	Amounts    []Amount    `json:"amounts"`
	Readings   []Reading   `json:"readings"`
	Results    []Result    `json:"results"`
	Checks     []Check     `json:"checks"`
	Deviations []Deviation `json:"deviations"`
	Undone     []Undoing   `json:"undone,omitempty"`
	Notes      []Note      `json:"notes"`
	GivenUp    string      `json:"given_up,omitempty"`
}

// Givens are in the protocol's order; in JSON they are one object with a member for each id.
type Givens []Given

// Given is what was known before the start. A number has Value and Unit, anything else Text.
type Given struct {
	ID     string   `json:"-"`
	Title  string   `json:"title"`
	Value  *float64 `json:"value"`
	Unit   string   `json:"unit"`
	Text   string   `json:"text,omitempty"`
	Source string   `json:"source,omitempty"`

	IsText bool          `json:"-"`
	In     quantity.Unit `json:"-"`
}

// MarshalJSON writes an object whose members keep the protocol's order.
func (gs Givens) MarshalJSON() ([]byte, error) {
	var out bytes.Buffer
	out.WriteByte('{')
	for i, g := range gs {
		if i > 0 {
			out.WriteByte(',')
		}
		key, err := json.Marshal(g.ID)
		if err != nil {
			return nil, err
		}
		value, err := json.Marshal(g)
		if err != nil {
			return nil, err
		}
		out.Write(key)
		out.WriteByte(':')
		out.Write(value)
	}
	out.WriteByte('}')
	return out.Bytes(), nil
}

// Amount was worked out from the givens. One that differs between portions stands as rows id.1, id.2, ….
type Amount struct {
	ID    string   `json:"id"`
	Title string   `json:"title"`
	Value *float64 `json:"value"`
	Unit  string   `json:"unit"`
	Text  string   `json:"text,omitempty"` // when it is no number

	In quantity.Unit `json:"-"`
}

// Reading is one reading with its history, in the order taken. Value is null for words and for a reading that was not
// taken. ElapsedS is the reading's own time, in s since the run began.
type Reading struct {
	ID          string       `json:"id"`
	Title       string       `json:"title"`
	Stage       string       `json:"stage"`
	Kind        string       `json:"kind"`
	Portion     int          `json:"portion"` // 0 where there is but one
	Value       *float64     `json:"value"`
	Unit        string       `json:"unit"`
	Text        string       `json:"text,omitempty"`
	Typed       string       `json:"typed"`
	At          string       `json:"at"`
	ElapsedS    float64      `json:"elapsed_s"`
	Unlikely    bool         `json:"unlikely"`
	NotTaken    bool         `json:"not_taken"`
	Why         string       `json:"why,omitempty"`
	TakenBack   bool         `json:"taken_back,omitempty"` // NotTaken: it was taken first, as the last correction tells
	EnteredAt   string       `json:"entered_at,omitempty"` // where it was entered later than it was read
	Corrections []Correction `json:"corrections"`

	In      quantity.Unit `json:"-"`
	Elapsed time.Duration `json:"-"`
	Clock   time.Time     `json:"-"` // by the wall clock
	Entered time.Time     `json:"-"` // as EnteredAt; zero where it was entered as it was read
	IsList  bool          `json:"-"` // one value for each portion
}

// Correction is a value that was superseded, with when and why.
type Correction struct {
	Typed string   `json:"typed"`
	Value *float64 `json:"value"`
	Text  string   `json:"text,omitempty"`
	At    string   `json:"at"`
	Why   string   `json:"why"`
}

// Status tells whether a result has a value.
type Status string

// The statuses: Missing wants a reading that was not taken, Impossible has readings that give no value.
const (
	OK         Status = "ok"
	Missing    Status = "missing"
	Impossible Status = "impossible"
)

// Result is one figure with its uncertainty, all in Unit. A result that is a list stands as rows id.1, id.2, ….
// Without a value every figure is null; DegreesOfFreedom is null, too, when there are infinitely many.
type Result struct {
	ID                  string   `json:"id"`
	Title               string   `json:"title"`
	Value               *float64 `json:"value"`
	Unit                string   `json:"unit"`
	StandardUncertainty *float64 `json:"standard_uncertainty"`
	ExpandedUncertainty *float64 `json:"expanded_uncertainty"` // coverage 95 %
	CoverageFactor      *float64 `json:"coverage_factor"`
	DegreesOfFreedom    *float64 `json:"degrees_of_freedom"`
	Status              Status   `json:"status"`
	Message             string   `json:"message"`
	Say                 string   `json:"say,omitempty"`      // what the number does not show
	Verdicts            []string `json:"verdicts,omitempty"` // what it does not show for these readings
	Budget              []Share  `json:"budget"`
	Causes              []Cause  `json:"causes,omitempty"`      // the budget by what would have to change
	Advice              string   `json:"advice,omitempty"`      // what would make it surer first
	Scatter             *Scatter `json:"scatter,omitempty"`     // null where no readings were repeated
	MonteCarlo          *Trials  `json:"monte_carlo,omitempty"` // null where no trials were asked for

	Quantity quantity.Quantity `json:"-"` // Status OK
}

// Share is one source's part in a result's uncertainty: |sensitivity| times its standard uncertainty, in the result's
// unit, and the square of that over the variance.
type Share struct {
	Source       string  `json:"source"`
	Title        string  `json:"title"` // the source in words
	Contribution float64 `json:"contribution"`
	Share        float64 `json:"share"`
}

// Cause takes sources together that have one remedy, such as an instrument's smallest step in all its readings.
type Cause struct {
	Title string  `json:"title"`
	Share float64 `json:"share"`
}

// The verdicts of a check. Undecided: a limit lies inside the expanded uncertainty, so that the value may as well be on
// its other side. CannotTell: there is no value, or no limit.
const (
	Inside     = "inside"
	Outside    = "outside"
	Undecided  = "undecided"
	CannotTell = "cannot tell"
)

// Check is a result held against a limit. Low and High are in the result's unit, null where there is no limit.
type Check struct {
	Result  string   `json:"result"`
	Title   string   `json:"title"`
	Verdict string   `json:"verdict"`
	Low     *float64 `json:"low"`
	High    *float64 `json:"high"`
	Unit    string   `json:"unit"`
	Limit   string   `json:"limit"`   // "860 to 900 kg/m³"
	Close   bool     `json:"close"`   // a limit lies inside the expanded uncertainty: undecided
	Message string   `json:"message"` // the verdict as a sentence
	Source  string   `json:"source"`
	Say     string   `json:"say,omitempty"`
}

// Guard is a relation between readings that did not hold when its last reading arrived.
type Guard struct {
	ID      string `json:"id"`
	Vessel  string `json:"vessel"`
	Say     string `json:"say"`
	At      string `json:"at"`
	Settled bool   `json:"settled"` // it holds by now, after a correction

	Elapsed time.Duration `json:"-"`
}

// Deviation is planned against done.
type Deviation struct {
	Kind    string `json:"kind"`
	Stage   string `json:"stage"`
	Portion int    `json:"portion"` // 0 where portions do not matter
	What    string `json:"what"`
	Planned string `json:"planned"`
	Done    string `json:"done"`
	Why     string `json:"why,omitempty"`
	At      string `json:"at"`

	Elapsed time.Duration `json:"-"`
}

// Undoing is an act that was undone and counts as never done.
type Undoing struct {
	Stage  string `json:"stage"`
	What   string `json:"what"`
	DoneAt string `json:"done_at"`
	At     string `json:"at"` // when it was undone

	Done    time.Duration `json:"-"`
	Elapsed time.Duration `json:"-"`
}

// Note is a remark with its time.
type Note struct {
	At   string `json:"at"`
	Text string `json:"text"`

	Elapsed time.Duration `json:"-"`
}

// Restart tells that the program was started again on the run.
type Restart struct {
	At         string  `json:"at"`
	GapS       float64 `json:"gap_s"`                  // since the last entry
	ClockBackS float64 `json:"clock_back_s,omitempty"` // the wall clock stood so far before the last event
	Torn       string  `json:"torn,omitempty"`         // an unfinished last line that was set aside
	Rebooted   bool    `json:"rebooted,omitempty"`     // the machine was started again as well
	ClockSetS  float64 `json:"clock_set_s,omitempty"`  // the wall clock was set meanwhile, forward by a positive time

	Elapsed time.Duration `json:"-"`
}

// Break tells that time did not go its ordinary way while the program ran: the machine slept, the program stood still,
// the wall clock was set, or the place's offset from UTC changed. Say tells it in a sentence.
type Break struct {
	Kind string  `json:"kind"` // slept, stopped, clock set, zone changed
	At   string  `json:"at"`   // when it was noticed
	ForS float64 `json:"for_s,omitempty"`
	Say  string  `json:"say"`

	Elapsed time.Duration `json:"-"`
}

// Instrument is what readings were taken with. Figures that are not declared are 0, in Unit; Gain is a ratio.
type Instrument struct {
	ID                  string  `json:"id"`
	Title               string  `json:"title"`
	Unit                string  `json:"unit"`
	Step                float64 `json:"step,omitempty"`
	Tolerance           float64 `json:"tolerance,omitempty"`
	StandardUncertainty float64 `json:"standard_uncertainty,omitempty"`
	Offset              float64 `json:"offset,omitempty"`
	Gain                float64 `json:"gain,omitempty"`
	Checked             string  `json:"checked,omitempty"`
	Graduation          float64 `json:"graduation,omitempty"`

	In quantity.Unit `json:"-"`
}
