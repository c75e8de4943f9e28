package run

import "time"

// A Command is an operator's act on a vessel ("" for the whole run). Confirmed repeats it after a *Question.
type Command struct {
	Vessel    string
	Do        Act
	Confirmed bool
}

// An Act is what the operator does.
type Act interface{ act() }

// The acts.
type (
	// Acknowledge: the briefing was read. Why says why it is begun with amounts that do not fit.
	Acknowledge struct{ Why string }
	// Forward is the one key that goes on: whatever comes next for the vessel is done now. It answers a due reminder,
	// takes a mark or a tick, starts and stops a stopwatch, passes over an optional reading, confirms a step, ends a
	// wait, enters the next stage; View.Enter says which.
	Forward struct{}
	// Take is a typed reading; Reading "" means the one that is asked for. TypedAt is the elapsed time at the first
	// digit; 0 means now. Late says that it is when the reading was read, and that it is entered only now: for the
	// reading that is asked for, or for one of a stage passed that was not taken. Typed is then the value and why it
	// comes late; the reason may go without saying until the run has ended.
	Take struct {
		Reading string
		Typed   string
		TypedAt time.Duration
		Late    bool
	}
	// Correct supersedes the newest value of a reading ("" means the last one taken). At corrects the moment of a mark.
	Correct struct {
		Reading string
		Typed   string
		At      *time.Duration
		Why     string
	}
	// TakeBack makes the newest value of a reading ("" means the last one taken) one that was not taken.
	TakeBack struct{ Reading, Why string }
	// Undo takes the vessel's newest act back, whatever it was, as if it had never been; again, the one before it.
	Undo struct{}
	// Again adds what was given once more to the newest portion of the vessel, of whatever stage: a second pour into
	// it.
	Again struct{ Typed, Why string }
	// LeaveOut says that the reading asked for is not taken, and why.
	LeaveOut struct{ Why string }
	// Note adds a remark.
	Note struct{ Text string }
	// Skip leaves the vessel's stage with what is left of it undone, and why.
	Skip struct{ Why string }
	// EndWait ends the running wait before its least time, or without what it waits for, and why.
	EndWait struct{ Why string }
	// Extend moves the aim and the latest end of the running wait.
	Extend struct {
		By  time.Duration
		Why string
	}
	// GoAway and ComeBack bracket a time without hands.
	GoAway   struct{}
	ComeBack struct{}
	// AddVessel brings one more vessel into the run, with givens as typed; it gets the next letter.
	AddVessel struct{ Givens map[string]string }
	// EndVessel gives up one vessel.
	EndVessel struct{ Why string }
	// End closes the run; before every vessel is through, it is abandoned and wants a reason.
	End struct{ Why string }
)

func (Acknowledge) act() {}
func (Forward) act()     {}
func (Take) act()        {}
func (Correct) act()     {}
func (TakeBack) act()    {}
func (Again) act()       {}
func (LeaveOut) act()    {}
func (Note) act()        {}
func (Undo) act()        {}
func (Skip) act()        {}
func (Extend) act()      {}
func (EndWait) act()     {}
func (GoAway) act()      {}
func (ComeBack) act()    {}
func (AddVessel) act()   {}
func (EndVessel) act()   {}
func (End) act()         {}

// A Question asks once whether an act is meant; the same command with Confirmed set goes through.
type Question struct {
	Say string // "62.4 °C is above the expected 58.0 to 62.0 °C"
	Yes string // what assent does: "keep it with a mark"
}

func (q *Question) Error() string { return q.Say }

// A Refusal says why an act cannot be, and what to do instead.
type Refusal struct{ Say string }

func (r *Refusal) Error() string { return r.Say }

// An Unfinished refusal is of an act that only its reason is missing from: the line that was typed is to be kept, and
// the reason added to it.
type Unfinished struct{ Refusal }

// Unwrap makes it a *Refusal like any other for whoever does not keep lines.
func (u *Unfinished) Unwrap() error { return &u.Refusal }
