package planning

import (
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/measure"
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
}

// Input is the winding room before the day: everything a plan is made from.
type Input struct {
	Date     calendar.Date
	Machines []Machine
	Demands  []requirements.Demand
	Bench    Bench
	Spools   []stock.Balance
	Practice catalog.Practice
}
