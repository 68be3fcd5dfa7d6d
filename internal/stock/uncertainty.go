package stock

import (
	"math"
	"slices"

	"windingroom/internal/measure"
	"windingroom/internal/winding"
)

// Uncertainty is a standard uncertainty of a mass in milligrams: one standard deviation.
type Uncertainty float64

// And gives the uncertainty of a sum or difference of two masses that err independently (root of the sum of squares; GUM,
// JCGM 100:2008, 5.1.2, from memory).
func (u Uncertainty) And(v Uncertainty) Uncertainty {
	return Uncertainty(math.Sqrt(float64(u*u) + float64(v*v)))
}

// coverage is the factor k of an expanded uncertainty: about 95 % of a normal distribution lie within (GUM, 6.3.3, from memory).
const coverage = 2

// Expanded gives the expanded uncertainty, k = 2, rounded up to the milligram (GUM, 7.2.6, from memory).
func (u Uncertainty) Expanded() measure.Mass {
	const lastDigits = 1e-6 // milligrams: what the last digits of a float64 add is not rounded up
	return measure.Mass(math.Ceil(float64(coverage*u) - lastDigits))
}

// Drawn is wire that was taken off a spool by computation and not by weighing.
type Drawn struct {
	Source   string       // what drew it, as the ledger names it: a batch
	Recipe   string       // whose wire factor the computation hangs on; empty where it stands alone
	Mass     measure.Mass // what was taken, less what was put back
	Relative float64      // standard error of the recipe's wire factor; zero where it is not known
}

// unknownRelative is the relative uncertainty of computed consumption before the recipe was ever weighed: that of a recipe
// of which nothing is known. Judgement, as told there.
func unknownRelative() float64 { return winding.UnknownFamily().Spread }

// BookUncertainty gives the uncertainty of a balance: that of the last weighing (or of the receipt), made on the same scale, and
// of all that was drawn since by computation only. Draws of one recipe share its wire factor, so they err together and
// add up; those of different recipes are independent (GUM, 5.2.2, from memory).
func BookUncertainty(s Scale, drawn []Drawn) Uncertainty {
	total := s.Net()
	for i, d := range drawn {
		if slices.ContainsFunc(drawn[:i], d.errsWith) {
			continue
		}
		var together float64
		for _, other := range drawn[i:] {
			if d.errsWith(other) {
				together += other.standardError()
			}
		}
		total = total.And(Uncertainty(together))
	}
	return total
}

func (d Drawn) errsWith(other Drawn) bool {
	if d.Recipe == "" || other.Recipe == "" {
		return d.Recipe == other.Recipe && d.Source == other.Source
	}
	return d.Recipe == other.Recipe
}

// standardError gives the standard uncertainty of the draw in milligrams.
func (d Drawn) standardError() float64 {
	if d.Relative > 0 {
		return d.Relative * float64(d.Mass)
	}
	return unknownRelative() * float64(d.Mass)
}
