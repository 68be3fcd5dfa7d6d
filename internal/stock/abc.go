package stock

import (
	"cmp"
	"math/bits"
	"slices"

	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/money"
)

// Class is how closely a wire is watched: A most, C least.
type Class string

// The classes by yearly value: A is the top 80 % of it, B the next 15 %, C the last 5 % (a common scheme of cycle counting,
// read in trade practice; Hopp and Spearman, Factory Physics, read in a copy, have 5 to 10 % of parts at 75 to 80 % of cost).
const (
	ClassA Class = "A"
	ClassB Class = "B"
	ClassC Class = "C"

	topOfA, topOfB = 80, 95 // percent of yearly value, added up from the greatest
)

// CountsPerYear gives how often a class is to be weighed: 4, 2 and 1 times a year (the same scheme).
func (c Class) CountsPerYear() int {
	switch c {
	case ClassA:
		return 4
	case ClassB:
		return 2
	}
	return 1
}

// Interval gives the days from one weighing of a spool to the next.
func (c Class) Interval() int { return 365 / c.CountsPerYear() }

// Tolerance gives how far a count may be off the books and still be a hit: 1, 3 and 5 % of the book (the same scheme),
// rounded down to the milligram.
func (c Class) Tolerance(book measure.Mass) measure.Mass {
	percent := measure.Mass(5)
	switch c {
	case ClassA:
		percent = 1
	case ClassB:
		percent = 3
	}
	return book * percent / 100
}

// YearlyUse is what a year's use of a wire costs.
type YearlyUse struct {
	Wire  material.WireCode
	Value money.Minor
}

// Classify gives each wire its class. From the greatest value down, a wire is an A as long as those before it have not
// reached 80 % of the whole, so the one that crosses the line is an A; likewise B up to 95 %. Wires of equal value go by code. A wire
// without value is a C. A wire that is listed twice is added up.
func Classify(uses []YearlyUse) map[material.WireCode]Class {
	values := make(map[material.WireCode]money.Minor, len(uses))
	for _, u := range uses {
		values[u.Wire] += u.Value
	}
	sorted := make([]YearlyUse, 0, len(values))
	var whole money.Minor
	for wire, value := range values {
		sorted = append(sorted, YearlyUse{wire, max(value, 0)})
		whole += max(value, 0)
	}
	slices.SortFunc(sorted, func(a, b YearlyUse) int {
		return cmp.Or(cmp.Compare(b.Value, a.Value), cmp.Compare(a.Wire, b.Wire))
	})
	classes := make(map[material.WireCode]Class, len(sorted))
	var before money.Minor
	for _, u := range sorted {
		classes[u.Wire] = classOf(u.Value, before, whole)
		before += u.Value
	}
	return classes
}

func classOf(value, before, whole money.Minor) Class {
	switch {
	case value == 0:
		return ClassC
	case below(before, whole, topOfA):
		return ClassA
	case below(before, whole, topOfB):
		return ClassB
	}
	return ClassC
}

// below says whether part is less than so many percent of whole, exactly; neither may be negative.
func below(part, whole money.Minor, percent uint64) bool {
	partHigh, partLow := bits.Mul64(uint64(part), 100)
	wholeHigh, wholeLow := bits.Mul64(uint64(whole), percent)
	return partHigh < wholeHigh || (partHigh == wholeHigh && partLow < wholeLow)
}
