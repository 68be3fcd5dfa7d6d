package workshop

import (
	"fmt"
	"slices"

	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/requirements"
	"windingroom/internal/stock"
)

// wireNeeds gives what an order needs for its open strings, expected scrap included. A draft is looked at as if it were
// confirmed.
func wireNeeds(r Reader, bench *requirements.Bench, o order.Order) (map[material.WireCode]measure.Mass, error) {
	covered, err := r.CoveredOf(o.Code)
	if err != nil {
		return nil, err
	}
	if o.Status == order.Draft {
		o.Status = order.Confirmed
	}
	needs, err := bench.Explode(requirements.Open([]order.Order{o}, covered))
	if err != nil {
		return nil, err
	}
	masses := make(map[material.WireCode]measure.Mass, len(needs))
	for _, n := range needs {
		masses[n.Wire] = n.Mass
	}
	return masses, nil
}

// need notes anew what an open order needs of its wires. What it holds beyond that is freed; settle gives it what it lacks.
// Wires of which it needs as much as before stay as they are. It gives the wires that changed.
func need(tx Tx, bench *requirements.Bench, o order.Order) ([]material.WireCode, error) {
	needs, err := wireNeeds(tx, bench, o)
	if err != nil {
		return nil, err
	}
	held, err := tx.AllocatedTo(o.Code)
	if err != nil {
		return nil, err
	}
	changed := map[material.WireCode]Promise{}
	for wire, mass := range needs {
		if was := held[wire]; was.Needed != mass {
			changed[wire] = Promise{Needed: mass, Mass: min(was.Mass, mass)}
		}
	}
	for wire := range held {
		if _, wanted := needs[wire]; !wanted {
			changed[wire] = Promise{}
		}
	}
	return sortedKeys(changed), tx.SetAllocations(o.Code, changed)
}

// promiseNew allocates wire to orders that are new and confirmed, and gives what new spools bring to whoever is short of it, the
// earliest due first.
func (s *Shop) promiseNew(tx Tx, p Person, orders []order.Order, spools []stock.Spool) error {
	bench, err := benchOf(tx)
	if err != nil {
		return err
	}
	touched := map[material.WireCode]bool{}
	var all []Allocation
	for _, o := range orders {
		needs, err := bench.Explode(requirements.Open([]order.Order{o}, nil))
		if err != nil {
			return err
		}
		for _, n := range needs {
			touched[n.Wire] = true
			all = append(all, Allocation{Order: o.Code, Wire: n.Wire, Promise: Promise{Needed: n.Mass}})
		}
	}
	if err := tx.AddAllocations(all); err != nil {
		return err
	}
	for _, b := range spools {
		touched[b.Wire] = true
	}
	return s.settle(tx, p, sortedKeys(touched)...)
}

// free frees everything that an order holds and gives the wires.
func free(tx Tx, code order.Code) ([]material.WireCode, error) {
	held, err := tx.AllocatedTo(code)
	if err != nil {
		return nil, err
	}
	return sortedKeys(held), tx.ClearAllocations(code)
}

// settle keeps the promises of some wires to orders, after anything that changed what is on their spools, what batches hold or
// what orders need. Where orders hold more than may be drawn, those held to the last day lose it; where some is free, those that are
// short get it, the one held to the earliest day first: orders have their place in plans by the same day. So no order is short of a wire while it is free, and none is promised twice.
func (s *Shop) settle(tx Tx, p Person, wires ...material.WireCode) error {
	slices.Sort(wires)
	wires = slices.Compact(wires)
	held, err := tx.Held(wires...)
	if err != nil || len(held) == 0 {
		return err
	}
	wires = sortedKeys(held)
	spools, err := tx.SpoolsOf(wires...)
	if err != nil {
		return err
	}
	room := map[material.WireCode]measure.Mass{}
	for _, b := range spools {
		room[b.Wire] += b.Drawable()
	}
	var over, short []material.WireCode
	for _, w := range wires {
		room[w] -= held[w].Mass
		switch {
		case room[w] < 0:
			over = append(over, w)
		case room[w] > 0 && held[w].Short > 0:
			short = append(short, w)
		}
	}
	if err := s.cut(tx, p, over, room); err != nil {
		return err
	}
	return s.fill(tx, p, short, room)
}

// cut takes from the orders held to the last day what was promised and may no longer be drawn.
func (s *Shop) cut(tx Tx, p Person, wires []material.WireCode, room map[material.WireCode]measure.Mass) error {
	if len(wires) == 0 {
		return nil
	}
	all, err := tx.Allocations(wires...)
	if err != nil {
		return err
	}
	for _, a := range slices.Backward(all) {
		mass := min(a.Mass, -room[a.Wire])
		if mass <= 0 {
			continue
		}
		room[a.Wire] += mass
		if err := s.move(tx, p, a, -mass); err != nil {
			return err
		}
	}
	return nil
}

// fill gives free wire to the orders that are short of it.
func (s *Shop) fill(tx Tx, p Person, wires []material.WireCode, room map[material.WireCode]measure.Mass) error {
	if len(wires) == 0 {
		return nil
	}
	all, err := tx.ShortAllocations(wires...)
	if err != nil {
		return err
	}
	for _, a := range all {
		mass := min(a.Short(), room[a.Wire])
		if mass <= 0 {
			continue
		}
		room[a.Wire] -= mass
		if err := s.move(tx, p, a, mass); err != nil {
			return err
		}
	}
	return nil
}

// move gives an order more of a wire, or less; what it loses is told in the audit.
func (s *Shop) move(tx Tx, p Person, a Allocation, mass measure.Mass) error {
	a.Mass += mass
	if err := tx.SetAllocations(a.Order, map[material.WireCode]Promise{a.Wire: a.Promise}); err != nil {
		return err
	}
	if mass > 0 {
		return nil
	}
	return tx.Record(s.audit(p, "cut allocation", string(a.Order), fmt.Sprintf("%s of %s: it is promised to batches or no longer there; short of %s",
		-mass, a.Wire, a.Short())))
}

// needAnew notes anew what every open order needs, after what changed what strings take, and settles that.
func (s *Shop) needAnew(tx Tx, p Person) error {
	bench, err := benchOf(tx)
	if err != nil {
		return err
	}
	orders, err := tx.Orders(OrderFilter{OpenOnly: true})
	if err != nil {
		return err
	}
	var wires []material.WireCode
	for _, o := range orders {
		changed, err := need(tx, bench, o)
		if err != nil {
			return err
		}
		wires = append(wires, changed...)
	}
	return s.settle(tx, p, wires...)
}
