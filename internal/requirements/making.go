package requirements

import (
	"time"

	"windingroom/internal/material"
	"windingroom/internal/measure"
)

// Use is the wire one string takes of one stocked wire.
type Use struct {
	Wire material.WireCode
	Each measure.MassEach
}

// Making is what it takes to make one string: a recipe at a scale length.
type Making struct {
	Core    material.WireCode
	Wraps   []material.WireCode // innermost first; none for a plain string
	Uses    []Use               // distinct wires, core first; a wire in two places is added up
	CoreCut measure.Size        // length the core is cut to, chuck waste included
	Each    time.Duration       // winding and handling of one string
	Yield   float64             // expected share of good strings
}

// Plain says whether the string has no wrap.
func (m Making) Plain() bool { return len(m.Wraps) == 0 }
