package planning

import (
	"cmp"
	"slices"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/order"
)

// write turns the draft into a plan: names, times, draws and orders for the batches, and what was left out.
func (d *draft) write() Plan {
	serves, codes := d.serves(), d.codes()
	p := Plan{Date: d.date}
	for m := range d.lanes {
		day := MachineDay{Machine: d.machines[m].Code, After: d.machines[m].Loaded}
		var work time.Duration
		for at := range d.lanes[m].runs {
			b := d.batchAt(m, at)
			b.Code, b.Serves = codes[m][at], serves[m][at]
			if r := &d.lanes[m].runs[at]; r.fixed && r.stands == nil {
				p.Pinned = append(p.Pinned, b.Code)
			}
			g := &d.groups[d.lanes[m].runs[at].group]
			b.Setup, day.After = SetupOf(day.After, g.making, g.scale, b.Draws, d.practice)
			b.Starts = time.Duration(d.begins(m, int64(work)))
			work += b.Setup + b.Run
			b.Ends = time.Duration(d.wall(m, int64(work)))
			p.Setup += b.Setup
			day.Batches = append(day.Batches, b)
		}
		p.Overtime += max(0, work-time.Duration(d.regular[m]))
		p.Machines = append(p.Machines, day)
	}
	for g, held := range d.held {
		if held {
			p.Held = append(p.Held, Held{d.groups[g].recipe, d.groups[g].scale})
		}
	}
	for g, owed := range d.owed {
		if owed != 0 {
			p.Delayed = append(p.Delayed, Delayed{d.groups[g].recipe, d.groups[g].scale, time.Duration(owed)})
		}
	}
	p.NotPlanned, p.Late = d.leftOut(), d.late()
	if !d.quick {
		d.prove(&p)
	}
	return p
}

// batchAt gives a batch without its name, orders and times.
func (d *draft) batchAt(m, at int) batch.Batch {
	r := &d.lanes[m].runs[at]
	g := &d.groups[r.group]
	b := batch.Batch{
		Date: d.date, Status: batch.Proposed, Recipe: g.recipe, Scale: g.scale, Ordered: r.ordered, ToWind: r.toWind,
		Run: time.Duration(d.winding(r)), Delay: time.Duration(r.delay), Draws: d.chosen[m][at],
	}
	if r.stands != nil {
		b = *r.stands
		b.Run = time.Duration(d.winding(r))
		b.Delay += b.Run - r.stands.Run
	}
	b.Machine, b.Sequence = d.machines[m].Code, at+1
	return b
}

// serves hands the strings of each group's batches to its demands in due order, the first machine's batch first.
func (d *draft) serves() [][][]batch.Serve {
	byGroup := make([][]int, len(d.groups))
	for i, n := range d.planned {
		if n > 0 {
			byGroup[d.groupOf[i]] = append(byGroup[d.groupOf[i]], i)
		}
	}
	left := slices.Clone(d.planned)
	all := make([][][]batch.Serve, len(d.lanes))
	for m := range d.lanes {
		for _, r := range d.lanes[m].runs {
			var own []batch.Serve
			if r.stands != nil {
				all[m] = append(all[m], r.stands.Serves)
				continue
			}
			for room := r.ordered; room > 0; {
				i := byGroup[r.group][0]
				n := min(room, left[i])
				room -= n
				if left[i] -= n; left[i] == 0 {
					byGroup[r.group] = byGroup[r.group][1:]
				}
				dm := d.demands[i]
				own = append(own, batch.Serve{Order: dm.Order, Line: dm.Line, Position: dm.Position, Strings: n})
			}
			slices.SortFunc(own, func(a, b batch.Serve) int {
				return cmp.Or(cmp.Compare(a.Order, b.Order), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Position, b.Position))
			})
			all[m] = append(all[m], own)
		}
	}
	return all
}

func (d *draft) leftOut() []NotPlanned {
	var list []NotPlanned
	c := d.closing(true)
	for i, dm := range d.demands {
		left := dm.Strings - d.planned[i]
		if left == 0 {
			continue
		}
		why, detail := c.why(d.groupOf[i], left)
		list = append(list, NotPlanned{dm.Order, dm.Line, dm.Position, left, why, detail})
	}
	return list
}

// late lists the orders due before the day, and those due on it that are not planned whole.
func (d *draft) late() []order.Code {
	var list []order.Code
	for _, o := range d.orders {
		due := d.demands[o[0]].DueOn
		if due < d.date || (due == d.date && !d.complete(o)) {
			list = append(list, d.demands[o[0]].Order)
		}
	}
	return list
}
