package winding

import (
	"windingroom/internal/material"
	"windingroom/internal/measure"
)

// WirePerLength gives the mass per length of a wire: density × area.
func WirePerLength(d measure.Density, f material.Form) measure.LinearDensity {
	return measure.LinearDensity(float64(d) * float64(f.Area()))
}

// WireMass gives the mass in kilograms of a length of wire.
func WireMass(perLength measure.LinearDensity, l measure.Length) (kg float64) {
	return float64(perLength) * float64(l)
}

// WireLength gives the length of wire in a mass in kilograms: how much a spool still holds.
func WireLength(perLength measure.LinearDensity, kg float64) measure.Length {
	return measure.Length(kg / float64(perLength))
}
