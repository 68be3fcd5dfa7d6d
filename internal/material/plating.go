package material

import "windingroom/internal/measure"

// PlatedDensity gives the density of a plated wire of which massFraction (0 to 1) is plating: masses add and volumes add.
func PlatedDensity(base, plate measure.Density, massFraction float64) measure.Density {
	return 1 / (measure.Density(massFraction)/plate + measure.Density(1-massFraction)/base)
}

// PlatingFraction gives the mass fraction of a plating of a thickness on a round wire whose finished diameter is outer.
func PlatingFraction(base, plate measure.Density, outer, thickness measure.Length) float64 {
	inner := float64((outer - 2*thickness) / outer)
	core := float64(inner * inner)                  // share of the area
	plating := float64(float64(plate) * (1 - core)) // mass per area of the whole
	return plating / (plating + float64(float64(base)*core))
}
