package planning

import (
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/stock"
)

// Place is one wire with its spool on a machine; the zero value is an empty or unknown place.
type Place struct {
	Wire  material.WireCode
	Spool stock.SpoolCode
}

// Loaded is what a machine has on it: the zero value means that nothing is known.
type Loaded struct {
	Core  Place
	Wraps [catalog.MaxWraps]Place // by layer, innermost first
	Scale measure.Size
}

// Why is the reason why a string is not in the plan.
type Why string

// The reasons.
const (
	NoWire    Why = "wire"
	NoTime    Why = "time"
	NoMachine Why = "machine"
)

// Unplanned is some strings of one order position that the plan leaves out.
type Unplanned struct {
	Order    order.Code
	Line     int
	Position int
	Strings  int
	Why      Why
	Detail   string // a sentence for people: which wire and how much, which length
}

// MachineDay is one machine's day.
type MachineDay struct {
	Machine catalog.MachineCode
	Batches []batch.Batch // in sequence
	After   Loaded        // what is on the machine when the day is done
}

// Plan is one day of the winding room.
type Plan struct {
	Date       calendar.Date
	Machines   []MachineDay // by code; a machine without work has no batches
	NotPlanned []Unplanned  // by order, line, position
	Setup      time.Duration
	SetupBound time.Duration // proven: no sequence of these batches has less setup
	Late       []order.Code  // due before the date, or due on it and not fully planned
}
