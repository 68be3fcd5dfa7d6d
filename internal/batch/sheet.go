package batch

import (
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
)

// Day is what is released of one day as the bench reads it.
type Day struct {
	Shop       string
	Date       calendar.Date
	Setup      time.Duration // of all machines
	SetupBound time.Duration // no sequence of these batches can have less setup
	Sheets     []Sheet       // by machine, then sequence
}

// Sheet is everything the bench needs for one batch.
type Sheet struct {
	Batch
	Version     int // of what is printed, 1 upwards; each replaces the one before it
	Gauge       measure.Size
	Tolerance   measure.Size // the measured gauge may differ from Gauge, or from Own, by this much either way
	Own         OwnGauge     `json:",omitzero"` // what the shop's own strings of the recipe measure
	BallEnd     bool
	CoreCut     measure.Size // length to cut, chuck waste included
	WoundLength measure.Size // zero for a plain string
	Core        Load
	Wraps       []Load // innermost first
	Spools      []SpoolDraw
	For         []For
	Cautions    []Caution
}

// OwnGauge is the calibrated gauge of a recipe: what strings of it that the shop has measured give. The zero value says that none were.
type OwnGauge struct {
	Gauge       measure.Size
	Uncertainty measure.Size // standard
	Computed    measure.Size // as core and wraps give it
	Strings     int          // measured
}

// Check is the gauge that a finished string is held against: the shop's own where it has measured the recipe, else the recipe's.
func (s Sheet) Check() measure.Size {
	if s.Own.Strings > 0 {
		return s.Own.Gauge
	}
	return s.Gauge
}

// Load is one wire to put on the machine and what one string takes of it.
type Load struct {
	Wire      material.WireCode
	AlloyName string
	Nickel    bool `json:",omitempty"` // at its surface
	Unsaid    bool `json:",omitempty"` // nobody has said whether there is nickel at its surface
	Form      material.Form
	Lay       measure.Length // advance per turn; zero for a core
	Turns     float64        // over the wound length and waste; zero for a core
	Length    measure.Length // of wire in one string
	Each      measure.MassEach
	After     measure.Size // diameter when this layer is on; the core's own for a core
}

// SpoolDraw is a draw with where the spool is and what it should weigh net before and after.
type SpoolDraw struct {
	Draw
	Lot      string
	Location string
	Before   measure.Mass
	After    measure.Mass
	Tare     measure.Mass // so that the scale can be read directly: gross = net + tare
}

// For is an order that the batch serves.
type For struct {
	Serve
	Customer string
	DueOn    calendar.Date
	Pitch    string
	Status   order.Status
}
