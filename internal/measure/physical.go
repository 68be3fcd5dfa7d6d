package measure

import "fmt"

// Length is a length inside a calculation, in metres.
type Length float64

// Millimetres gives the length in millimetres.
func (l Length) Millimetres() float64 { return float64(l) * 1e3 }

// Thou gives the length in thousandths of an inch, the unit of gauges.
func (l Length) Thou() float64 { return float64(l) / 25.4e-6 }

// String prints the length in metres.
func (l Length) String() string { return fmt.Sprintf("%.6g m", float64(l)) }

// Area is a cross-section in square metres.
type Area float64

// Density is a mass per volume in kg/m3.
type Density float64

// LinearDensity is a mass per length in kg/m.
type LinearDensity float64

// GramsPerMetre gives the mass per length in g/m, the unit a winding room thinks in.
func (d LinearDensity) GramsPerMetre() float64 { return float64(d) * 1e3 }

// Frequency is a frequency in hertz.
type Frequency float64

// Stress is a force per area in pascal.
type Stress float64

// Megapascals gives the stress in MPa (N/mm2).
func (s Stress) Megapascals() float64 { return float64(s) / 1e6 }

// KSI gives the stress in thousands of pounds-force per square inch. 1 ksi = 1000 lbf / (25.4 mm)2 = 6.894757293168361 MPa.
func (s Stress) KSI() float64 { return float64(s) / pascalsPerKSI }

// FromKSI converts thousands of pounds-force per square inch to a stress.
func FromKSI(ksi float64) Stress { return Stress(ksi * pascalsPerKSI) }

const (
	newtonsPerPoundForce = 4.4482216152605
	pascalsPerKSI        = 1000 * newtonsPerPoundForce / (0.0254 * 0.0254)
)

// Force is a force in newtons.
type Force float64

// PoundsForce gives the force in pounds-force.
func (f Force) PoundsForce() float64 { return float64(f) / newtonsPerPoundForce }

// FromPoundsForce converts pounds-force to a force.
func FromPoundsForce(lbf float64) Force { return Force(lbf * newtonsPerPoundForce) }

// String prints the force in newtons and pounds-force.
func (f Force) String() string { return fmt.Sprintf("%.1f N (%.2f lbf)", float64(f), f.PoundsForce()) }
