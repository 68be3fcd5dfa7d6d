package store

import (
	"maps"
	"slices"

	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/stock"
	"windingroom/internal/workshop"
)

const selectAllocations = `SELECT a.order_code, o.due_on, a.wire, a.needed, a.mass
	FROM order_allocations a JOIN orders o ON o.code = a.order_code `

// heldTo is order.HeldTo: orders rank by it in plans, and so for their wire.
const heldTo = "CASE WHEN o.promised_on > o.due_on THEN o.promised_on ELSE o.due_on END"

type allocationRow struct {
	OrderCode    order.Code
	DueOn        calendar.Date
	Wire         material.WireCode
	Needed, Mass measure.Mass
}

func (r *reader) allocations(where string, args ...any) ([]workshop.Allocation, error) {
	rows, err := list[allocationRow](r, selectAllocations+"WHERE "+where+" ORDER BY "+heldTo+", a.order_code, a.wire", args...)
	all := make([]workshop.Allocation, len(rows))
	for i, a := range rows {
		all[i] = workshop.Allocation{Order: a.OrderCode, DueOn: a.DueOn, Wire: a.Wire, Promise: workshop.Promise{Needed: a.Needed, Mass: a.Mass}}
	}
	return all, err
}

// Allocations gives what orders need and hold, the order held to the earliest day first.
func (r *reader) Allocations(wires ...material.WireCode) ([]workshop.Allocation, error) {
	if len(wires) == 0 {
		return r.allocations("1 = 1")
	}
	return r.allocations("a.wire IN ?", wires)
}

// ShortAllocations gives those that hold less than is needed.
func (r *reader) ShortAllocations(wires ...material.WireCode) ([]workshop.Allocation, error) {
	if len(wires) == 0 {
		return r.allocations("a.mass < a.needed")
	}
	return r.allocations("a.mass < a.needed AND a.wire IN ?", wires)
}

// AllocatedTo gives what one order needs and holds.
func (r *reader) AllocatedTo(code order.Code) (map[material.WireCode]workshop.Promise, error) {
	rows, err := r.allocations("lower(o.code) = lower(?)", code)
	promises := make(map[material.WireCode]workshop.Promise, len(rows))
	for _, a := range rows {
		promises[a.Wire] = a.Promise
	}
	return promises, err
}

// Held gives what all orders hold together and what they are short of.
func (r *reader) Held(wires ...material.WireCode) (map[material.WireCode]workshop.Held, error) {
	if len(wires) == 0 {
		return nil, nil
	}
	type row struct {
		Wire        material.WireCode
		Mass, Short measure.Mass
	}
	rows, err := list[row](r, `SELECT wire, CAST(sum(mass) AS BIGINT) AS mass, CAST(sum(needed - mass) AS BIGINT) AS short
		FROM order_allocations WHERE wire IN ? GROUP BY wire`, wires)
	held := make(map[material.WireCode]workshop.Held, len(rows))
	for _, h := range rows {
		held[h.Wire] = workshop.Held{Mass: h.Mass, Short: h.Short}
	}
	return held, err
}

// SpoolsOf gives the spools of some wires.
func (r *reader) SpoolsOf(wires ...material.WireCode) ([]stock.Balance, error) {
	if len(wires) == 0 {
		return nil, nil
	}
	return r.balances(selectSpools+"WHERE s.wire IN ? ORDER BY s.code", wires)
}

// SetAllocations sets what an order, spelled as it is kept, needs and holds, wire by wire.
func (t *tx) SetAllocations(code order.Code, promises map[material.WireCode]workshop.Promise) error {
	var err error
	for _, wire := range slices.Sorted(maps.Keys(promises)) {
		if p := promises[wire]; p.Needed == 0 {
			_, err = t.exec("DELETE FROM order_allocations WHERE order_code = ? AND wire = ?", code, wire)
		} else {
			_, err = t.exec(`INSERT INTO order_allocations (order_code, wire, needed, mass) VALUES (?, ?, ?, ?)
				ON CONFLICT (order_code, wire) DO UPDATE SET needed = excluded.needed, mass = excluded.mass`, code, wire, p.Needed, p.Mass)
		}
		if err != nil {
			return named("allocation of order", code, err)
		}
	}
	return nil
}

// AddAllocations adds what new orders need and hold.
func (t *tx) AddAllocations(all []workshop.Allocation) error {
	return insert(t, "order_allocations", "order_code, wire, needed, mass", all, func(a workshop.Allocation) []any {
		return []any{a.Order, a.Wire, a.Needed, a.Mass}
	})
}

// ClearAllocations frees all of an order's wire.
func (t *tx) ClearAllocations(code order.Code) error {
	_, err := t.exec("DELETE FROM order_allocations WHERE order_code IN (SELECT code FROM orders WHERE lower(code) = lower(?))", code)
	return named("allocations of order", code, err)
}
