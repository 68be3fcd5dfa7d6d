package workshop

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/planning"
	"windingroom/internal/requirements"
	"windingroom/internal/stock"
)

// ProposeDay works out the plan of a day and keeps it as the day's proposal in place of an earlier one. What the lead asked of the
// earlier one holds. On a day of which batches are released, those stay as they are and what is new is proposed beside them; where
// nothing is, the plan is given back as it stands. Open orders get first what finished stock has of their strings, the earliest due
// first. Only a lead or an owner may.
func (s *Shop) ProposeDay(ctx context.Context, date calendar.Date) (DayPlan, error) {
	p, err := allow(ctx, "planning a day", Lead)
	if err != nil {
		return DayPlan{}, err
	}
	var w workday
	err = s.Store.Read(ctx, func(r Reader) error {
		w, err = readWorkday(r, date)
		return err
	})
	if err != nil {
		return DayPlan{}, err
	}
	next, changed, err := w.propose()
	if err == nil && !changed {
		err = s.Store.InTx(ctx, func(tx Tx) error { return s.giveAsPlanned(tx, p, w.given) })
	}
	if err != nil || !changed {
		return next, err
	}
	return s.keepPlan(ctx, p, w, next, "propose plan", planDetail(next))
}

// ReleaseDay releases what is proposed for a day: its draws are allocated on their spools, its orders become planned, and from
// then on it stands. Releasing a released day again changes nothing. It fails with ErrChanged when wire or orders have
// changed since the proposal; a new proposal then helps. Only a lead or an owner may.
func (s *Shop) ReleaseDay(ctx context.Context, date calendar.Date) (DayPlan, error) {
	p, err := allow(ctx, "releasing a day", Lead)
	if err != nil {
		return DayPlan{}, err
	}
	var day DayPlan
	err = s.Store.InTx(ctx, func(tx Tx) error {
		if day, err = planOf(tx, date); err != nil {
			return err
		}
		if day.Released {
			return nil
		}
		proposed := only(day.Plan, func(b batch.Batch) bool { return b.Status == batch.Proposed })
		if err := stillWanted(tx, proposed); err != nil {
			return err
		}
		if err := allocate(tx, proposed); err != nil {
			return err
		}
		if err := markPlanned(tx, proposed); err != nil {
			return err
		}
		if err := tx.Release(date, p.Name, s.Now().UTC()); err != nil {
			return err
		}
		if err := s.handToBatches(tx, p, proposed); err != nil {
			return err
		}
		if err := tx.Record(s.audit(p, "release plan", date.String(), planDetail(DayPlan{Plan: proposed}))); err != nil {
			return err
		}
		day, err = tx.Plan(date)
		return err
	})
	return day, err
}

// Day gives the kept plan of a day; ErrNotFound when there is none. Everyone in the shop may see it.
func (s *Shop) Day(ctx context.Context, date calendar.Date) (DayPlan, error) {
	if _, err := allow(ctx, "seeing the plan", Roles()...); err != nil {
		return DayPlan{}, err
	}
	var day DayPlan
	err := s.Store.Read(ctx, func(r Reader) (err error) {
		day, err = planOf(r, date)
		return err
	})
	return day, err
}

// planOf reads the plan of a day; without one it says what helps.
func planOf(r Reader, date calendar.Date) (DayPlan, error) {
	day, err := r.Plan(date)
	if errors.Is(err, ErrNotFound) {
		return day, fmt.Errorf("no plan for %s yet, propose the day first: %w", date, ErrNotFound)
	}
	return day, err
}

// noteEach notes in every new draw what one string takes, so that results are posted as they were planned even when more is learned
// in between.
func noteEach(plan planning.Plan, bench planning.Bench) error {
	for b := range batchesOf(plan) {
		making, err := bench.Making(b.Recipe, b.Scale)
		if err != nil {
			return err
		}
		for i, d := range b.Draws { // the slice is the plan's own
			for _, u := range making.Uses {
				if u.Wire == d.Wire && d.Each == 0 && b.Status == batch.Proposed {
					b.Draws[i].Each = u.Each
				}
			}
		}
	}
	return nil
}

// planInput gathers one consistent picture of the shop for the planner. What finished stock gives is not planned; given says what
// that is.
func planInput(r Reader, date calendar.Date) (in planning.Input, given []batch.Given, err error) {
	in.Date = date
	bench, demands, err := openDemand(r)
	if err != nil {
		return in, nil, err
	}
	if given, in.Demands, err = fromFinished(r, demands); err != nil {
		return in, nil, err
	}
	in.Bench = bench
	if in.Practice, err = r.Practice(); err != nil {
		return in, nil, err
	}
	if in.Spools, err = r.Spools(); err != nil {
		return in, nil, err
	}
	machines, err := r.Machines()
	if err != nil {
		return in, nil, err
	}
	loaded, err := r.Loaded(date)
	if err != nil {
		return in, nil, err
	}
	for _, m := range machines {
		machine := planning.Machine{Machine: m, Loaded: loaded[m.Code]}
		for _, shift := range m.Shifts.List() {
			machine.Shifts = append(machine.Shifts, planning.Shift(shift))
		}
		in.Machines = append(in.Machines, machine)
	}
	return in, given, nil
}

// openDemand gives the strings that open orders still want, and the bench that knows what each takes.
func openDemand(r Reader) (*requirements.Bench, []requirements.Demand, error) {
	bench, err := benchOf(r)
	if err != nil {
		return nil, nil, err
	}
	orders, err := r.Orders(OrderFilter{OpenOnly: true})
	if err != nil {
		return nil, nil, err
	}
	covered, err := r.Covered()
	if err != nil {
		return nil, nil, err
	}
	return bench, requirements.Open(orders, covered), nil
}

// benchOf makes the bench of all recipes, or of some. Yields are those that the results so far have taught, wire factors those that
// weighing has: what an order is told, holds and is planned with is one figure.
func benchOf(r Reader, only ...catalog.RecipeCode) (*requirements.Bench, error) {
	alloys, err := allAlloys(r)
	if err != nil {
		return nil, err
	}
	wires, err := r.Wires()
	if err != nil {
		return nil, err
	}
	recipes, err := r.Recipes()
	if err != nil {
		return nil, err
	}
	learned, err := learn(r, recipes, wires)
	if err != nil {
		return nil, err
	}
	var wanted []catalog.Recipe
	for i, c := range recipes {
		recipes[i].Yield = learned[c.Code].Yield.Mean
		if len(only) == 0 || slices.Contains(only, c.Code) {
			wanted = append(wanted, recipes[i])
		}
	}
	practice, err := r.Practice()
	if err != nil {
		return nil, err
	}
	bench, err := requirements.NewBench(alloys, wires, wanted, practice)
	if err != nil {
		return nil, err
	}
	return calibrate(r, bench, recipes, wires)
}

// recipesOf gives the recipes of orders.
func recipesOf(orders ...order.Order) []catalog.RecipeCode {
	var codes []catalog.RecipeCode
	for _, o := range orders {
		for _, l := range o.Lines {
			for _, str := range l.Strings {
				codes = append(codes, str.Recipe)
			}
		}
	}
	slices.Sort(codes)
	return slices.Compact(codes)
}

// stillWanted refuses a proposal whose strings were cancelled or planned elsewhere since.
func stillWanted(r Reader, plan planning.Plan) error {
	_, demands, err := openDemand(r)
	if err != nil {
		return err
	}
	type place struct {
		order          order.Code
		line, position int
		recipe         catalog.RecipeCode
		scale          measure.Size
	}
	open := make(map[place]int, len(demands))
	for _, d := range demands {
		open[place{d.Order, d.Line, d.Position, d.Recipe, d.Scale}] += d.Strings
	}
	for b := range batchesOf(plan) {
		for _, sv := range b.Serves {
			at := place{sv.Order, sv.Line, sv.Position, b.Recipe, b.Scale}
			if open[at] -= sv.Strings; open[at] < 0 {
				return fmt.Errorf("order %s line %d position %d is no longer open for %d strings; propose the day again: %w",
					sv.Order, sv.Line, sv.Position, sv.Strings, ErrChanged)
			}
		}
	}
	return nil
}

// allocate promises the draws of a plan on their spools.
func allocate(tx Tx, plan planning.Plan) error {
	wanted := map[stock.SpoolCode]measure.Mass{}
	for b := range batchesOf(plan) {
		for _, d := range b.Draws {
			wanted[d.Spool] += d.Mass
		}
	}
	for _, code := range sortedKeys(wanted) { // in one order for everyone, so that two releases cannot block each other
		if err := tx.Allocate(code, wanted[code]); err != nil {
			if errors.Is(err, ErrShort) {
				return fmt.Errorf("spool %s no longer has %s free; propose the day again: %w (%w)", code, wanted[code], ErrChanged, err)
			}
			return err
		}
	}
	return nil
}

// handToBatches frees the wire that orders held for the strings now released, which their batches hold on spools instead. Where
// the batches, with their overage, took what other orders were promised, those due last lose it.
func (s *Shop) handToBatches(tx Tx, p Person, plan planning.Plan) error {
	served := map[order.Code]bool{}
	var wires []material.WireCode
	for b := range batchesOf(plan) {
		wires = append(wires, b.Wires()...)
		for _, sv := range b.Serves {
			served[sv.Order] = true
		}
	}
	bench, err := benchOf(tx)
	if err != nil {
		return err
	}
	for _, code := range sortedKeys(served) {
		o, err := tx.Order(code)
		if err != nil {
			return err
		}
		changed, err := need(tx, bench, o)
		if err != nil {
			return err
		}
		wires = append(wires, changed...)
	}
	return s.settle(tx, p, wires...)
}

// markPlanned moves the orders that the plan serves from confirmed to planned.
func markPlanned(tx Tx, plan planning.Plan) error {
	served := map[order.Code]bool{}
	for b := range batchesOf(plan) {
		for _, sv := range b.Serves {
			served[sv.Order] = true
		}
	}
	for _, code := range sortedKeys(served) {
		o, err := tx.Order(code)
		if err != nil {
			return err
		}
		if o.Status == order.Confirmed {
			if err := tx.SetOrderStatus(code, order.Confirmed, order.Planned); err != nil {
				return err
			}
		}
	}
	return nil
}

// batchesOf walks the batches of a plan, machine by machine in sequence.
func batchesOf(plan planning.Plan) func(yield func(batch.Batch) bool) {
	return func(yield func(batch.Batch) bool) {
		for _, m := range plan.Machines {
			for _, b := range m.Batches {
				if !yield(b) {
					return
				}
			}
		}
	}
}

func planDetail(day DayPlan) string {
	batches, strings := 0, 0
	for b := range batchesOf(day.Plan) {
		batches++
		strings += b.ToWind
	}
	return fmt.Sprintf("%d batches, %d strings, setup %s, %d positions left out", batches, strings, day.Setup, len(day.NotPlanned))
}
