// Package promise finds the earliest day for which an order may be promised: the days to come are planned with the order among
// those that the shop has taken on already, by the engine that plans the day, and beyond them it is reckoned so that the day can
// only come out too late.
package promise

import (
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

// Room is the winding room with its working days to come.
type Room struct {
	Input    planning.Input // as the first day begins; the due day of each demand is the one its order is to be held to
	Days     []Day          // working days that may be planned, one at least; the first is the input's
	Look     int            // so many are at least; more where other orders are not complete by then; zero: all
	Receipts []Receipt      // wire on its way
	Shop     calendar.ShopDays
	Released map[order.Code]calendar.Date // the last day on which a released batch winds for an order
	Overdue  []Receipt                    // on its way and past its day: no day is counted on
	Memo     *Memo                        // of the shop; nil where nothing is kept
	Brief    bool                         // the days are planned by a brief search, which may plan them otherwise than the day itself will be
}

// Day is a working day to come.
type Day struct {
	Date     calendar.Date
	Kept     *planning.Plan        // stands; nil where nothing is planned yet
	Overtime time.Duration         // on each machine
	Down     []catalog.MachineCode // wind nothing
}

// Receipt is wire on its way.
type Receipt struct {
	Purchase   string
	Wire       material.WireCode
	Stated     calendar.Date // by the supplier
	On         calendar.Date // first day on which it is counted on
	Mass       measure.Mass
	UsableEnd  measure.Mass
	Confidence float64 // that it is there by then
}

// Result is a day as it would go.
type Result struct {
	In   planning.Input // as the day begins
	Plan planning.Plan
	Left []requirements.Demand // still to wind when it is done
}

// Simulate plans the days one after the other, each from what the one before leaves on the machines, on the spools and to wind.
// What is kept of a day stands, with what is new beside it.
func (r Room) Simulate() ([]Result, error) {
	results, _, err := r.simulate(r.Input, 0, nil)
	return results, err
}

// simulate plans the days from one on, with further demands, and gives the room as the last leaves it.
func (r Room) simulate(in planning.Input, from int, more []requirements.Demand) ([]Result, planning.Input, error) {
	in.Demands = slices.Concat(in.Demands, more)
	var all []Result
	for i, day := range r.Days[from:] {
		in = r.morning(in, from+i, day)
		if n := len(all); n > 0 && r.idle(all[n-1], from+i, in) {
			plan := all[n-1].Plan
			plan.Date = day.Date
			all = append(all, Result{in, plan, all[n-1].Left})
			continue
		}
		in.Quick = r.Brief
		plan, err := remembered(r.Memo, func() key { return dayKey(in, day.Kept) }, func() (planning.Plan, error) { return day.plan(in) })
		if err != nil {
			return nil, in, err
		}
		next := after(in, plan)
		all = append(all, Result{in, plan, next.Demands})
		in = next
	}
	return all, in, nil
}

// idle says whether a day brings nothing new after one on which nothing could be wound: then nothing can be on it either.
func (r Room) idle(before Result, n int, in planning.Input) bool {
	a, b := r.Days[n-1], r.Days[n]
	for _, m := range before.Plan.Machines {
		if len(m.Batches) > 0 {
			return false
		}
	}
	return b.Kept == nil && a.Overtime == b.Overtime && slices.Equal(a.Down, b.Down) && len(in.Spools) == len(before.In.Spools)
}

// morning gives the room as a day begins.
func (r Room) morning(in planning.Input, n int, day Day) planning.Input {
	in.Date, in.Overtime = day.Date, day.Overtime
	in.Machines, in.Spools = slices.Clone(in.Machines), slices.Clone(in.Spools)
	for i := range in.Machines {
		in.Machines[i].Down = slices.Contains(day.Down, in.Machines[i].Code)
	}
	for k, rc := range r.Receipts {
		if rc.On <= day.Date && (n == 0 || rc.On > r.Days[n-1].Date) {
			in.Spools = append(in.Spools, rc.spool(k))
		}
	}
	return in
}

func (d Day) plan(in planning.Input) (planning.Plan, error) {
	if d.Kept != nil {
		return planning.Again(in, *d.Kept, planning.Changes{})
	}
	return planning.Propose(in)
}

// spool gives a receipt as one spool; its number keeps it apart from the others.
func (r Receipt) spool(number int) stock.Balance {
	b := stock.Balance{State: stock.Available, UsableEnd: r.UsableEnd, Mass: r.Mass}
	b.Code, b.Wire, b.ReceivedOn = stock.SpoolCode(fmt.Sprintf("on its way %d", number+1)), r.Wire, r.On
	return b
}

// after gives the room as a plan leaves it. The strings of batches that stand are not wanted any more, and their wire, which is
// promised, goes off its spools.
func after(in planning.Input, plan planning.Plan) planning.Input {
	proposed := plan
	proposed.Machines = slices.Clone(plan.Machines)
	promised := map[stock.SpoolCode]measure.Mass{}
	for i, m := range proposed.Machines {
		proposed.Machines[i].Batches = slices.DeleteFunc(slices.Clone(m.Batches), func(b batch.Batch) bool { return b.Status != batch.Proposed })
		for _, b := range m.Batches {
			for _, d := range b.Draws {
				promised[d.Spool] += d.Allocated
			}
		}
	}
	out := planning.After(in, proposed)
	for i := range out.Spools { // After has made them its own
		sp := &out.Spools[i]
		sp.Mass, sp.Allocated = sp.Mass-promised[sp.Code], sp.Allocated-promised[sp.Code]
	}
	return out
}
