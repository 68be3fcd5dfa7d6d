package batch

import (
	"fmt"

	"windingroom/internal/measure"
)

// Caution is what is special about one batch: a sentence, with at most one quantity in it, so that a page can print that in the units
// of the shop.
type Caution struct {
	Before string
	Mass   measure.Mass // zero: none
	Size   measure.Size // zero: none
	After  string
}

// Warn gives a caution without a quantity.
func Warn(format string, args ...any) Caution { return Caution{Before: fmt.Sprintf(format, args...)} }

// In gives the sentence with its quantity as mass or size print it.
func (c Caution) In(mass func(measure.Mass) string, size func(measure.Size) string) string {
	switch {
	case c.Mass != 0:
		return c.Before + mass(c.Mass) + c.After
	case c.Size != 0:
		return c.Before + size(c.Size) + c.After
	}
	return c.Before + c.After
}

// String gives the sentence in grams and thousandths of an inch.
func (c Caution) String() string { return c.In(measure.Mass.String, measure.Size.String) }
