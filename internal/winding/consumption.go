package winding

import "windingroom/internal/measure"

// Use is the wire of one kind that one string takes.
type Use struct {
	Length measure.Length
	Kg     float64          // unrounded
	Each   measure.MassEach // Kg rounded to the nanogram: what stock is reckoned with
}

// LayerUse is the wire of one layer of one string.
type LayerUse struct {
	Use
	Turns float64 // over the wound length, without the waste turns
}

// Consumption is what one string takes at one scale length.
type Consumption struct {
	Wound  measure.Length // length covered by each layer; zero for a plain string
	Core   Use
	Layers []LayerUse
}

// At gives what one string of a scale length takes. The scale must not be negative.
func (s String) At(scale measure.Size, a Allowances) Consumption {
	kernel := Compile(s, a)
	c := Consumption{Core: Use{Length: a.CoreCut(scale, s.BallEnd).Metres()}}
	c.Core.Kg, c.Core.Each = kernel.core.at(scale)
	if len(s.Turns) == 0 {
		return c
	}
	c.Wound = a.WoundLength(scale).Metres()
	c.Layers = make([]LayerUse, len(s.Turns))
	for i, t := range s.Turns {
		l := &c.Layers[i]
		l.Turns = float64(c.Wound) / float64(t.Lay)
		l.Length = measure.Length((l.Turns + a.WasteTurns) * float64(t.TurnLength))
		l.Kg, l.Each = kernel.layers[i].at(scale)
	}
	return c
}
