package batch

import (
	"errors"

	"windingroom/internal/measure"
	"windingroom/internal/stock"
	"windingroom/internal/winding"
)

// Weighed turns a batch's draw from a spool and its share of the difference that a weighing of the spool found into a
// measurement of the recipe: what it really took is the draw less the share, which is below zero where wire was missing. What was
// computed is the mass without any calibration, in milligrams; the scale was read before and after.
func Weighed(drawn measure.Mass, computed float64, share stock.Share, scale stock.Scale) winding.Weighing {
	return winding.Weighing{Measured: drawn - share.Mass, Computed: computed, Resolution: scale.Resolution, Readings: 2}
}

// LearnFactor estimates the wire factor of a recipe, measured over computed mass weighed by mass, drawn towards its family's
// by precision (winding.Calibrate, winding.Factor.Shrink). A recipe that was never weighed has its family's factor. A factor
// outside 0.93 to 1.07 is not learned: the family's comes with an error that wraps winding.ErrQuestioned, to be shown.
func LearnFactor(weighings []winding.Weighing, family winding.Family) (winding.Factor, error) {
	own, err := winding.Calibrate(weighings)
	switch {
	case errors.Is(err, winding.ErrNoWeighing):
		return winding.Factor{}.Shrink(family), nil
	case err != nil:
		return winding.Factor{}.Shrink(family), err
	}
	return own.Shrink(family), nil
}
