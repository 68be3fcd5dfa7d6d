package workshop

import (
	"math"

	"windingroom/internal/batch"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/winding"
)

// teachings are the calibrations that count, by recipe: those that stand, of a recipe that still computes to what it did when it was
// weighed or measured.
type teachings struct {
	measured map[catalog.RecipeCode][]winding.Measured
	weighed  map[catalog.RecipeCode][]winding.FinishedStrings
}

func teachingsOf(r Reader, b weighBench) (t teachings, err error) {
	list, err := r.Calibrations()
	if err != nil {
		return t, err
	}
	t = teachings{map[catalog.RecipeCode][]winding.Measured{}, map[catalog.RecipeCode][]winding.FinishedStrings{}}
	for _, c := range standing(list) {
		if m, ok := b.gauged(c); ok {
			t.measured[c.Recipe] = append(t.measured[c.Recipe], m)
		}
		if f, ok := b.finished(c); ok {
			t.weighed[c.Recipe] = append(t.weighed[c.Recipe], f)
		}
	}
	return t, nil
}

// standing gives the calibrations that were not taken back.
func standing(list []Calibration) []Calibration {
	back := map[int64]bool{}
	for _, c := range list {
		back[c.Reverses] = true
	}
	var stand []Calibration
	for _, c := range list {
		if c.Reverses == 0 && !back[c.Number] {
			stand = append(stand, c)
		}
	}
	return stand
}

// sameBuild is by how much, as a share, what a recipe computes to may differ from when it was calibrated: not at all but for rounding.
const sameBuild = 1e-9

// finished turns a calibration into finished strings of the recipe as it is now; ok is false where nothing was weighed, or the recipe or the
// practice has changed so that it computes to another mass than when it was.
func (b weighBench) finished(c Calibration) (f winding.FinishedStrings, ok bool) {
	s, err := b.String(c.Recipe)
	if err != nil || c.Strings == 0 {
		return f, false
	}
	f = winding.FinishedStrings{
		FinishedWeighing: winding.FinishedWeighing{Strings: c.Strings, Mass: c.Mass, Cores: c.Cores, Ends: c.Ends, Resolution: c.Resolution, Vouched: c.Vouched},
		Each:             s.Finished(c.Scale, b.practice.Allowances),
	}
	computed := float64(c.Strings) * (f.Each.Core + f.Each.Wraps)
	return f, math.Abs(computed-c.Computed) <= sameBuild*computed
}

// gauged turns a calibration into what was measured of the recipe as it is now; ok is false where nothing was measured, or the recipe has
// changed. What was measured before the computed gauge was kept with it counts where it would be believed today.
func (b weighBench) gauged(c Calibration) (m winding.Measured, ok bool) {
	s, err := b.String(c.Recipe)
	if err != nil || c.Gauges == 0 {
		return m, false
	}
	computed := float64(s.Gauge) * 1e9
	m = winding.Measured{Strings: c.Gauges, Mean: c.Gauge, SD: c.GaugeSD, Step: c.GaugeStep}
	if c.GaugeComputed > 0 {
		return m, math.Abs(computed-c.GaugeComputed) <= sameBuild*computed
	}
	off := math.Abs(c.Gauge/computed - 1)
	return m, off <= questionedGauge || c.Vouched && off <= mostGauge
}

// gauges learns from the measured gauges of all recipes, and gives what is known of each.
func (b weighBench) gauges(t teachings) (winding.Gauges, map[catalog.RecipeCode]winding.Gauged) {
	kind, of := kindsOf(b.wires), make(map[catalog.RecipeCode]winding.Gauged, len(b.recipes))
	var all []winding.Gauged
	for _, c := range b.recipes {
		if s, err := b.String(c.Code); err == nil {
			of[c.Code] = winding.Gauged{Kind: kind(c), Computed: float64(s.Gauge) * 1e9, Measured: t.measured[c.Code]}
			all = append(all, of[c.Code])
		}
	}
	return winding.LearnGauges(all), of
}

// ownGauges gives the calibrated gauge of the recipes of which strings were measured, to the hundredth of a thousandth. One that is only told
// by recipes of its kind is not there: a string at the bench is held against strings, not against an expectation of them.
func ownGauges(r Reader) (map[catalog.RecipeCode]batch.OwnGauge, error) {
	if list, err := r.Calibrations(); err != nil || len(list) == 0 {
		return nil, err
	}
	b, err := computedBench(r)
	if err != nil {
		return nil, err
	}
	taught, err := teachingsOf(r, b)
	if err != nil {
		return nil, err
	}
	gauges, all := b.gauges(taught)
	own := map[catalog.RecipeCode]batch.OwnGauge{}
	for code, one := range all {
		if g, ok := gauges.Of(one); ok && g.Strings > 0 {
			own[code] = batch.OwnGauge{Gauge: hundredth(g.Gauge), Uncertainty: hundredth(g.Uncertainty), Computed: hundredth(one.Computed), Strings: g.Strings}
		}
	}
	return own, nil
}

// hundredth rounds nanometres to the hundredth of a thousandth of an inch, finer than a micrometer at a bench is read.
func hundredth(nm float64) measure.Size {
	const step = float64(measure.Thou) / 100
	return measure.Size(math.Round(nm/step) * step)
}

// masses gives the calibrated mass per length of each recipe of which finished strings were weighed.
func (b weighBench) masses(t teachings) map[catalog.RecipeCode]winding.LearnedMass {
	kind, of := kindsOf(b.wires), map[catalog.RecipeCode]winding.Weighed{}
	var all []winding.Weighed
	for _, c := range b.recipes {
		if s, err := b.String(c.Code); err == nil && len(t.weighed[c.Code]) > 0 {
			of[c.Code] = winding.Weighed{Kind: kind(c), String: s, Strings: t.weighed[c.Code]}
			all = append(all, of[c.Code])
		}
	}
	masses, learned := winding.LearnMasses(all), map[catalog.RecipeCode]winding.LearnedMass{}
	for code, one := range of {
		if m, ok := masses.Of(one); ok {
			learned[code] = m
		}
	}
	return learned
}

func kindsOf(wires []material.Wire) func(catalog.Recipe) winding.Kind {
	of := make(map[material.WireCode]material.Wire, len(wires))
	for _, w := range wires {
		of[w.Code] = w
	}
	return func(c catalog.Recipe) winding.Kind {
		wraps := make([]material.Wire, len(c.Wraps))
		for i, w := range c.Wraps {
			wraps[i] = of[w.Wire]
		}
		return winding.KindOf(of[c.Core], wraps)
	}
}
