package promise

import (
	"maps"
	"slices"

	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/planning"
	"windingroom/internal/requirements"
)

// Asked is an order that someone wants a day for.
type Asked struct {
	Order   order.Code
	DueOn   calendar.Date         // wanted by; zero where nobody said
	Demands []requirements.Demand // its strings that no released batch winds and finished stock does not have
	From    int                   // first of the room's days on which they may be wound
	HeldTo  calendar.Date         // of an order that is taken on already: it has its place by this day; zero for one that still asks
}

// Answer is the day that may be promised, and why it is that one.
type Answer struct {
	On         calendar.Date // all strings are wound when this day is over; zero: it cannot be promised
	Planned    bool          // found by planning the days; else reckoned beyond them
	Confidence float64       // that yields, and receipts where one is counted on, do not make it late
	Holds      calendar.Date // the day to hold it to: the due day where that can be kept, else On
	Decides    Reason
	Earlier    []Unlock // what would make it earlier, or possible at all; the earliest first
}

// Reason says what decides a promise.
type Reason struct {
	What    What
	Machine catalog.MachineCode // whose time it is
	Wire    material.WireCode   // that is waited for, or short
	Short   measure.Mass        // of which so much is missing
	Lacks   []Lack              // all wires that are short, by code
	Whole   []Lack              // what of the order's wires all orders together lack, with all that is on its way
	Receipt *Receipt            // that is waited for
	Orders  []order.Code        // taken on before, which would be late otherwise
	Detail  string              // in the words of the plan
}

// Lack is a wire of which so much is missing.
type Lack struct {
	Wire material.WireCode
	Mass measure.Mass
}

// lacking makes a reason of the wires that are short, the one of which most is missing first.
func lacking(short map[material.WireCode]measure.Mass, late []order.Code) Reason {
	reason := Reason{What: ByWire, Orders: late}
	for _, w := range slices.Sorted(maps.Keys(short)) {
		reason.Lacks = append(reason.Lacks, Lack{w, short[w]})
		if short[w] > reason.Short {
			reason.Wire, reason.Short = w, short[w]
		}
	}
	return reason
}

// What decides.
type What string

// What may decide.
const (
	Nothing  What = "nothing" // it is wound on the first day there is
	ByTime   What = "time"
	ByWire   What = "wire" // short, and nothing on its way brings enough
	Arrival  What = "receipt"
	ByOrders What = "orders"  // the others keep their place
	NoWay    What = "machine" // no machine takes its strings
)

// Unlock is something that the shop might do, and the day that it would make possible.
type Unlock struct {
	How     How
	On      calendar.Date
	Machine catalog.MachineCode // with so many minutes more each day
	Minutes int
	Receipt *Receipt
	Days    int // the receipt would come earlier than it is counted on
	Buys    []Bought
}

// Bought is wire that would be bought today.
type Bought struct {
	Wire material.WireCode
	Mass measure.Mass
	Days int // from today to the shelf
}

// How a day is unlocked.
type How string

// The ways.
const (
	Overtime    How = "overtime"
	EarlierWire How = "receipt earlier"
	Arrives     How = "overdue receipt arrives"
	Buy         How = "buy"
)

// whyOf turns a plan's reason into one of a promise.
func whyOf(w planning.Why) What {
	switch w {
	case planning.ForWire:
		return ByWire
	case planning.ForMachine:
		return NoWay
	default:
		return ByTime
	}
}
