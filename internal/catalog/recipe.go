// Package catalog holds what the shop knows how to make: recipes, standing sets, the practice of the winding room (its
// allowances and setup times) and its machines.
package catalog

import (
	"time"

	"windingroom/internal/material"
	"windingroom/internal/measure"
)

// RecipeCode names a recipe.
type RecipeCode string

// MaxWraps is the greatest number of wrap layers on one string.
const MaxWraps = 3

// Wrap is one layer of a recipe, innermost first.
type Wrap struct {
	Wire material.WireCode
	Lay  measure.Size // advance per turn; zero means touching turns
}

// Recipe is the core wire and wraps that give one gauge in one alloy. Without wraps it is a plain string.
type Recipe struct {
	Code        RecipeCode
	Gauge       measure.Size
	Core        material.WireCode
	Wraps       []Wrap
	BallEnd     bool
	Yield       float64       // expected share of good strings, above 0 and at most 1
	MinutesEach time.Duration // winding and handling of one string, without setup
}

// Plain says whether the recipe has no wrap.
func (r Recipe) Plain() bool { return len(r.Wraps) == 0 }

// Wires lists the distinct wires of the recipe, core first, in the order they are loaded.
func (r Recipe) Wires() []material.WireCode {
	wires := []material.WireCode{r.Core}
next:
	for _, w := range r.Wraps {
		for _, seen := range wires {
			if seen == w.Wire {
				continue next
			}
		}
		wires = append(wires, w.Wire)
	}
	return wires
}
