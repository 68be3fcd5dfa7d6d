package planning

import (
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/requirements"
	"windingroom/internal/stock"
)

// Making is what it takes to make one string: a recipe at a scale length.
type Making struct {
	Core    material.WireCode
	Wraps   []material.WireCode // innermost first; none for a plain string
	Uses    []requirements.Use  // distinct wires, core first
	CoreCut measure.Size
	Each    time.Duration // winding and handling of one string
	Yield   float64       // expected share of good strings
}

// Plain says whether the string has no wrap.
func (m Making) Plain() bool { return len(m.Wraps) == 0 }

// Machine is a winding machine with what is on it when the day begins.
type Machine struct {
	catalog.Machine
	Loaded Loaded
}

// Room is the winding room before the day: everything a plan is made from.
type Room struct {
	Date     calendar.Date
	Machines []Machine
	Demands  []requirements.Demand
	Making   func(catalog.RecipeCode, measure.Size) (Making, error) // of every recipe and scale in Demands
	Spools   []stock.Balance
	Practice catalog.Practice
}
