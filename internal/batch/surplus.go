package batch

import (
	"windingroom/internal/catalog"
	"windingroom/internal/measure"
)

// Surplus is a number of good strings in finished stock: of a part of a result, counted from 1 as in Result.Given, that no order
// owns, or one that was cancelled since.
type Surplus struct {
	Batch   Code
	Result  int
	Part    int
	Recipe  catalog.RecipeCode
	Scale   measure.Size
	Strings int
}

// Given is a number of strings of a surplus that an order was given.
type Given struct {
	Batch  Code
	Result int
	Part   int
	Serve
}
