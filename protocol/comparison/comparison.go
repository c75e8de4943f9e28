package comparison

import (
	"example.org/meniscus/calc/quantity"
	"example.org/meniscus/protocol/summary"
)

// A Comparison is vessels side by side. Its JSON form is for other programs: names are only ever added.
type Comparison struct {
	Protocol    Protocol `json:"protocol"`
	Runs        []Run    `json:"runs"`       // in the order in which they were begun
	Vessels     []Vessel `json:"vessels"`    // those that count and those that do not
	Varied      []Factor `json:"varied"`     // the givens that differ between vessels that count, in the protocol's order
	By          []string `json:"grouped_by"` // ids of those that make the groups
	Groups      []Group  `json:"groups"`     // with vessels that count, in the order of the levels; one without By
	Confounded  []string `json:"confounded"` // "run", "day", or "GIVEN GIVEN" that changed together
	Blocks      string   `json:"blocks"`     // "run" or "day", where they cross the groups; else ""
	Remarks     []string `json:"remarks"`    // what a reader must know before the figures
	Results     []Result `json:"results"`
	NotCompared []string `json:"not_compared"` // ids of the vessels' other results
	Tests       int      `json:"tests"`        // how many p what is shown rests on
	Message     string   `json:"message"`      // what so many tests show by chance

	blockOf map[int]int // of a run by its number: its block, from 0
}

// Protocol names what was done.
type Protocol struct {
	ID    string `json:"id"`
	Title string `json:"title"`
}

// Run is one run that was compared. Number is what it is called by, from 1.
type Run struct {
	Number   int     `json:"number"`
	ID       string  `json:"id"`
	Version  string  `json:"version"` // of the protocol
	Begun    string  `json:"begun"`   // as in a summary
	Zone     string  `json:"zone,omitempty"`
	Ended    *string `json:"ended"`
	Complete bool    `json:"complete"`
	Hash     string  `json:"journal_hash,omitempty"`
	Message  string  `json:"message,omitempty"` // goes on, or was given up
}

// Vessel is one replicate, or one that does not count, with the reason.
type Vessel struct {
	Run     int            `json:"run"` // its number
	Label   string         `json:"label"`
	Counted bool           `json:"counted"`
	Message string         `json:"message,omitempty"` // why it does not count
	Givens  summary.Givens `json:"givens"`            // those that were varied

	group   int                       // of Groups; -1 when it does not count
	all     summary.Givens            // every given
	results map[string]summary.Result // by id
	several bool                      // its run has other vessels
}

// Factor is a given that differs between vessels.
type Factor struct {
	ID     string   `json:"id"`
	Title  string   `json:"title"`
	Levels []string `json:"levels"` // as they are shown: numbers from low to high, choices in the protocol's order
}

// Group is the vessels with the same levels.
type Group struct {
	Name   string   `json:"name"`
	Levels []string `json:"levels"` // one for each of By
	N      int      `json:"vessels"`

	at []int // of each of By: the level's place among the factor's
}

// Result is one result compared, in Unit; deviations and differences are in IntervalUnit, which is another one for
// temperatures only.
type Result struct {
	ID           string         `json:"id"`
	Title        string         `json:"title"`
	Unit         string         `json:"unit"`
	IntervalUnit string         `json:"interval_unit"`
	Values       []Value        `json:"values"` // of each vessel that counts
	Groups       []GroupOfValue `json:"groups"`
	Analysis
	Blocked  *Blocked  `json:"blocked"`   // null where neither runs nor days cross the groups
	Scatter  *Scatter  `json:"scatter"`   // null where no group has two values
	Outliers []Outlier `json:"outliers"`  // they stay in
	Message  string    `json:"message"`   // what is shown
	NotShown string    `json:"not_shown"` // what it would take, where no difference is shown; else ""

	In quantity.Unit `json:"-"`
}

// Analysis asks whether the groups differ.
type Analysis struct {
	Difference *Difference `json:"difference"`  // of two groups
	Variance   *Variance   `json:"variance"`    // of three groups and more
	Effects    *Effects    `json:"effects"`     // of a full plan at two levels
	WhyNoTest  string      `json:"why_no_test"` // "" where there is one
}

// Blocked is the analysis with the run, or the day, as a block: what its vessels have in common is taken out of the
// scatter. What is shown rests on it where it has a test.
type Blocked struct {
	By string `json:"by"` // "run" or "day"
	Analysis
	SD  *float64 `json:"standard_deviation"` // of one vessel within its group and block; null without a test
	DoF int      `json:"degrees_of_freedom"`
}

// Value is one vessel's. Without a value the figures are null, and Message says why.
type Value struct {
	Run                 int            `json:"run"`
	Vessel              string         `json:"vessel"`
	Group               string         `json:"group"`
	Value               *float64       `json:"value"`
	StandardUncertainty *float64       `json:"standard_uncertainty"`
	ExpandedUncertainty *float64       `json:"expanded_uncertainty"` // coverage 95 %
	Status              summary.Status `json:"status"`
	Message             string         `json:"message,omitempty"`

	Quantity quantity.Quantity `json:"-"` // Status OK
	own      float64           // standard uncertainty of what no other vessel shares
}

// GroupOfValue is what one group's values come to. Figures that do not exist are null: Mean without values, SD of one,
// Half, half of the 95 % interval, of fewer than three.
type GroupOfValue struct {
	Group   string   `json:"group"`
	N       int      `json:"n"`
	Mean    *float64 `json:"mean"`
	SD      *float64 `json:"standard_deviation"`
	Half    *float64 `json:"half_interval"`
	Message string   `json:"message,omitempty"` // why there is no interval

	Digits float64 `json:"-"` // the uncertainty that the mean's digits follow; 0 when there is none
}

// Difference is the first group less the second. The figures of the test are null where it is refused.
type Difference struct {
	Test string   `json:"test"` // "Welch"; "Student" where one scatter is taken for both groups
	A    string   `json:"a"`
	B    string   `json:"b"`
	D    float64  `json:"difference"`
	Half *float64 `json:"half_interval"`
	T    *float64 `json:"t"`
	DoF  *float64 `json:"degrees_of_freedom"`
	P    *float64 `json:"p"`

	Digits float64 `json:"-"` // as of a group
}

// Variance is an analysis of variance; with blocks, between the groups beyond what the blocks explain.
type Variance struct {
	F            float64 `json:"f"`
	Between      int     `json:"degrees_of_freedom_between"`
	Within       int     `json:"degrees_of_freedom_within"`
	SumOfBetween float64 `json:"sum_of_squares_between"`
	SumOfWithin  float64 `json:"sum_of_squares_within"`
	P            float64 `json:"p"`
}

// Effects are those of a full plan at two levels. SD and DoF are of one replicate; 0 without replicates.
type Effects struct {
	Effects  []Effect `json:"effects"`
	NotApart []string `json:"not_apart,omitempty"` // effects that can not be told from the blocks
	SD       float64  `json:"standard_deviation"`
	DoF      int      `json:"degrees_of_freedom"`
}

// Effect is what going from the first level to the second does, or what several factors do beyond their sum.
type Effect struct {
	Name string   `json:"name"`
	E    float64  `json:"effect"`
	Half *float64 `json:"half_interval"` // null without a test, as P
	P    *float64 `json:"p"`
}

// Scatter sets the standard deviation of one vessel within its group, and within its block where what is shown rests on
// that, beside what the vessels' own readings are uncertain by.
type Scatter struct {
	SD       float64 `json:"standard_deviation"`
	DoF      int     `json:"degrees_of_freedom"`
	Own      float64 `json:"own_standard_uncertainty"` // of what no other vessel shares, root mean square
	Combined float64 `json:"standard_uncertainty"`     // of one vessel, with what is shared
	Larger   string  `json:"larger"`                   // "scatter" or "instruments"
	Message  string  `json:"message"`
}

// Outlier is a value that Grubbs' test marks.
type Outlier struct {
	Run      int     `json:"run"`
	Vessel   string  `json:"vessel"`
	Group    string  `json:"group"`
	G        float64 `json:"g"`
	Critical float64 `json:"critical"`
	Message  string  `json:"message"`
}
