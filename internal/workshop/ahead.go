package workshop

import (
	"context"
	"errors"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/planning"
	"windingroom/internal/promise"
	"windingroom/internal/requirements"
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
	given    []batch.Given // out of finished stock
	days     []calendar.Date
	kept     map[calendar.Date]DayPlan // the first day's plan, and those of which something stands
	receipts []promise.Receipt
	last     map[order.Code]calendar.Date // the last day on which a released batch winds for an order
	memo     *promise.Memo
}

func (s *Shop) readAhead(r Reader, from calendar.Date, days int) (a ahead, err error) {
	a.memo = &s.memo
	if !s.Days.IsWorkday(from) {
		from = s.Days.NextWorkday(from)
	}
	for i := range days {
		a.days = append(a.days, s.Days.AddWorkdays(from, i))
	}
	if a.input, a.given, err = planInput(r, from); err != nil {
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
	if a.receipts, err = s.receipts(r); err != nil {
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

// receipts gives the wire on its way, each receipt for its day. As with promises of wire, one that was due before today is not counted.
func (s *Shop) receipts(r Reader) ([]promise.Receipt, error) {
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
	var list []promise.Receipt
	for _, sr := range scheduled {
		if sr.On >= s.Today() {
			list = append(list, promise.Receipt{Purchase: string(sr.Purchase), Wire: sr.Wire, Stated: sr.On, On: sr.On, Mass: sr.Mass, UsableEnd: usable[sr.Wire]})
		}
	}
	return list, nil
}

func (a ahead) look() ([]AheadDay, error) {
	results, err := a.room().Simulate()
	days := make([]AheadDay, len(results))
	for i, r := range results {
		days[i] = a.day(r.In, r.Plan, r.Left)
	}
	return days, err
}

// room gives the room as promises are found in it.
func (a ahead) room() promise.Room {
	room := promise.Room{Input: a.input, Receipts: a.receipts, Released: a.last, Memo: a.memo}
	for _, date := range a.days {
		day := promise.Day{Date: date}
		if kept, planned := a.kept[date]; planned {
			day.Kept, day.Overtime, day.Down = &kept.Plan, kept.Allowed, kept.Down
		}
		room.Days = append(room.Days, day)
	}
	return room
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
