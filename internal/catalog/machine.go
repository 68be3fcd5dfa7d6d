package catalog

import (
	"time"

	"windingroom/internal/measure"
)

// MachineCode names a winding machine.
type MachineCode string

// Winds says which strings a machine makes.
type Winds string

// What a machine winds.
const (
	WindsPlain Winds = "plain"
	WindsWound Winds = "wound"
	WindsBoth  Winds = "both"
)

// Machine is one winding machine with what it can take in a day.
type Machine struct {
	Code    MachineCode
	Winds   Winds
	Longest measure.Size  // longest core cut it takes
	PerDay  time.Duration // working time a day, setup included
	Shifts  Shifts        // when it is worked; where there are any, their length is PerDay
}

// Takes says whether the machine can make a plain or wound string of this core cut.
func (m Machine) Takes(plain bool, coreCut measure.Size) bool {
	if coreCut > m.Longest {
		return false
	}
	return m.Winds == WindsBoth || (m.Winds == WindsPlain) == plain
}
