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

// Ferromagnetic says whether a pickup surely senses the alloy: strong or weak, but not one that varies from heat to heat.
func (m Magnetism) Ferromagnetic() bool { return m == Strong || m == Weak }

// Alloy is one material a wire can be made of.
type Alloy struct {
	Code          AlloyCode
	Name          string
	Density       measure.Density // kg/m3 at room temperature
	Ferromagnetic Magnetism
	Core          bool    // strong enough to be a core or a plain string
	Wrap          bool    // soft enough to be wound on
	Strength      Grade   // table of its tensile strength; empty where unknown
	Nickel        Answer  // nickel at the surface, plated or alloyed, that touches fingers
	Tarnishes     Tarnish // how soon the surface dulls
	Source        string
}

// Answer is yes or no, or not said.
type Answer string

// The answers, as import files and tables spell them.
const (
	Unsaid Answer = ""
	Yes    Answer = "yes"
	No     Answer = "no"
)

// Tarnish says how soon the surface of an alloy dulls; empty where nobody has said.
type Tarnish string

// Sooner than nickel or stainless steel, as copper alloys do, or later.
const (
	Sooner Tarnish = "sooner"
	Later  Tarnish = "later"
)

// Densities beyond these are slips of the unit; the lightest structural metal is near 1700, the heaviest near 22 600.
const (
	lightest measure.Density = 500
	heaviest measure.Density = 25_000
)

// Check says which field of the alloy cannot be right, as a FieldError, or nil.
func (a Alloy) Check() error {
	switch {
	case a.Code == "":
		return FieldError{"alloy", "is needed"}
	case !(a.Density >= lightest && a.Density <= heaviest): // so written, NaN is refused too
		return FieldError{"density_kg_m3", "must be in kg/m3, between 500 and 25000, such as 7850 for steel"}
	}
	switch a.Ferromagnetic {
	case Strong, Weak, Varies, None:
	default:
		return FieldError{"ferromagnetic", "must be strong, weak, varies or no"}
	}
	switch a.Nickel {
	case Unsaid, Yes, No:
	default:
		return FieldError{"nickel", "must be yes, no or empty"}
	}
	switch a.Tarnishes {
	case "", Sooner, Later:
	default:
		return FieldError{"tarnishes", "must be sooner, later or empty"}
	}
	if a.Strength != "" && a.Strength != ASTMA228 {
		return FieldError{"strength", "must be " + string(ASTMA228) + " or empty"}
	}
	return nil
}
