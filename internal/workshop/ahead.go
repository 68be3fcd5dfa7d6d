package workshop

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

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

// MostAhead is how many working days one may look ahead.
const MostAhead = 30

// AheadDay is a working day to come as it would be planned today.
type AheadDay struct {
	planning.Plan
	Loads     []AheadLoad  // by machine
	Completed []order.Code // whose last strings are wound that day, by code
}

// AheadLoad is what a machine has to do on a day.
type AheadLoad struct {
	Machine catalog.MachineCode
	Minutes time.Duration // it is worked, without overtime; none where it is down
	Setup   time.Duration
	Run     time.Duration
	Batches int
}

// LookAhead plans a number of working days from a day on, if that is one, with the engine that plans the day: each begins with what
// the day before leaves on the machines, on the spools and to wind, and with the wire that is due to arrive by then. What is kept
// of the first day, and what is released of a later one, stands. Nothing of it is kept. Everyone in the shop may look.
func (s *Shop) LookAhead(ctx context.Context, from calendar.Date, days int) ([]AheadDay, error) {
	if _, err := allow(ctx, "looking ahead", Roles()...); err != nil {
		return nil, err
	}
	if days < 1 || days > MostAhead {
		return nil, wrong("days", "%d is not a number of working days from 1 to %d", days, MostAhead)
	}
	var a ahead
	err := s.Store.Read(ctx, func(r Reader) (err error) {
		a, err = s.readAhead(r, from, days)
		return err
	})
	if err != nil {
		return nil, err
	}
	return a.look()
}

// ahead is a room with its days to come.
type ahead struct {
	input    planning.Input
	days     []calendar.Date
	kept     map[calendar.Date]DayPlan         // the first day's plan, and those of which something stands
	receipts map[calendar.Date][]stock.Balance // by the working day on which they may be used first
	last     map[order.Code]calendar.Date      // the last day on which a released batch winds for an order
}

func (s *Shop) readAhead(r Reader, from calendar.Date, days int) (a ahead, err error) {
	if !s.Days.IsWorkday(from) {
		from = s.Days.NextWorkday(from)
	}
	for i := range days {
		a.days = append(a.days, s.Days.AddWorkdays(from, i))
	}
	if a.input, _, err = planInput(r, from); err != nil {
		return a, err
	}
	a.kept = map[calendar.Date]DayPlan{}
	for i, date := range a.days {
		day, err := r.Plan(date)
		if err != nil && !errors.Is(err, ErrNotFound) {
			return a, err
		}
		if err == nil && (i == 0 || len(day.Standing()) > 0) {
			a.kept[date] = day
		}
	}
	if a.receipts, err = s.receipts(r, a.days); err != nil {
		return a, err
	}
	a.last = map[order.Code]calendar.Date{}
	released, err := r.Batches(BatchFilter{Status: batch.Released})
	for _, b := range released {
		for _, sv := range b.Serves {
			a.last[sv.Order] = max(a.last[sv.Order], b.Date)
		}
	}
	return a, err
}

// receipts gives the wire on its way as spools, one a receipt, for the first working day on which each may be used. As with
// promises, one that was due before today is not counted.
func (s *Shop) receipts(r Reader, days []calendar.Date) (map[calendar.Date][]stock.Balance, error) {
	scheduled, err := r.ScheduledReceipts()
	if err != nil || len(scheduled) == 0 {
		return nil, err
	}
	wires, err := r.Wires()
	if err != nil {
		return nil, err
	}
	usable := map[material.WireCode]measure.Mass{}
	for _, w := range wires {
		usable[w.Code] = w.UsableEnd
	}
	of := map[calendar.Date][]stock.Balance{}
	for i, sr := range scheduled {
		first := slices.IndexFunc(days, func(d calendar.Date) bool { return d >= sr.On })
		if sr.On < s.Today() || first < 0 {
			continue
		}
		b := stock.Balance{State: stock.Available, UsableEnd: usable[sr.Wire], Mass: sr.Mass}
		b.Code, b.Wire, b.ReceivedOn = stock.SpoolCode(fmt.Sprintf("on its way %d", i+1)), sr.Wire, sr.On
		of[days[first]] = append(of[days[first]], b)
	}
	return of, nil
}

func (a ahead) look() ([]AheadDay, error) {
	var all []AheadDay
	in := a.input
	for _, date := range a.days {
		in.Date, in.Overtime = date, 0
		in.Machines, in.Spools = slices.Clone(in.Machines), slices.Concat(in.Spools, a.receipts[date])
		kept, planned := a.kept[date]
		for i := range in.Machines {
			in.Machines[i].Down = slices.Contains(kept.Down, in.Machines[i].Code)
		}
		var plan planning.Plan
		var err error
		if planned {
			in.Overtime = kept.Allowed
			plan, err = planning.Again(in, kept.Plan, planning.Changes{})
		} else {
			plan, err = planning.Propose(in)
		}
		if err != nil {
			return nil, err
		}
		next := afterFree(in, plan)
		all = append(all, a.day(in, plan, next.Demands))
		in = next
	}
	return all, nil
}

// afterFree gives the room as a plan leaves it. The strings of batches that stand are not wanted any more, and their wire, which is
// promised, goes off its spools.
func afterFree(in planning.Input, plan planning.Plan) planning.Input {
	out := planning.After(in, only(plan, func(b batch.Batch) bool { return b.Status == batch.Proposed }))
	promised := map[stock.SpoolCode]measure.Mass{}
	for b := range batchesOf(plan) {
		for _, d := range b.Draws {
			promised[d.Spool] += d.Allocated
		}
	}
	for i := range out.Spools { // After has made them its own
		sp := &out.Spools[i]
		sp.Mass, sp.Allocated = sp.Mass-promised[sp.Code], sp.Allocated-promised[sp.Code]
	}
	return out
}

// day says what a plan does for machines and orders.
func (a ahead) day(in planning.Input, plan planning.Plan, left []requirements.Demand) AheadDay {
	d := AheadDay{Plan: plan}
	for i, m := range plan.Machines {
		load := AheadLoad{Machine: m.Machine, Batches: len(m.Batches)}
		if !in.Machines[i].Down {
			load.Minutes = in.Machines[i].PerDay
		}
		for _, b := range m.Batches {
			load.Setup += b.Setup
			load.Run += b.Run
		}
		d.Loads = append(d.Loads, load)
	}
	open := map[order.Code]bool{}
	for _, dm := range left {
		open[dm.Order] = true
	}
	done := map[order.Code]bool{}
	for b := range batchesOf(plan) {
		for _, sv := range b.Serves {
			done[sv.Order] = done[sv.Order] || b.Status != batch.Finished && !open[sv.Order] && a.last[sv.Order] <= plan.Date
		}
	}
	for _, code := range sortedKeys(done) {
		if done[code] {
			d.Completed = append(d.Completed, code)
		}
	}
	return d
}
