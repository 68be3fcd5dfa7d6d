// Package sequencing puts batches on machines and into sequence: unrelated parallel machines with eligibility, setups that
// depend on the sequence, calendars, and orders that are complete when the last of their batches is (in the literature's
// notation R | M_j, s_ijk | sum w_o T_o with customer orders). Any time unit will do; everything is an integer.
//
// It looks for a plan by constructions and threshold annealing, proves the least plan of few batches by trying all, and
// bounds lateness from below, independently of the search. The same problem gives the same plan on every machine.
package sequencing

import "cmp"

// MaxPlaces is how many places of a machine can hold something that batches leave alone.
const MaxPlaces = 3

// Problem is what is to be put into sequence.
//
// A batch pays Setup after the batch before it, or Start as the first on its machine, and besides the price of each place that
// does not hold what it wants there. A place that it does not want stays as it is for the batches after it.
type Problem struct {
	Machines []Machine
	Batches  []Batch
	Orders   []Order
	Setup    func(machine, from, to int) int64
	Start    func(machine, to int) int64
	Places   []int64 // time to change each place; at most MaxPlaces
	Tick     int64   // lateness counts in begun ticks of time; zero is one
	Prices   Prices
	Kept     [][]int // by machine: a sequence of all batches to begin with; nil for none
	Quick    bool    // without a proof
	Effort   int     // evaluations of each of the two chains; zero chooses by size
}

// Machine is a machine's day.
type Machine struct {
	Regular int64   // work without overtime
	Limit   int64   // work that must not be exceeded; what is beyond it counts before everything else
	Shifts  []Shift // when it works, in order; none: from 0 on without a break
	Loaded  []int   // what each place holds at first; zero is nothing known
}

// Shift is a time in which a machine works. After its last shift a machine goes on working.
type Shift struct{ From, Till int64 }

// Batch is a run of identical strings.
type Batch struct {
	Run   []int64 // by machine
	Takes []bool  // by machine
	Wants []int   // by place; zero leaves it as it is
	Fixed bool    // stays on the machine and at the position that it has in Kept
}

// Order is complete when the last of its batches is. A batch may serve several orders.
type Order struct {
	Due     int64
	Weight  int64
	Batches []int
}

// Prices turn times into the one sum that is least after lateness. Late is the price of a tick of lateness at weight one in
// the search; plans are compared by lateness first whatever it is.
type Prices struct{ Late, Setup, Overtime, Spread int64 }

// Value is what a sequence comes to.
type Value struct {
	Excess   int64 // work beyond the machines' limits
	Late     int64 // weighted lateness, ticks
	Setup    int64
	Overtime int64 // work beyond the regular
	Spread   int64 // between the machine that is busy longest and the one that is busy least
	Cost     int64 // setup, overtime and spread at their prices
}

// Compare orders values: within limits, then less late, then less cost.
func (v Value) Compare(o Value) int {
	return cmp.Or(cmp.Compare(v.Excess, o.Excess), cmp.Compare(v.Late, o.Late), cmp.Compare(v.Cost, o.Cost))
}

// Result is a sequence of all batches.
type Result struct {
	Sequence [][]int // by machine
	Value    Value
	Ends     []int64 // by batch, by the calendar
	Optimal  bool    // every other sequence was shown to be no better
}
