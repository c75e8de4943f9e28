package formula

import "example.org/meniscus/calc/quantity"

// A Kind is what sort of thing a formula's value is.
type Kind uint8

// The kinds.
const (
	Number Kind = iota
	List        // quantities in the order taken
	Series      // a List in which each element has the time it was taken at
	Truth       // the answer of a comparison
	Text        // a choice, or the name of a row of a reference table
)

func (k Kind) String() string {
	return [...]string{"number", "list", "series", "yes or no", "text"}[k]
}

// numeric tells whether a thing of this kind is made of quantities.
func (k Kind) numeric() bool { return k <= Series }

// A Value is what a formula or a name stands for.
type Value struct {
	Kind   Kind
	Number quantity.Quantity
	List   []quantity.Quantity // List and Series; all in one unit
	Times  []quantity.Quantity // Series only: time since the run began, one for each element of List
	Across string              // List only: what was looked at in each of several vessels, so that the values are replicates
	Truth  bool
	Text   string
	Row    any // Text only: the row of the protocol file's own table that the text names, or nil
}

// Of returns a number as a Value.
func Of(q quantity.Quantity) Value { return Value{Kind: Number, Number: q} }

// A Type is what is known of a value before there is one.
type Type struct {
	Kind    Kind
	Unit    quantity.Unit  // Number, List and Series
	Choices []string       // Text: every text that it may be; nil when unknown
	Rows    map[string]any // Text: rows of the protocol file's own tables, by name
}

// Names tells Check what a name stands for.
type Names interface {
	Type(name string) (Type, bool)
}

// A KnownNames is a Names that can list what it knows; Check then suggests the nearest for one that it does not.
type KnownNames interface {
	Names
	Known() []string
}

// A VesselNames is a Names that stands for a whole run; it tells what a name stands for inside across, in one vessel.
type VesselNames interface {
	Names
	VesselNames() Names
}

// Values tells Eval what a name holds. A name without a value yet yields a *MissingError.
type Values interface {
	Value(name string) (Value, error)
}

// A VesselValues is a Values that stands for a whole run; across looks at each of its vessels in turn.
type VesselValues interface {
	Values
	Vessels() []Values
}

// A Witness is a VesselValues that is told which vessel, counted from 0, across leaves out because something was not
// taken there or has no value; not of those for which its condition does not hold.
type Witness interface {
	VesselValues
	LeftOut(vessel int, why error)
}

// A MissingError says that a name has no value yet: a reading that was not taken.
type MissingError struct{ Name string }

func (e *MissingError) Error() string { return e.Name + " was not taken" }
