package protocol

import (
	"time"

	"example.org/meniscus/calc/formula"
	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/calc/reference"
)

// Format is the version of the file format that is read here.
const Format = 1

// A Protocol is a checked procedure. It is immutable; Load makes it.
type Protocol struct {
	File string // name that errors use
	Text []byte // the file as it was read; a run's journal carries it

	Warnings Errors // what is sound and was hardly meant so, in file order

	ID, Title, Version, Purpose string
	References                  []string

	Instruments []*Instrument
	Resources   []Resource
	Profiles    []reference.Profile
	Givens      []*Given
	Amounts     []*Amount // in an order in which each needs only earlier ones
	Contents    []*Content
	Cautions    []*Caution
	Stages      []*Stage
	Guards      []*Guard
	Results     []*Result
	Verdicts    []*Verdict
	Checks      []*Check

	index map[string]any // id -> *Given, *Amount, *Reading, *Result; filled by Load
}

// An Instrument is what a reading is taken with, and how far it can be trusted. Zero fields are not declared.
type Instrument struct {
	ID, Title string
	Unit      quantity.Unit
	Step      float64 // smallest step shown, in Unit: half a step is the rectangular half-width
	Tolerance float64 // rectangular half-width, independent from reading to reading
	U, DoF    float64 // standard deviation from reading to reading, with its degrees of freedom (Known when not given)
	Offset    float64 // rectangular half-width, shared by all readings of this instrument
	Gain      float64 // the same, as a ratio of the reading in Unit: of two temperatures 20 °C apart it keeps 20 K times this
	Checked   string  // date of the last check, as written
	// Graduation is the limit of error of graduated glass: a rectangular half-width at any mark, and for the difference
	// of the errors at any two.
	Graduation float64
}

// A Resource is what vessels share: places in a bath, a balance, a burner rig.
type Resource struct {
	ID, Title string
	Places    int  // how many vessels it serves at a time
	WithHands bool // held only while the hands are at it, as a balance is; otherwise for the whole stage, as a place in a bath
}

// A Given is known before the start.
type Given struct {
	ID, Title string
	Kind      GivenKind
	Value     quantity.Quantity // GivenNumber: with its uncertainty as the source given:ID
	Low, High *quantity.Quantity
	Choice    string // GivenChoice and GivenText: the default
	Choices   []string
	Rows      map[string]any // choices that are profiles of this file
	PerVessel bool
	Source    string
}

// GivenKind tells numbers from choices and texts.
type GivenKind uint8

// The kinds of a given.
const (
	GivenNumber GivenKind = iota
	GivenChoice
	GivenText
)

// An Amount is computed from givens and weighed or measured out, rounded to what the instrument can do.
type Amount struct {
	ID, Title string
	Formula   *formula.Formula
	Unit      quantity.Unit
	RoundTo   float64 // in Unit; 0: not rounded
	IsList    bool    // it gives one value for each portion or element
	AtMost    *Bound  // what it must fit into; nil: no limit
	Say       Text
}

// A Caution is a sentence shown before the hands are busy.
type Caution struct {
	Say     Text
	Applies []string // stage ids; empty: the whole run
}

// A Window says how long something takes. Zero means not declared.
type Window struct{ AtLeast, Aim, AtMost time.Duration }

// A Stage is a part of the procedure with its own steps, readings and clock.
type Stage struct {
	ID, Title string
	Number    int // position in the protocol, from 0
	Say       Text
	Portions  int       // at least 1
	Shares    []float64 // one for each portion; they add up to 1
	Steps     []Step
	Hands     Window
	Clock     *Window
	WaitLast  bool // the clock runs after the last portion too
	Reminders []Reminder
	Ready     *Condition
	Interlock *Interlock
	Uses      []string
	Attended  bool
	Pause     Text
	Live      []Live
	Readings  []*Reading
}

// A Live figure is worked out from the readings so far while the stage goes on; without a value it is not shown.
type Live struct {
	Say     string
	Formula *formula.Formula // nil: Sum is shown
	Unit    quantity.Unit
	Moment  bool     // it is a time since the run began, and shown as how far off that is
	Sum     *Reading // one with a value for each portion: what these come to so far
	Of      *Bound   // with Sum: what they are to come to; nil: not said
}

// A Step is one thing the hands do.
type Step struct {
	Say     Text
	Portion int // only with this portion, from 1; 0: with every portion
}

// A Reminder falls due again and again while a stage waits.
type Reminder struct {
	Every, From, Until time.Duration // since the wait began; Until 0: to its end
	Takes              time.Duration // hands time; 0: not declared
	Say                Text
	Reading            string // taking this reading does what the reminder asks; "" when none
}

// A Condition is a formula that must hold, and how it is told.
type Condition struct {
	Holds *formula.Formula
	Say   Text
}

// An Interlock bars a stage until its condition holds and, with Since, until so long has gone since that mark was last
// set in any vessel of the run.
type Interlock struct {
	Condition
	Since   *Reading // nil: no least time
	AtLeast *Bound
}

// ReadingKind is how a reading is taken.
type ReadingKind uint8

// The kinds of a reading.
const (
	Number    ReadingKind = iota
	Series                // many numbers, each with its time
	Mark                  // a moment: one key
	Stopwatch             // a duration: one key to start, one to stop, or typed
	Choice                // one of a few words
	FreeText              // free text, such as a lot number
	Tick                  // done
)

// Phase is the part of a stage that a reading belongs to.
type Phase uint8

// The phases of a stage, in their order.
const (
	HandsPhase Phase = iota
	WaitPhase
	EndPhase
)

// A Reading is asked for in a stage.
type Reading struct {
	ID, Title  string
	Kind       ReadingKind
	Unit       quantity.Unit
	Instrument *Instrument // nil: none declared
	Low, High  *Bound      // what is expected; nil: no limit
	Fall, Rise *Bound      // Series: the lowest and the highest rate of change expected, in RateUnit; nil: no limit
	Aim        *Bound      // Series: the value that the stage is to reach; nil: none
	Fill       *Bound      // Number: what the instrument gives in one reading; more is the sum of several; nil: no limit
	Needed     bool
	Shared     bool // taken once, it serves every vessel of the run
	Points     int  // Series: how many points it must have at least, when needed; 0 means one
	Choices    []string
	Say        Text
	Stage      *Stage
	Phase      Phase
	Step       int // HandsPhase: index of its step, from 0
	Portion    int // only with this portion, from 1; 0: with every portion
}

// RateUnit is the unit that a series changes in: K/min for a temperature.
func (r *Reading) RateUnit() (quantity.Unit, error) {
	return r.Unit.Interval().Per(quantity.MustUnit("min"))
}

// IsList tells whether a reading has one value for each portion.
func (r *Reading) IsList() bool {
	return r.Kind != Series && r.Stage.Portions > 1 && r.Portion == 0
}

// UnitCode returns the code of the unit that a value of the reading is recorded in; "" for what has none.
func (r *Reading) UnitCode() string {
	switch r.Kind {
	case Number, Series:
		return r.Unit.String()
	case Stopwatch, Mark:
		return "s"
	}
	return ""
}

// A Bound is a limit: a quantity, or a formula that gives one.
type Bound struct {
	Quantity quantity.Quantity
	Formula  *formula.Formula // nil: Quantity is it
}

// A Guard is a relation between readings that must hold.
type Guard struct {
	ID    string
	Holds *formula.Formula
	Say   Text
	Names []string // the readings that it looks at, in order of mention, through results too
}

// A Result is worked out at the end.
type Result struct {
	ID, Title string
	Formula   *formula.Formula
	Unit      quantity.Unit
	IsList    bool // it gives one value for each element
	OfRun     bool // once from all vessels
	Say       Text // what the number does not show
}

// A Verdict is a sentence on what a result cannot show; it stands beside the result when the condition holds.
type Verdict struct {
	Result *Result
	When   *formula.Formula
	Say    Text
}

// A Check holds a result against a limit.
type Check struct {
	Result    *Result
	Low, High *Bound
	Source    string
	Say       Text
}
