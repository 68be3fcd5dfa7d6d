package material

import (
	"math"

	"windingroom/internal/measure"
)

// Elementary geometry of a regular hexagon with distance AF across its flats: side AF/√3, so perimeter 2√3·AF, area
// (√3/2)·AF², over the corners (2/√3)·AF, second moment of area (5√3/144)·AF⁴ about every axis through its centre.
const (
	sqrt3             = 1.7320508075688772935
	hexArea           = sqrt3 / 2
	hexPerimeter      = 2 * sqrt3
	hexCorners        = 2 / sqrt3
	hexSecondMoment   = 5 * sqrt3 / 144
	roundSecondMoment = math.Pi / 64
)

// acrossFlats gives the distance across the flats of a hexagon, however it was measured.
func (f Form) acrossFlats() measure.Length {
	if f.Across == AcrossCorners {
		return f.Size.Metres() / hexCorners
	}
	return f.Size.Metres()
}

// Area gives the cross-section: round π d²/4, hex (√3/2) AF², flat width × thickness.
func (f Form) Area() measure.Area {
	switch f.Section {
	case Hex:
		af := float64(f.acrossFlats())
		return measure.Area(hexArea * af * af)
	case Flat:
		return measure.Area(float64(f.Size.Metres()) * float64(f.Thickness.Metres()))
	default:
		d := float64(f.Size.Metres())
		return measure.Area(math.Pi / 4 * d * d)
	}
}

// PerimeterDiameter gives the diameter of the circle with the same perimeter as a round or hex core: what a taut wrap
// sees of it. It has no meaning for a flat wire, which is no core.
func (f Form) PerimeterDiameter() measure.Length {
	if f.Section == Hex {
		return f.acrossFlats() * (hexPerimeter / math.Pi)
	}
	return f.Size.Metres()
}

// OverCorners gives the largest diameter a micrometer finds on a round or hex wire.
func (f Form) OverCorners() measure.Length {
	if f.Section != Hex || f.Across == AcrossCorners {
		return f.Size.Metres()
	}
	return f.Size.Metres() * hexCorners
}

// AreaDiameter gives the diameter of the round wire of equal area: 1.050 075 AF for a hexagon.
func (f Form) AreaDiameter() measure.Length {
	if f.Section == Round {
		return f.Size.Metres()
	}
	return measure.Length(math.Sqrt(float64(f.Area()) * 4 / math.Pi))
}

// SecondMoment gives the second moment of area of a round or hex core in m⁴, for its stiffness: π d⁴/64, 0.060 140 7 AF⁴.
func (f Form) SecondMoment() float64 {
	if f.Section == Hex {
		return hexSecondMoment * math.Pow(float64(f.acrossFlats()), 4)
	}
	return roundSecondMoment * math.Pow(float64(f.Size.Metres()), 4)
}

// Height gives how much a wire adds to the radius when it is wound on: a round wire its diameter, a ribbon its thickness.
func (f Form) Height() measure.Length {
	if f.Section == Flat {
		return f.Thickness.Metres()
	}
	return f.Size.Metres()
}
