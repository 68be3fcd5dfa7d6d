package requirements

import (
	"cmp"
	"slices"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/measure"
	"windingroom/internal/order"
)

// Demand is a number of equal strings that one position of one order line still wants.
type Demand struct {
	Order    order.Code
	DueOn    calendar.Date // that its order is held to
	Line     int
	Position int
	Recipe   catalog.RecipeCode
	Scale    measure.Size
	Strings  int
}

// Open lists what the open orders still want: quantity less the strings that released or finished batches already serve, one
// row per string position, in due order (Compare).
func Open(orders []order.Order, covered []batch.Serve) []Demand {
	type spot struct {
		order          order.Code
		line, position int
	}
	served := make(map[spot]int, len(covered))
	for _, c := range covered {
		served[spot{c.Order, c.Line, c.Position}] += c.Strings
	}
	var demands []Demand
	for _, o := range orders {
		if !o.Open() {
			continue
		}
		for _, l := range o.Lines {
			for _, s := range l.Strings {
				left := l.Quantity - served[spot{o.Code, l.Number, s.Position}]
				if left <= 0 {
					continue
				}
				demands = append(demands, Demand{
					Order: o.Code, DueOn: o.HeldTo(), Line: l.Number, Position: s.Position,
					Recipe: s.Recipe, Scale: s.Scale, Strings: left,
				})
			}
		}
	}
	slices.SortFunc(demands, Compare)
	return demands
}

// Compare orders demands by due date, then order, line and position: the order in which wire and machine time are given.
// Recipe, scale and number only make the order total.
func Compare(a, b Demand) int {
	return cmp.Or(
		cmp.Compare(a.DueOn, b.DueOn), cmp.Compare(a.Order, b.Order), cmp.Compare(a.Line, b.Line),
		cmp.Compare(a.Position, b.Position), cmp.Compare(a.Recipe, b.Recipe), cmp.Compare(a.Scale, b.Scale),
		cmp.Compare(a.Strings, b.Strings),
	)
}
