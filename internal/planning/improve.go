package planning

import (
	"slices"
	"time"

	"windingroom/internal/catalog"
	"windingroom/internal/planning/sequencing"
)

// What the search minds beside lateness, and what a minute of one order's lateness is worth to it: ten seconds of setup while it
// looks around; plans are compared by lateness first. A minute between the machine that is busy longest and the one that is
// busy least counts a sixteenth of a minute of setup or overtime.
const (
	setupPrice  = 16
	spreadPrice = 1
	latePrice   = setupPrice * int64(10*time.Second)
)

// The search counts what it tries: a little while orders come in, much when the day stands.
const (
	roughByBatch  = 25
	roughTries    = 1_000
	carefulTries  = 400_000
	byBatch       = 2_000
	carefulPerDay = 60_000_000 // tries × batches
)

// improve looks for a better sequence. A day that fits stays one; it never gets worse. It says whether no other sequence of
// these batches could be better.
func (d *draft) improve(careful bool) (optimal bool) {
	p, runs := d.problem()
	if len(runs) == 0 {
		return true
	}
	n := len(runs)
	p.Effort, p.Quick = max(roughTries, roughByBatch*n), !careful
	if careful {
		p.Effort = min(carefulTries, byBatch*n, carefulPerDay/n)
	}
	r := sequencing.Solve(p)
	for m := range d.lanes {
		l := &d.lanes[m]
		l.runs, l.work = nil, 0
		for _, j := range r.Sequence[m] {
			l.runs = append(l.runs, runs[j])
			l.work += d.winding(&runs[j])
		}
		l.settle(d.shop, 0)
	}
	return r.Optimal
}

// problem puts the day's batches to the engine, in the sequence they have, with the orders that are complete with them.
func (d *draft) problem() (sequencing.Problem, []run) {
	p := sequencing.Problem{
		Tick:   int64(time.Minute),
		Prices: sequencing.Prices{Late: latePrice, Setup: setupPrice, Overtime: setupPrice, Spread: spreadPrice},
	}
	var runs []run
	at := make([][]int, len(d.groups)) // machines that wind each group
	for m := range d.lanes {
		p.Machines = append(p.Machines, sequencing.Machine{
			Regular: d.regular[m] - d.lanes[m].reserve, Limit: d.capacity[m] - d.lanes[m].reserve,
			Shifts: d.shifts[m], Loaded: wantsOf(&d.starts[m]),
		})
		kept := []int{}
		for _, r := range d.lanes[m].runs {
			kept = append(kept, len(runs))
			runs = append(runs, r)
			at[r.group] = append(at[r.group], m)
		}
		p.Kept = append(p.Kept, kept)
	}
	for range catalog.MaxWraps {
		p.Places = append(p.Places, d.rates.wrap)
	}
	for j := range runs {
		p.Batches = append(p.Batches, d.batchOf(&runs[j], at))
	}
	for m, kept := range p.Kept {
		for _, j := range kept {
			if len(at[runs[j].group]) > 1 && !(d.loose && d.joins(runs[j].group)) || runs[j].stands != nil { // a group has one batch on a machine: its parts stay where they are
				p.Batches[j].Takes = only(m, len(d.lanes))
			}
			p.Batches[j].Takes[m] = true // where it is it may stay
		}
	}
	setup := func(a, b *fitting) int64 {
		var cost int64
		if a.core != b.core {
			cost += d.rates.core
		}
		if a.scale != b.scale {
			cost += d.rates.length
		}
		return cost
	}
	p.Setup = func(_, from, to int) int64 {
		return setup(&d.groups[runs[from].group].fitting, &d.groups[runs[to].group].fitting)
	}
	p.Start = func(m, to int) int64 { return setup(&d.starts[m], &d.groups[runs[to].group].fitting) }
	p.Orders = d.dues(runs)
	return p, runs
}

// joins says whether the batches of a group become one where they meet.
func (d *draft) joins(group int) bool {
	for m := range d.lanes {
		for _, r := range d.lanes[m].runs {
			if r.group == group && (r.apart || r.fixed) {
				return false
			}
		}
	}
	return true
}

// relax lets every batch on all machines that take it: what no sequence can undercut must not lean on what the search leaves
// alone. It gives whether that lets anything in.
func (d *draft) relax(p *sequencing.Problem, runs []run) bool {
	more := false
	at := make([]int, len(runs))
	for m, kept := range p.Kept {
		for _, j := range kept {
			at[j] = m
		}
	}
	for j := range runs {
		takes := slices.Clone(d.groups[runs[j].group].takes)
		takes[at[j]] = true // it stands there although the machine is down
		more = more || !slices.Equal(takes, p.Batches[j].Takes) || p.Batches[j].Fixed
		p.Batches[j].Takes, p.Batches[j].Fixed = takes, false
	}
	return more
}

// restricted says whether the search may not put every batch on every machine that takes it.
func (d *draft) restricted() bool {
	p, runs := d.problem()
	return d.relax(&p, runs)
}

func (d *draft) batchOf(r *run, at [][]int) sequencing.Batch {
	b := sequencing.Batch{Wants: wantsOf(&d.groups[r.group].fitting), Fixed: r.fixed}
	pinned := d.pinned(r.group)
	for m := range d.lanes {
		b.Run = append(b.Run, d.winding(r))
		b.Takes = append(b.Takes, d.takes(r.group, m) && (!pinned || slices.Contains(at[r.group], m)))
	}
	return b
}

func only(machine, of int) []bool {
	takes := make([]bool, of)
	takes[machine] = true
	return takes
}

// wantsOf gives the wraps as the engine has them: zero is none.
func wantsOf(f *fitting) []int {
	wants := make([]int, catalog.MaxWraps)
	for i, w := range f.wraps {
		wants[i] = w + 1
	}
	return wants
}

// winding gives the time a batch runs.
func (d *draft) winding(r *run) int64 { return int64(r.toWind)*d.groups[r.group].each + r.delay }

// dues lists the orders that can be late in the day although they are complete with it, each with its batches. An order is
// due when its day is over, or at its hour.
func (d *draft) dues(runs []run) []sequencing.Order {
	var list []sequencing.Order
	latest := d.dayEnd()
	for _, o := range d.orders {
		due := d.dueOf(o)
		if due >= latest || !d.complete(o) {
			continue
		}
		order := sequencing.Order{Due: due, Weight: d.weightOf(o)}
		for j := range runs {
			if servedBy(&runs[j], d.demands[o[0]].Order) || slices.ContainsFunc(o, func(i int) bool { return d.groupOf[i] == runs[j].group && d.planned[i] > 0 }) {
				order.Batches = append(order.Batches, j)
			}
		}
		if len(order.Batches) > 0 {
			list = append(list, order)
		}
	}
	return list
}

// dueOf gives when an order is due, in ns after the start of the day.
func (s *shop) dueOf(order []int) int64 {
	const aDay = 24 * int64(time.Hour)
	first := &s.demands[order[0]]
	days := int64(first.DueOn) - int64(s.date)
	if at := s.terms[first.Order].DueAt; at > 0 {
		return days*aDay + int64(at)
	}
	return (days + 1) * aDay
}

func (s *shop) weightOf(order []int) int64 {
	return int64(max(1, s.terms[s.demands[order[0]].Order].Weight))
}

// dayEnd gives when the last machine has done all it may do.
func (s *shop) dayEnd() int64 {
	var end int64
	for m := range s.machines {
		end = max(end, s.wall(m, s.capacity[m]))
	}
	return end
}
