package replenishment

import "math"

// Joint is a wire of an order that several share.
type Joint struct {
	Value float64 // of a year's use
	Line  float64 // what its line in an order costs
}

// JointFrequency gives the orders a year that cost least when every item is in every order: √(h ΣDC / 2(S + Σs)). It also gives what
// orders and holding then cost in a year (Chopra and Meindl, Supply Chain Management, chapter on cycle stock, read in a copy).
func JointFrequency(order float64, items []Joint, holding float64) (orders, cost float64) {
	value, fixed := 0.0, order
	for _, i := range items {
		value, fixed = value+i.Value, fixed+i.Line
	}
	orders = math.Sqrt(holding * value / (2 * fixed))
	return orders, orders*fixed + holding*value/(2*orders)
}

// Multiples gives, for each item, in every how many orders it is, and the years from one order to the next (Silver, A simple method of determining
// order quantities in joint replenishments, Management Science 22, 1976, from memory). The item with the smallest s/(DC) is in every order. An item
// without use is in every order and counts for nothing; without any cost of ordering there is no time between orders.
func Multiples(order float64, items []Joint, holding float64) (multiples []int, years float64) {
	multiples = make([]int, len(items))
	base := -1
	for i, it := range items {
		multiples[i] = 1
		if it.Value > 0 && (base < 0 || it.Line*items[base].Value < items[base].Line*it.Value) {
			base = i
		}
	}
	if base < 0 {
		return multiples, 0
	}
	perOrder := items[base].Value / (order + items[base].Line)
	fixed, weighted := order, 0.0
	for i, it := range items {
		if it.Value <= 0 {
			continue
		}
		if it.Line > 0 {
			multiples[i] = max(int(math.Round(math.Sqrt(it.Line/it.Value*perOrder))), 1)
		}
		fixed += it.Line / float64(multiples[i])
		weighted += float64(multiples[i]) * it.Value
	}
	return multiples, math.Sqrt(2 * fixed / (holding * weighted))
}

// JointCost gives what orders and holding cost in a year with multiples and a time between orders.
func JointCost(order float64, items []Joint, holding float64, multiples []int, years float64) float64 {
	fixed, weighted := order, 0.0
	for i, it := range items {
		fixed += it.Line / float64(multiples[i])
		weighted += float64(multiples[i]) * it.Value
	}
	return fixed/years + holding*weighted*years/2
}
