package planning

import (
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/order"
)

// Plan is a proposed day.
type Plan struct {
	Date       calendar.Date
	Machines   []MachineDay // by machine code, machines without work too
	NotPlanned []NotPlanned // in due order
	Setup      time.Duration
	SetupBound time.Duration // no sequence of these batches on these machines can have less setup; see bound.go
	Overtime   time.Duration // of all machines, of what the lead allows
	Lateness   int64         // minutes, weighted: of the orders that are complete with this day, beyond their due time
	LateBound  int64         // no sequence of these batches can have less
	Optimal    bool          // no sequence of these batches is better in lateness, then in setup, overtime and spread
	Proof      string        // how good the plan is shown to be, in words
	Pinned     []batch.Code  // stay at their place when the day is planned again
	Held       []Held        // left out until they are resumed
	Delayed    []Delayed     // strings that are not in the day; the next batch of them takes so much longer
	Late       []order.Code  // due before the day, or due on it and not planned whole; in due order
}

// MachineDay is one machine's day.
type MachineDay struct {
	Machine catalog.MachineCode
	Batches []batch.Batch // in sequence
	After   Loaded        // what is on the machine when the day's work is done
}

// Why says what keeps strings out of a plan.
type Why string

// The reasons, as the plan's JSON spells them.
const (
	ForWire    Why = "wire"
	ForTime    Why = "time"
	ForMachine Why = "machine"
)

// NotPlanned is a number of equal strings that did not get into the day.
type NotPlanned struct {
	Order    order.Code
	Line     int
	Position int
	Strings  int
	Why      Why
	Detail   string
}
