package stock

import (
	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/measure"
)

// Usage is earlier consumption, kept for forecasting only; it moves no stock. Equal rows of one day are told apart by Nth,
// 1 upwards; where rows are counted, Nth is zero.
type Usage struct {
	On    calendar.Date
	Wire  material.WireCode
	Mass  measure.Mass
	Order string // empty where none was noted
	Nth   int
}
