package catalog

import "windingroom/internal/measure"

// SetCode names a standing set.
type SetCode string

// Position is one string of a set: what is wound, how long it speaks and how it is tuned.
type Position struct {
	Number int // string position, 1 upwards
	Recipe RecipeCode
	Scale  measure.Size
	Pitch  string // as written: E4, F#2, Bb1 or hertz
}

// Set is a standing set: positions the shop makes again and again.
type Set struct {
	Code      SetCode
	Positions []Position // by Number
}
