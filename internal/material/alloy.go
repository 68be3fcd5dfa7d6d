package material

import "windingroom/internal/measure"

// AlloyCode names an alloy ("phosphor-bronze-8"). Codes are compared without case; within the program a code is always
// written as it was first entered.
type AlloyCode string

// Magnetism says how strongly an alloy answers to a magnetic pickup at room temperature.
type Magnetism string

// The degrees of Magnetism, as import files and tables spell them.
const (
	Strong Magnetism = "strong"
	Weak   Magnetism = "weak"
	Varies Magnetism = "varies" // from heat to heat or with cold work
	None   Magnetism = "no"
)

// Alloy is one material a wire can be made of.
type Alloy struct {
	Code          AlloyCode
	Name          string
	Density       measure.Density // kg/m3 at room temperature
	Ferromagnetic Magnetism
	Core          bool // strong enough to be a core or a plain string
	Wrap          bool // soft enough to be wound on
	Source        string
}
