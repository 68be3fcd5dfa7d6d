package workshop

import (
	"cmp"
	"slices"
	"time"

	"windingroom/internal/costing"
	"windingroom/internal/money"
)

// orderRows gathers what strings cost, by a row's names alone.
type orderRows map[OrderCost]*OrderCost

func (rows orderRows) at(key OrderCost) *OrderCost {
	if rows[key] == nil {
		row := key
		rows[key] = &row
	}
	return rows[key]
}

// names gives the row without its amounts.
func (o OrderCost) names() OrderCost {
	return OrderCost{Order: o.Order, Line: o.Line, Position: o.Position, Recipe: o.Recipe, Scale: o.Scale, Beyond: o.Beyond, Earlier: o.Earlier}
}

// add puts a row on that of the same names.
func (rows orderRows) add(o OrderCost) {
	row := rows.at(o.names())
	row.Strings += o.Strings
	row.Wire, row.NormalScrap, row.Labour = row.Wire+o.Wire, row.NormalScrap+o.NormalScrap, row.Labour+o.Labour
	row.Time, row.Standard = row.Time+o.Time, row.Standard+o.Standard
}

// spread puts the cost of a batch on the strings it made; what no string bears has a row of its own for each recipe.
func (rows orderRows) spread(j *job, cost costing.BatchCost, standard money.Minor) {
	var worked time.Duration
	for _, w := range j.Works {
		worked += w.Time
	}
	strings := make([]int, len(j.given))
	weights := make([]int64, len(j.given))
	for i, g := range j.given {
		strings[i], weights[i] = g.Strings, int64(g.Strings)
	}
	standards, times := money.SplitLargestRemainder(standard*j.sign, weights), money.SplitLargestRemainder(worked, weights)
	for i, part := range cost.Share(strings) {
		g := j.given[i]
		part.Strings *= int(j.sign)
		rows.add(OrderCost{Order: g.Order, Line: g.Line, Position: g.Position, Recipe: j.recipe, Scale: j.scale, StringCost: part,
			Time: times[i] * time.Duration(j.sign), Standard: standards[i]})
	}
	if cost.Abnormal.Total() != 0 || cost.Scrap.Abnormal != 0 {
		rows.add(OrderCost{Recipe: j.recipe, Scale: j.scale, Beyond: true,
			StringCost: costing.StringCost{Strings: cost.Scrap.Abnormal * int(j.sign), Wire: cost.Abnormal.Wire, Labour: cost.Abnormal.Labour}})
	}
	if cost.Usage != 0 {
		rows.add(OrderCost{Recipe: j.recipe, Scale: j.scale, Earlier: true, StringCost: costing.StringCost{Wire: cost.Usage}})
	}
}

// sorted gives the rows: orders first, then finished stock, then what no string bears. One of which nothing is left is left out.
func (rows orderRows) sorted() []OrderCost {
	list := make([]OrderCost, 0, len(rows))
	for names, row := range rows {
		if *row != names {
			list = append(list, *row)
		}
	}
	slices.SortFunc(list, func(a, b OrderCost) int {
		return cmp.Or(cmp.Compare(btoi(a.Earlier), btoi(b.Earlier)), cmp.Compare(btoi(a.Beyond), btoi(b.Beyond)), cmp.Compare(btoi(a.Order == ""), btoi(b.Order == "")),
			cmp.Compare(a.Order, b.Order), a.Line-b.Line, a.Position-b.Position, cmp.Compare(a.Recipe, b.Recipe), cmp.Compare(a.Scale, b.Scale))
	})
	return list
}
