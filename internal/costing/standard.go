package costing

import (
	"time"

	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// Standard is what a batch of a recipe at a scale length should take (IAS 2, paragraph 21, read in a copy: standards take account of
// normal levels of materials, labour and efficiency, and are reviewed).
type Standard struct {
	Wires   []StandardWire // each wire once
	Setup   time.Duration  // of the batch; whoever wound first bears it
	Time    time.Duration  // of winding and handling one string
	PerHour money.Minor
}

// StandardWire is the wire of one string at its standard price.
type StandardWire struct {
	Wire  material.WireCode
	Each  measure.MassEach // computed from the recipe
	PerKg money.Minor
}

func (w StandardWire) price(m measure.Mass) money.Minor {
	return money.Share(w.PerKg, int64(m), int64(measure.Kilogram))
}

func (s Standard) wire(code material.WireCode) (StandardWire, bool) {
	for _, w := range s.Wires {
		if w.Wire == code {
			return w, true
		}
	}
	return StandardWire{}, false
}

func (s Standard) labour(t time.Duration) money.Minor { return LabourCost(t, s.PerHour) }

// winding gives the labour that strings should take, with the setup or without.
func (s Standard) winding(strings int, setup bool) money.Minor {
	t := s.Time * time.Duration(strings)
	if setup {
		t += s.Setup
	}
	return s.labour(t)
}

// Cost gives what good strings should cost together, with the scrap that the yield lets expect, in one batch.
func (s Standard) Cost(good int, yield float64) Cost {
	return Compare(Batch{Good: good, Yield: yield}, s).Standard
}
