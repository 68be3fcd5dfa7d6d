package material

import (
	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// WireCode names a stocked wire ("MW-H-14.0").
type WireCode string

// Section is the shape of a wire cut across.
type Section string

// The sections the trade uses.
const (
	Round Section = "round"
	Hex   Section = "hex"
	Flat  Section = "flat"
)

// Across says between which sides of a hexagon its size was measured.
type Across string

// A hexagon is sized across its flats unless said otherwise.
const (
	AcrossFlats   Across = "flats"
	AcrossCorners Across = "corners"
)

// Form is the section of a wire with its sizes: what geometry needs to know of it.
type Form struct {
	Section   Section
	Size      measure.Size // round: diameter; hex: across flats or corners, as Across says; flat: width
	Thickness measure.Size // flat only
	Across    Across       // hex only
}

// Wire is a stocked item: an alloy in one form, and how it is bought.
type Wire struct {
	Code       WireCode
	Alloy      AlloyCode
	Form       Form
	UsableEnd  measure.Mass // a spool with less than this is a remnant
	Supplier   string       // supplier code, empty where none is named
	Pack       measure.Mass // what one pack from the supplier weighs; zero where unknown
	PricePerKg money.Minor  // list price in minor units of the shop's currency per kilogram
}
