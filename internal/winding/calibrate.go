package winding

import (
	"errors"
	"fmt"
	"math"

	"windingroom/internal/measure"
)

// Weighing is the wrap wire that a number of strings of one recipe really took, beside what was computed for them.
type Weighing struct {
	Measured   measure.Mass // by the scale: spool before less spool after, or finished strings less their cores
	Computed   float64      // milligrams, unrounded
	Resolution measure.Mass // smallest step of the scale
	Readings   int          // readings of the scale in Measured: 2 for a spool before and after
	Systematic float64      // standard uncertainty in milligrams beyond the scale's, the same way in every weighing
	Vouched    bool         // the owner gave a word for it: a factor that would be questioned is believed
}

// Factor is measured ÷ computed mass of the wrap, with its standard error.
type Factor struct {
	Value     float64
	StdError  float64
	Weighings int
}

// Factors outside these limits are more likely a wrong recipe or spool than wire that winds differently: corners that bite
// and wire that stretches or bulges off the flats stay within 3 % of the computed wrap. Judgement; no source.
const (
	lowestFactor  = 0.93
	highestFactor = 1.07
)

// ErrQuestioned says that a factor is too far from 1 to be believed. It is to be shown to a person, and not learned.
var ErrQuestioned = errors.New("factor is outside 0.93 to 1.07: more likely a wrong recipe or spool than wire that winds differently")

// ErrNoWeighing says that nothing was weighed.
var ErrNoWeighing = errors.New("no weighing to calibrate from")

// Calibrate estimates the factor of one recipe as total measured over total computed mass. Its standard error is the larger
// of two: what the steps of the scale alone leave open, and, from two weighings on, what their spread shows (the ratio
// estimator of Cochran, Sampling Techniques, chapter 6, from memory); what all weighings have in common comes on top, as the root of
// the sum of squares. The error wraps ErrQuestioned for a factor that is not
// to be learned; the factor is returned all the same, to be shown.
func Calibrate(weighings []Weighing) (Factor, error) {
	if len(weighings) == 0 {
		return Factor{}, ErrNoWeighing
	}
	var measured, computed, systematic float64
	vouched := false
	for i, w := range weighings {
		if w.Measured <= 0 || !positive(w.Computed) || w.Resolution < 0 || w.Readings < 0 || !(w.Systematic >= 0) {
			return Factor{}, fmt.Errorf("weighing %d: measured and computed mass must be more than zero", i)
		}
		measured += float64(w.Measured)
		computed += w.Computed
		systematic += w.Systematic
		vouched = vouched || w.Vouched
	}
	f := Factor{Value: measured / computed, Weighings: len(weighings)}
	f.StdError = math.Hypot(math.Max(scaleError(weighings), spreadError(weighings, f.Value)), systematic) / computed
	if !vouched && !(f.Value >= lowestFactor && f.Value <= highestFactor) {
		return f, fmt.Errorf("%w (it is %.3f)", ErrQuestioned, f.Value)
	}
	return f, nil
}

// scaleError gives the standard uncertainty in milligrams that the steps of the scale leave in the total: a reading
// rounded to a step d is off by d/√12 (rectangular distribution; GUM, JCGM 100:2008, 4.3.7, from memory).
func scaleError(weighings []Weighing) float64 {
	var variance float64
	for _, w := range weighings {
		d := float64(w.Resolution)
		variance += float64(d * d / 12 * float64(w.Readings))
	}
	return math.Sqrt(variance)
}

// spreadError gives the standard error in milligrams of the total that the weighings' disagreement shows.
func spreadError(weighings []Weighing, factor float64) float64 {
	n := float64(len(weighings))
	if n < 2 {
		return 0
	}
	var squares float64
	for _, w := range weighings {
		off := float64(w.Measured) - float64(factor*w.Computed)
		squares += float64(off * off)
	}
	return math.Sqrt(squares * n / (n - 1))
}
