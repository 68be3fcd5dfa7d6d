package stringdesign

import (
	"math"

	"windingroom/internal/measure"
)

// Young's modulus of music wire: Shigley, Mechanical Engineering Design, table 10-5, read in a copy. The table changes at
// .032 in and again at .063 in, beyond any string.
const (
	fineWireModulus  measure.Stress = 203.4e9
	thickWireModulus measure.Stress = 200e9
	fineWireBelow    measure.Length = 0.032 * 0.0254
)

// MusicWireModulus gives Young's modulus of music wire of a diameter.
func MusicWireModulus(d measure.Length) measure.Stress {
	if d < fineWireBelow {
		return fineWireModulus
	}
	return thickWireModulus
}

// Inharmonicity gives B = π² E I / (T L²) of a stiff string, whose partials lie at n f₀ √(1 + B n²) (Fletcher, J. Acoust.
// Soc. Am. 36, 203 (1964), from memory; as quoted from Fletcher and Rossing, read in part). secondMoment is that of the
// core in m⁴. For a wound string the core's stiffness with the whole tension is an estimate: the wrap adds little stiffness.
func Inharmonicity(modulus measure.Stress, secondMoment float64, tension measure.Force, scale measure.Length) float64 {
	return math.Pi * math.Pi * float64(modulus) * secondMoment / (float64(tension) * float64(scale) * float64(scale))
}

// PartialCents gives by how many cents partial n (1 is the fundamental) of a string with inharmonicity b lies above n f₀,
// f₀ being the pitch it would have without stiffness: 600 log₂(1 + B n²).
func PartialCents(b float64, n int) float64 {
	return 600 / math.Ln2 * math.Log1p(b*float64(n)*float64(n))
}

// Stretch gives the strain of the core at pitch (Hooke): 0.007 means 7 mm more on a metre.
func Stretch(stress, modulus measure.Stress) float64 { return float64(stress) / float64(modulus) }
