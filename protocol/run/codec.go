package run

import (
	"bytes"
	"encoding/json"
	"fmt"
)

// The names of the facts in a journal.
func (Begun) Kind() string            { return "begun" }
func (Acknowledged) Kind() string     { return "cautions acknowledged" }
func (StageEntered) Kind() string     { return "stage entered" }
func (StepDone) Kind() string         { return "step done" }
func (WaitEnded) Kind() string        { return "wait ended" }
func (StageLeft) Kind() string        { return "stage left" }
func (ReadingTaken) Kind() string     { return "reading taken" }
func (ReadingCorrected) Kind() string { return "reading corrected" }
func (ReadingNotTaken) Kind() string  { return "reading not taken" }
func (StopwatchStarted) Kind() string { return "stopwatch started" }
func (GuardSpoke) Kind() string       { return "guard spoke" }
func (ReminderAnswered) Kind() string { return "reminder answered" }
func (ClockExtended) Kind() string    { return "clock extended" }
func (Noted) Kind() string            { return "noted" }
func (CalledAway) Kind() string       { return "called away" }
func (CameBack) Kind() string         { return "came back" }
func (VesselAdded) Kind() string      { return "vessel added" }
func (VesselEnded) Kind() string      { return "vessel given up" }
func (Resumed) Kind() string          { return "resumed" }
func (Ended) Kind() string            { return "ended" }
func (Slept) Kind() string            { return "slept" }
func (Stopped) Kind() string          { return "stopped" }
func (ClockSet) Kind() string         { return "clock set" }
func (ZoneChanged) Kind() string      { return "zone changed" }
func (Drafted) Kind() string          { return "drafted" }
func (ReadingTakenBack) Kind() string { return "reading taken back" }
func (Planned) Kind() string          { return "planned" }
func (Undone) Kind() string           { return "undone" }

// decoders reads each kind of fact.
var decoders = map[string]func([]byte) (Fact, error){
	Begun{}.Kind():            read[Begun],
	Acknowledged{}.Kind():     read[Acknowledged],
	StageEntered{}.Kind():     read[StageEntered],
	StepDone{}.Kind():         read[StepDone],
	WaitEnded{}.Kind():        read[WaitEnded],
	StageLeft{}.Kind():        read[StageLeft],
	ReadingTaken{}.Kind():     read[ReadingTaken],
	ReadingCorrected{}.Kind(): read[ReadingCorrected],
	ReadingNotTaken{}.Kind():  read[ReadingNotTaken],
	StopwatchStarted{}.Kind(): read[StopwatchStarted],
	GuardSpoke{}.Kind():       read[GuardSpoke],
	ReminderAnswered{}.Kind(): read[ReminderAnswered],
	ClockExtended{}.Kind():    read[ClockExtended],
	Noted{}.Kind():            read[Noted],
	CalledAway{}.Kind():       read[CalledAway],
	CameBack{}.Kind():         read[CameBack],
	VesselAdded{}.Kind():      read[VesselAdded],
	VesselEnded{}.Kind():      read[VesselEnded],
	Resumed{}.Kind():          read[Resumed],
	Ended{}.Kind():            read[Ended],
	Slept{}.Kind():            read[Slept],
	Stopped{}.Kind():          read[Stopped],
	ClockSet{}.Kind():         read[ClockSet],
	ZoneChanged{}.Kind():      read[ZoneChanged],
	Drafted{}.Kind():          read[Drafted],
	ReadingTakenBack{}.Kind(): read[ReadingTakenBack],
	Planned{}.Kind():          read[Planned],
	Undone{}.Kind():           read[Undone],
}

// read decodes one kind of fact; a field that it does not have is an error, and so is anything behind it.
func read[F Fact](data []byte) (Fact, error) {
	var f F
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	err := d.Decode(&f)
	if err == nil && d.InputOffset() != int64(len(data)) {
		err = fmt.Errorf("something stands behind it")
	}
	return f, err
}

// EncodeFact returns a fact's kind and its data as one line of JSON.
func EncodeFact(f Fact) (kind string, data []byte, err error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(f); err != nil {
		return "", nil, err
	}
	return f.Kind(), bytes.TrimRight(b.Bytes(), "\n"), nil
}

// DecodeFact reads what EncodeFact wrote; an unknown kind or field is an error.
func DecodeFact(kind string, data []byte) (Fact, error) {
	decode, ok := decoders[kind]
	if !ok {
		return nil, fmt.Errorf("no fact is called %q", kind)
	}
	f, err := decode(data)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", kind, err)
	}
	return f, nil
}
