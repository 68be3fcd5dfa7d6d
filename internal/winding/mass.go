package winding

import (
	"math"

	"windingroom/internal/measure"
)

// What was weighed bears on two things, and not every weighing on both. A spool that was weighed before and after a batch tells what
// the batch took: the wrap on the strings and also the turns lost at start and finish, tangled ends, what fell under the bench. That
// bears on consumption, and says little of the string. Finished strings have only what stays on them, so they alone tell the mass per
// length, and with it the tension.

// FinishedStrings is a weighing of finished strings beside what one of them weighs as computed at its scale length.
type FinishedStrings struct {
	FinishedWeighing
	Each Finished
}

// Weighed is a recipe with the finished strings of it that were weighed.
type Weighed struct {
	Kind    Kind
	String  String
	Strings []FinishedStrings
}

// LearnedMass is the mass per length that finished strings give a recipe.
type LearnedMass struct {
	PerM        measure.LinearDensity
	Uncertainty measure.LinearDensity // standard
	Strings     int                   // weighed
}

// Masses is what finished strings have taught.
type Masses struct{ families map[Kind]Family }

// LearnMasses learns from all recipes at once how the wraps of each kind of string differ from the computed (FamilyOf).
func LearnMasses(all []Weighed) Masses {
	factors := map[Kind][]Factor{}
	for _, w := range all {
		if f, err := Calibrate(w.wraps()); err == nil {
			factors[w.Kind] = append(factors[w.Kind], f)
		}
	}
	out := Masses{map[Kind]Family{}}
	for kind, list := range factors {
		out.families[kind] = FamilyOf(list)
	}
	return out
}

// Of gives the calibrated mass per length of a recipe: the core as it was weighed bare, else as computed, and the wraps by their own
// factor drawn towards their kind's (Factor.Shrink). ok is false where no finished string of the recipe was weighed, or what was
// weighed is questioned. Where cores were not weighed, a core heavier than computed makes the wraps lighter by as much, so its tolerance, which is in the
// uncertainty of the wraps, is not counted a second time.
func (m Masses) Of(w Weighed) (learned LearnedMass, ok bool) {
	own, err := Calibrate(w.wraps())
	if err != nil {
		return LearnedMass{}, false
	}
	family, known := m.families[w.Kind]
	if !known {
		family = UnknownFamily()
	}
	for _, s := range w.Strings {
		learned.Strings += s.Strings
	}
	f := own.Shrink(family)
	if len(w.String.Turns) == 0 {
		learned.PerM = measure.LinearDensity(f.Value) * w.String.CorePerM
		learned.Uncertainty = measure.LinearDensity(f.StdError) * w.String.CorePerM
		return learned, true
	}
	wraps := w.String.MassPerM - w.String.CorePerM
	core := w.core()
	learned.PerM = measure.LinearDensity(core.Value)*w.String.CorePerM + measure.LinearDensity(f.Value)*wraps
	learned.Uncertainty = measure.LinearDensity(math.Hypot(core.StdError*float64(w.String.CorePerM), f.StdError*float64(wraps)))
	return learned, true
}

// wraps are the weighings of the wraps; of plain strings of the wire itself.
func (w Weighed) wraps() []Weighing {
	all := make([]Weighing, len(w.Strings))
	for i, s := range w.Strings {
		all[i] = s.Weighing(w.String, s.Each)
	}
	return all
}

// core gives the factor of bare cores that were weighed, drawn towards 1 by what their diameter's tolerance leaves open (rectangular; GUM,
// JCGM 100:2008, 4.3.7, from memory); 1 where none were.
func (w Weighed) core() Factor {
	var all []Weighing
	for _, s := range w.Strings {
		if s.Cores > 0 {
			all = append(all, Weighing{Measured: s.Cores, Computed: float64(s.FinishedWeighing.Strings) * s.Each.Core, Resolution: s.Resolution, Readings: 2, Vouched: s.Vouched})
		}
	}
	own, err := Calibrate(all)
	if err != nil {
		return Factor{Value: 1}
	}
	d := w.String.Core.OverCorners()
	return own.Shrink(Family{Mean: 1, Spread: 2 * float64(tolerance(d)) / float64(d) / math.Sqrt(3)})
}
