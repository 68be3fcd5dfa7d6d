// Package batch holds winding batches: identical strings wound in one run on one machine, the spools they draw on and the
// orders they serve.
package batch

import (
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/stock"
)

// Code names a batch.
type Code string

// Status is where a batch stands.
type Status string

// The life of a batch.
const (
	Proposed Status = "proposed"
	Released Status = "released"
	Finished Status = "finished"
)

// Draw is the wire a batch takes from one spool, whole strings only.
type Draw struct {
	Spool   stock.SpoolCode
	Wire    material.WireCode
	Strings int
	Mass    measure.Mass     // Strings × mass each, rounded once
	Each    measure.MassEach // of the wire in one string, as the plan counted it; zero where that was not noted
	// Allocated is what of Mass is still promised on the spool: all of it when the plan is released, less as strings are wound,
	// nothing before and after.
	Allocated measure.Mass
}

// Serve says for which string of which order some of the strings are wound.
type Serve struct {
	Order    order.Code
	Line     int
	Position int
	Strings  int
}

// Batch is a run of identical strings: one recipe at one scale length.
type Batch struct {
	Code     Code
	Date     calendar.Date
	Machine  catalog.MachineCode
	Sequence int // on its machine that day, 1 upwards
	Status   Status
	Recipe   catalog.RecipeCode
	Scale    measure.Size

	Ordered int // strings that orders want of it
	ToWind  int // with overage
	Setup   time.Duration
	Run     time.Duration
	Delay   time.Duration // of Run: how much longer it takes than reckoned
	Starts  time.Duration // after the start of the machine's day; setup begins here
	Ends    time.Duration

	Draws  []Draw  // by wire in the order they are loaded, then in the order the spools are used
	Serves []Serve // by order, line, position
}
