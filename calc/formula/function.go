package formula

import "example.org/meniscus/calc/quantity"

// A Param is one argument of a Function.
type Param struct {
	Name string
	Kind Kind
	Unit quantity.Unit // Number, List, Series: the argument is converted to it before the call
	Any  bool          // Number, List, Series: any unit goes, unconverted
	// Rows is set for a Text parameter that names a row of a reference table: it lists the names that exist. In a
	// formula such a row is written bare: density(ethanol, room).
	Rows     func() []string
	Optional bool // may be left out; every later one must be optional too
	Several  bool // the last parameter, a List: several numbers may be written in its place
	Says     string
}

// A Function is a named calculation that a formula may call, with everything its page says.
type Function struct {
	Name    string
	Title   string  // "Acid value by titration"
	Says    string  // what it computes, in a sentence or two
	Formula string  // in standard symbols, as a handbook prints it
	Params  []Param //
	Unit    quantity.Unit
	Valid   string // the range in which it may be used, and what it does not see
	Source  string // where it comes from: standard, year and clause, or "common practice, no source"
	Example Example

	// TypeOf overrides the result type {Number, Unit} where it depends on the arguments.
	TypeOf func(args []Type) (Type, error)
	// Call computes the value. Arguments fit Params: kinds and units are right, Number arguments may be lists only
	// where Elementwise is false and Kind says so. Optional arguments that are left out are missing at the end.
	Call func(args []Value) (Value, error)
	// Work and Finish, where there are both, make up Call for functions that share their hardest step.
	Work   *Work
	Finish func(done any, args []Value) (Value, error)
	// Plain, where there is one, is the value of Call alone: of the numbers in its only list, or of its arguments,
	// which are numbers all. No number is no value.
	Plain func(x []float64) float64
	// Elementwise makes a list given for a Number parameter yield a list: the call is made once for each element.
	Elementwise bool
}

// A Work is a step that several functions have in common, such as a fit: it follows from their first arguments alone,
// which have the same parameters in each of them. What Do returns is not changed by anyone.
type Work struct {
	Name string
	Args int
	Do   func(args []Value) any
	// Again, where there is one, is Do for values that lie near those of the first time, of which first came; it need
	// not tell uncertainties.
	Again func(args []Value, first any) any
}

// Whole returns the Call of a function that has Work and Finish.
func (f *Function) Whole(args []Value) (Value, error) {
	return f.Finish(f.Work.Do(args[:min(f.Work.Args, len(args))]), args)
}

// An Example is a worked case: a formula that calls the function on plain numbers, and what comes out. It stands on the
// function's page and is run as a test.
type Example struct {
	Call   string            // "acid_value(titre, blank, titrant, sample)"
	Given  map[string]string // name -> "2.19 mL"; several values for a list: "1 g; 2 g"; a series: "0 min 14.8 Cel; 0.5 min 15.8 Cel"
	Want   float64
	Unit   string
	Within float64 // half of the last digit that the source prints
	Source string
}

// Functions are those that a formula may call, by name.
type Functions map[string]*Function
