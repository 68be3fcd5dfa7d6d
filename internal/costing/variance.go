package costing

import (
	"time"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// Standard is what one good string of a recipe at a scale length should take.
type Standard struct {
	Wires   []StandardWire
	Time    time.Duration // of winding and handling one string
	PerHour money.Minor
	Setup   time.Duration // of the batch
}

// StandardWire is the wire of one string at its standard price.
type StandardWire struct {
	Wire  material.WireCode
	Each  measure.MassEach // computed from the recipe
	PerKg money.Minor
}

// VarianceKind says what made the actual cost differ.
type VarianceKind string

// The kinds of variance.
const (
	PriceVariance      VarianceKind = "price"       // wire cost another price
	UsageVariance      VarianceKind = "usage"       // a string took another mass
	YieldVariance      VarianceKind = "yield"       // another share of the strings was good
	RateVariance       VarianceKind = "labour rate" // an hour cost another rate
	EfficiencyVariance VarianceKind = "efficiency"  // a string took another time
)

// Variance is a part of actual − standard cost, unfavourable above zero, with what it can be grouped by. A field that does
// not apply is empty.
type Variance struct {
	Kind    VarianceKind
	Amount  money.Minor
	Batch   string
	Recipe  string
	Machine string
	Person  string
	Wire    material.WireCode
	Lot     string
}

// Compared is a batch beside its standard: Actual − Standard = the sum of Variances, to the minor unit.
type Compared struct {
	Actual    Cost
	Standard  Cost // of the good strings with the scrap that the yield lets expect
	Variances []Variance
}
