package planning

import (
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/requirements"
	"windingroom/internal/stock"
)

// Bench knows what it takes to make one string of a recipe at a scale length. The error names what is wrong.
type Bench interface {
	Making(recipe catalog.RecipeCode, scale measure.Size) (requirements.Making, error)
}

// Machine is a winding machine with what is on it when the day begins.
type Machine struct {
	catalog.Machine
	Loaded Loaded
	Shifts []Shift // when it is worked; none: from the start of the day for its minutes per day
	Down   bool    // winds nothing this day
}

// Terms are what an order asks for besides its due date. The zero value is an ordinary order.
type Terms struct {
	Weight int           // how much a minute of its lateness counts; below one is one
	DueAt  time.Duration // after the start of the day it is due on; zero is any time of that day
}

// Input is the winding room before the day: everything a plan is made from.
type Input struct {
	Date     calendar.Date
	Machines []Machine
	Demands  []requirements.Demand
	Bench    Bench
	Spools   []stock.Balance
	Practice catalog.Practice

	Terms         map[order.Code]Terms // of orders that are not ordinary
	Overtime      time.Duration        // that the lead allows on each machine
	ScrapPerMount measure.Size         // length of string whose wire may be scrapped to save a change of spool; zero is 200 mm

	Quick bool // a day that is only looked at: its sequence is searched briefly, and nothing is proven of it

	Before     []batch.Batch // of the plans of the day that this one follows, the last first: a batch of the same strings keeps its code
	LastNumber int           // the highest that a batch of the day was ever given; new batches get higher ones
}
