package stringdesign

import (
	"math"

	"windingroom/internal/measure"
)

// CoreStress gives the stress in the core, which alone carries the tension.
func CoreStress(tension measure.Force, core measure.Area) measure.Stress {
	return measure.Stress(float64(tension) / float64(core))
}

// BreakingShare gives the stress as a share of the least tensile strength.
func BreakingShare(stress, minimumTensile measure.Stress) float64 {
	return float64(stress) / float64(minimumTensile)
}

// Load is what a breaking share means for a string.
type Load string

// The degrees of Load.
const (
	Fine    Load = "fine"
	Caution Load = "caution"
	Refused Load = "refused" // for a standing set; a custom order may still want it
)

// Limits of the breaking share; judgement, a shop sets its own. Plain steel strings in common tunings sit at 0.50 to 0.56.
const (
	FineUpTo    = 0.60
	CautionUpTo = 0.70
)

// LoadOf judges a breaking share.
func LoadOf(share float64) Load {
	switch {
	case share <= FineUpTo:
		return Fine
	case share <= CautionUpTo:
		return Caution
	}
	return Refused
}

// BreakingPitch gives the frequency at which a plain string of a density and scale reaches a stress: √(S/ρ) / 2L. Its
// diameter does not matter.
func BreakingPitch(strength measure.Stress, density measure.Density, scale measure.Length) measure.Frequency {
	return measure.Frequency(math.Sqrt(float64(strength)/float64(density)) / (2 * float64(scale)))
}
