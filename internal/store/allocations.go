package store

import (
	"maps"
	"slices"

	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/stock"
	"windingroom/internal/workshop"
)

const selectAllocations = `SELECT a.order_code AS "order", o.due_on, a.wire, a.mass
	FROM order_allocations a JOIN orders o ON o.code = a.order_code `

// Allocations gives the wire allocated to orders, the earliest due first.
func (r *reader) Allocations(wires ...material.WireCode) ([]workshop.Allocation, error) {
	where, args := "", []any(nil)
	if len(wires) > 0 {
		where, args = "WHERE a.wire IN ? ", []any{wires}
	}
	return list[workshop.Allocation](r, selectAllocations+where+"ORDER BY o.due_on, a.order_code, a.wire", args...)
}

// AllocatedTo gives the wire allocated to one order.
func (r *reader) AllocatedTo(code order.Code) (map[material.WireCode]measure.Mass, error) {
	rows, err := list[workshop.Allocation](r, selectAllocations+"WHERE lower(o.code) = lower(?)", code)
	masses := make(map[material.WireCode]measure.Mass, len(rows))
	for _, a := range rows {
		masses[a.Wire] = a.Mass
	}
	return masses, err
}

// SpoolsOf gives the spools of some wires.
func (r *reader) SpoolsOf(wires ...material.WireCode) ([]stock.Balance, error) {
	if len(wires) == 0 {
		return nil, nil
	}
	return r.balances(selectSpools+"WHERE s.wire IN ? ORDER BY s.code", wires)
}

// ScheduledReceipts gives the wire that is bought and on its way: nothing is bought here yet.
func (r *reader) ScheduledReceipts() ([]workshop.ScheduledReceipt, error) { return nil, nil }

// SetAllocations sets the wire allocated to an order, wire by wire.
func (t *tx) SetAllocations(code order.Code, masses map[material.WireCode]measure.Mass) error {
	as, err := kept(t, "orders", []order.Code{code}, func(c order.Code) order.Code { return c })
	if err != nil {
		return err
	}
	if _, ok := as[code]; !ok {
		return named("order", code, workshop.ErrNotFound)
	}
	for _, wire := range slices.Sorted(maps.Keys(masses)) {
		if mass := masses[wire]; mass == 0 {
			_, err = t.exec("DELETE FROM order_allocations WHERE order_code = ? AND wire = ?", as[code], wire)
		} else {
			_, err = t.exec(`INSERT INTO order_allocations (order_code, wire, mass) VALUES (?, ?, ?)
				ON CONFLICT (order_code, wire) DO UPDATE SET mass = excluded.mass`, as[code], wire, mass)
		}
		if err != nil {
			return named("allocation of order", code, err)
		}
	}
	return nil
}

// ClearAllocations frees all of an order's wire.
func (t *tx) ClearAllocations(code order.Code) error {
	_, err := t.exec("DELETE FROM order_allocations WHERE order_code IN (SELECT code FROM orders WHERE lower(code) = lower(?))", code)
	return named("allocations of order", code, err)
}
