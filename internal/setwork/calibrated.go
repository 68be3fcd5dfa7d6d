package setwork

import (
	"math"

	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/stringdesign"
	"windingroom/internal/winding"
)

// What an answer says beside the computed figures is the shop's own: a gauge from strings that were measured (winding.Gauges.Of), a
// tension from finished strings that were weighed (winding.Masses.Of). The computed figures keep their place and meaning, and sets are
// matched and balanced by them, since few recipes are weighed and a set must not mix two measures.

// CalibratedGauge is what the shop's own measurements say of a string, beside the computed.
type CalibratedGauge struct {
	CalibratedGaugeThou        *float64 `json:"calibrated_gauge_thou,omitempty" doc:"The gauge that the shop's own measurements give, drawn towards the computed where few strings were measured; left out where they say nothing of it."`
	CalibratedGaugeUncertainty *float64 `json:"calibrated_gauge_uncertainty_thou,omitempty" doc:"Its standard uncertainty."`
	CalibratedGaugeFrom        string   `json:"calibrated_gauge_from,omitempty" enum:"recipe,kind" doc:"Measured on strings of this recipe, or told by measured recipes of its kind: as many layers, the same section of core and of outer wrap, the same alloy."`
	CalibratedGaugeStrings     int      `json:"calibrated_gauge_strings,omitempty" doc:"Of this recipe that were measured."`
	CalibratedGaugeRecipes     int      `json:"calibrated_gauge_recipes,omitempty" doc:"Measured recipes of its kind."`
}

// CalibratedTension is the tension that finished strings of a recipe give it, beside the computed.
type CalibratedTension struct {
	CalibratedTensionN     *float64 `json:"calibrated_tension_n,omitempty" doc:"From the mass per length of finished strings that the shop weighed; left out where none was."`
	CalibratedUncertaintyN *float64 `json:"calibrated_tension_uncertainty_n,omitempty" doc:"Its standard uncertainty."`
	WeighedStrings         int      `json:"calibrated_tension_strings,omitempty" doc:"Finished strings weighed."`
}

// calibrate notes the gauge that the shop's measurements give a string.
func (c *Candidate) calibrate(gauges winding.Gauges, measured []winding.Measured) {
	wraps := make([]material.Wire, len(c.layers))
	for i, l := range c.layers {
		wraps[i] = l.wire.Wire
	}
	of := winding.Gauged{Kind: winding.KindOf(c.core.Wire, wraps), Computed: float64(c.string.Gauge) * 1e9, Measured: measured}
	if g, ok := gauges.Of(of); ok {
		c.gauge = &g
	}
}

// bestGauge gives the calibrated gauge in thousandths of an inch where it is known, else the computed one.
func (c *Candidate) bestGauge() float64 {
	if c.gauge != nil {
		return c.gauge.Gauge / float64(measure.Thou)
	}
	return c.string.Gauge.Thou()
}

func (c *Candidate) calibration() CalibratedGauge {
	if c.gauge == nil {
		return CalibratedGauge{}
	}
	thou, uncertain := toTenThousandth(c.gauge.Gauge), toTenThousandth(c.gauge.Uncertainty)
	out := CalibratedGauge{&thou, &uncertain, "recipe", c.gauge.Strings, c.gauge.Recipes}
	if c.gauge.Strings == 0 {
		out.CalibratedGaugeFrom = "kind"
	}
	return out
}

// toTenThousandth gives nanometres in thou, to the ten-thousandth of one: more than any micrometer tells.
func toTenThousandth(nm float64) float64 { return math.Round(nm/float64(measure.Thou)*1e4) / 1e4 }

// pull gives the calibrated tension of a string at its position.
func (a *Alternative) pull() CalibratedTension {
	if a.calibrated == nil {
		return CalibratedTension{}
	}
	n := float64(*a.calibrated)
	uncertain := n * float64(a.mass.Uncertainty/a.mass.PerM)
	return CalibratedTension{&n, &uncertain, a.mass.Strings}
}

// weigh notes the calibrated tension and breaking share at a position.
func (a *Alternative) weigh(p position) {
	if a.mass == nil {
		return
	}
	n := stringdesign.Tension(a.mass.PerM, p.scale.Metres(), p.pitch)
	a.calibrated = &n
	if a.minimum > 0 {
		share := stringdesign.BreakingShare(stringdesign.CoreStress(n, a.string.Core.Area()), a.minimum)
		a.calibratedShare = &share
	}
}

// CalibratedTotal is what a whole set pulls by the shop's own weighings.
type CalibratedTotal struct {
	CalibratedTotalN  *float64 `json:"calibrated_total_n,omitempty" doc:"Calibrated tensions where finished strings were weighed, computed ones for the rest; left out where none was."`
	CalibratedStrings int      `json:"calibrated_strings,omitempty" doc:"How many of the set's strings have a calibrated tension."`
}

func calibratedTotal(list []*Alternative) (out CalibratedTotal) {
	var sum float64
	for _, a := range list {
		if a.calibrated == nil {
			sum += float64(a.Tension)
			continue
		}
		sum += float64(*a.calibrated)
		out.CalibratedStrings++
	}
	if out.CalibratedStrings > 0 {
		out.CalibratedTotalN = &sum
	}
	return out
}
