package winding

import (
	"math"

	"windingroom/internal/material"
	"windingroom/internal/measure"
)

// Measured is a number of strings of one recipe whose gauge was measured.
type Measured struct {
	Strings int
	Mean    float64 // nm
	SD      float64 // of one string; zero for a single one
	Step    measure.Size
}

// Gauge pools measured gauges: their mean and its standard uncertainty in nanometres, from their spread (type A) and the step of the
// micrometer (type B, step/√12), combined as the root of the sum of squares (GUM, JCGM 100:2008, 4.2 and 4.3.7, from memory). Nothing
// measured gives zeros.
func Gauge(list []Measured) (mean, uncertainty float64, strings int) {
	mean, squares, step, strings := pooled(list)
	if strings == 0 {
		return 0, 0, 0
	}
	variance := float64(step * step / 12)
	if n := float64(strings); strings > 1 {
		variance += squares / (n - 1) / n
	}
	return mean, math.Sqrt(variance), strings
}

// pooled gives the mean, the sum of squared differences from it and the coarsest step.
func pooled(list []Measured) (mean, squares, step float64, strings int) {
	var sum float64
	for _, m := range list {
		strings += m.Strings
		sum += float64(m.Mean * float64(m.Strings))
		step = math.Max(step, float64(m.Step))
	}
	if strings == 0 {
		return 0, 0, 0, 0
	}
	mean = sum / float64(strings)
	for _, m := range list {
		off := m.Mean - mean
		squares += float64(float64(m.Strings-1)*float64(m.SD*m.SD)) + float64(float64(m.Strings)*float64(off*off))
	}
	return mean, squares, step, strings
}

// What is believed of gauges before enough was measured. Judgements, no source: strings of one recipe differ by a fifth of a thousandth
// among themselves (standard deviation), which counts as much as four strings' own spread; the computed gauge is right to 1 %, from
// the ±.0003 in that ASTM A228 leaves wire of usual sizes, which core and wrap put on a string of .030 in; recipes of a kind differ by a third of that at least.
const (
	usualScatter  = float64(measure.Thou) / 5
	scatterCounts = 4
	unknownGauge  = 0.01
	leastGauge    = unknownGauge / 3 // that recipes of a kind differ among themselves, however well a few of them agree
	enoughRecipes = 3                // measured ones of a kind, before a string that was never measured is told by them
)

// GaugeFactor gives the measured ÷ computed gauge of a recipe with its standard error; Weighings counts strings. Unlike Gauge's
// uncertainty the error is honest for one string or two: the spread of the strings is drawn towards the usual one (the
// scaled inverse χ² prior of a normal variance; Gelman et al., Bayesian Data Analysis, section 2.6, from memory).
// computed is in nanometres. Nothing measured gives zeros.
func GaugeFactor(computed float64, list []Measured) Factor {
	mean, squares, step, strings := pooled(list)
	if strings == 0 {
		return Factor{}
	}
	n := float64(strings)
	scatter := (float64(scatterCounts*usualScatter*usualScatter) + squares) / (scatterCounts + n - 1)
	return Factor{Value: mean / computed, StdError: math.Sqrt(scatter/n+float64(step*step/12)) / computed, Weighings: strings}
}

// Kind is what strings have in common whose wraps bite into the core and bulge off it alike.
type Kind struct {
	Layers int
	Core   material.Section
	Wrap   material.Section   // of the outermost layer; empty for a plain string
	Alloy  material.AlloyCode // of the outermost layer; of a plain string its own
}

// KindOf gives the kind of a string by its wires, wraps innermost first.
func KindOf(core material.Wire, wraps []material.Wire) Kind {
	k := Kind{Layers: len(wraps), Core: core.Form.Section, Alloy: core.Alloy}
	if n := len(wraps); n > 0 {
		k.Wrap, k.Alloy = wraps[n-1].Form.Section, wraps[n-1].Alloy
	}
	return k
}

// Gauged is a recipe with what was measured of it.
type Gauged struct {
	Kind     Kind
	Computed float64 // nm
	Measured []Measured
}

// Gauges is what measured strings have taught.
type Gauges struct {
	families map[Kind]Family
	recipes  map[Kind]int // measured ones
}

// LearnGauges learns from all recipes at once: how the measured gauge of each kind of string differs from the computed one, and how
// much recipes of a kind differ among themselves (FamilyOf, from two measured recipes on; before that the computed gauge is taken for right).
func LearnGauges(all []Gauged) Gauges {
	factors := map[Kind][]Factor{}
	for _, g := range all {
		if f := GaugeFactor(g.Computed, g.Measured); f.Weighings > 0 {
			factors[g.Kind] = append(factors[g.Kind], f)
		}
	}
	out := Gauges{map[Kind]Family{}, map[Kind]int{}}
	for kind, list := range factors {
		out.families[kind], out.recipes[kind] = Family{Mean: 1, Spread: unknownGauge}.learn(list, leastGauge), len(list)
	}
	return out
}

// LearnedGauge is the gauge that the shop's own measurements give a string, in nanometres.
type LearnedGauge struct {
	Gauge       float64
	Uncertainty float64 // standard
	Strings     int     // of its own that were measured; 0 where it is told by its kind
	Recipes     int     // of its kind that were measured
}

// Of gives the calibrated gauge of a string: its own mean, drawn towards the computed gauge times its kind's factor, each by its
// precision (Factor.Shrink). A wound string that was never measured has its kind's where three recipes or more of it were: its
// uncertainty is then how much recipes of the kind differ. A plain wire is told by no other, since each lot's diameter is its own. ok is false
// where the shop has no measurement that says anything.
func (g Gauges) Of(s Gauged) (learned LearnedGauge, ok bool) {
	family, known := g.families[s.Kind]
	own := GaugeFactor(s.Computed, s.Measured)
	switch {
	case own.Weighings == 0 && (s.Kind.Layers == 0 || g.recipes[s.Kind] < enoughRecipes):
		return LearnedGauge{}, false
	case !known || s.Kind.Layers == 0:
		family = Family{Mean: 1, Spread: unknownGauge}
	}
	f := own.Shrink(family)
	if own.Weighings == 0 { // the mean of the kind is itself known from so many recipes only
		f.StdError *= math.Sqrt(1 + 1/float64(g.recipes[s.Kind]))
	}
	return LearnedGauge{float64(f.Value * s.Computed), float64(f.StdError * s.Computed), own.Weighings, g.recipes[s.Kind]}, true
}
