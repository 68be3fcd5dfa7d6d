package stringdesign

import (
	"math"

	"windingroom/internal/measure"
)

// Tension gives the pull of an ideal string: T = μ (2 L f)², Mersenne's law (Mersenne, Harmonie universelle, 1636; any
// textbook, for instance OpenStax, University Physics, volume 1, chapter 16, read in a copy). The mass per length is that
// of the slack string: at pitch the string is thinner by its stretch, below 1 %, and the true tension lower by as much.
func Tension(mu measure.LinearDensity, scale measure.Length, f measure.Frequency) measure.Force {
	v := WaveSpeed(scale, f)
	return measure.Force(float64(mu) * v * v)
}

// WaveSpeed gives the speed of a transverse wave on a string that sounds f over a scale length, in m/s.
func WaveSpeed(scale measure.Length, f measure.Frequency) float64 {
	return 2 * float64(scale) * float64(f)
}

// Frequency gives the fundamental of an ideal string: √(T/μ) / 2L.
func Frequency(mu measure.LinearDensity, scale measure.Length, tension measure.Force) measure.Frequency {
	return measure.Frequency(math.Sqrt(float64(tension)/float64(mu)) / (2 * float64(scale)))
}

// LinearDensityFor gives the mass per length with which a string reaches a tension at a pitch: T / (2 L f)².
func LinearDensityFor(tension measure.Force, scale measure.Length, f measure.Frequency) measure.LinearDensity {
	v := WaveSpeed(scale, f)
	return measure.LinearDensity(float64(tension) / (v * v))
}
