package requirements

import (
	"windingroom/internal/batch"
	"windingroom/internal/catalog"
	"windingroom/internal/measure"
)

// FromFinished gives finished strings to the demands of their recipe and scale, demand by demand and surplus by surplus in the
// order they come. rest is what is then still wanted; neither list is changed.
func FromFinished(demands []Demand, finished []batch.Surplus) (given []batch.Given, rest []Demand) {
	type kind struct {
		recipe catalog.RecipeCode
		scale  measure.Size
	}
	of := map[kind][]batch.Surplus{}
	for _, f := range finished {
		k := kind{f.Recipe, f.Scale}
		of[k] = append(of[k], f)
	}
	for _, d := range demands {
		k := kind{d.Recipe, d.Scale}
		for d.Strings > 0 && len(of[k]) > 0 {
			f := &of[k][0]
			n := min(d.Strings, f.Strings)
			if n > 0 {
				given = append(given, batch.Given{Batch: f.Batch, Result: f.Result, Part: f.Part,
					Serve: batch.Serve{Order: d.Order, Line: d.Line, Position: d.Position, Strings: n}})
			}
			d.Strings, f.Strings = d.Strings-n, f.Strings-n
			if f.Strings <= 0 {
				of[k] = of[k][1:]
			}
		}
		if d.Strings > 0 {
			rest = append(rest, d)
		}
	}
	return given, rest
}
