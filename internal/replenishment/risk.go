package replenishment

import (
	"maps"
	"slices"

	"windingroom/internal/material"
	"windingroom/internal/order"
)

// OrderAtRisk is an order and the wires that do not reach to it on its day.
type OrderAtRisk struct {
	Order order.Code
	Wires []material.WireCode // by code
}

// OrdersAtRisk turns the wires' lists of orders round, by order.
func OrdersAtRisk(wires []WireNight) []OrderAtRisk {
	short := map[order.Code][]material.WireCode{}
	for _, w := range wires {
		for _, code := range w.AtRisk {
			short[code] = append(short[code], w.Wire)
		}
	}
	var orders []OrderAtRisk
	for _, code := range slices.Sorted(maps.Keys(short)) {
		slices.Sort(short[code])
		orders = append(orders, OrderAtRisk{code, short[code]})
	}
	return orders
}
