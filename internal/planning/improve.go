package planning

import (
	"slices"
	"time"
)

// The search: so many temperatures, so many tries in all, and how much worse a step may be at first (mean). The tries are
// counted, not timed, so that the plan does not depend on how fast the machine is.
const (
	temperatures = 100
	mostTries    = 400_000
	triesABatch  = 2_000
	hot          = int64(3 * time.Minute)
	coolTo       = 970 // of 1000, at each temperature
)

// improve looks for a sequence with less setup by threshold annealing (Dueck and Scheuer, Threshold accepting, J. Comput.
// Phys. 90, 1990; from memory) with random thresholds: batches move beside a batch that needs little setup from them, change
// places, are reversed, or two machines exchange the rest of their days. A day that fits stays one; it never gets worse.
func (d *draft) improve() {
	a := newAnnealer(d)
	if a.batches < 2 {
		return
	}
	theta := hot
	tries := min(mostTries, triesABatch*a.batches) / temperatures
	for range temperatures {
		for range tries {
			a.try(a.cost + theta*a.dice.tolerance()>>10)
		}
		theta = theta * coolTo / 1000
	}
	d.lanes = a.best
}

// annealer holds the sequence being changed, the best one seen, and room to try changes in.
type annealer struct {
	*draft
	near     [][]int // by group, the groups that go well beside it
	at       [][]int // by group, the machines that wind it
	pinned   []bool
	batches  int
	dice     dice
	cost     int64
	best     []lane
	least    int64
	one, two []run
}

func newAnnealer(d *draft) *annealer {
	a := &annealer{draft: d, at: make([][]int, len(d.groups)), cost: d.setup(), dice: 1}
	for m := range d.lanes {
		a.batches += len(d.lanes[m].runs)
		for _, r := range d.lanes[m].runs {
			a.at[r.group] = append(a.at[r.group], m)
		}
	}
	for g := range d.groups {
		a.pinned = append(a.pinned, d.pinned(g))
	}
	a.near = d.neighbours(a.at)
	a.keep()
	return a
}

func (a *annealer) keep() {
	a.least, a.best = a.cost, nil
	for m := range a.lanes {
		a.best = append(a.best, a.lanes[m].clone())
	}
}

// change is a tried sequence for one machine. It differs from the present one only between the position from and the last
// same batches.
type change struct {
	machine    int
	runs       []run
	from, same int
}

// accept takes changes of different machines over, if their setup is within the limit and they are allowed.
func (a *annealer) accept(limit int64, changes ...change) {
	cost := a.cost
	for i := range changes {
		cost += a.total(&changes[i]) - a.lanes[changes[i].machine].setup()
	}
	if cost > limit {
		return
	}
	for i := range changes {
		if !a.allowed(&changes[i]) {
			return
		}
	}
	for i := range changes {
		a.leave(&changes[i])
	}
	for i := range changes {
		a.enter(&changes[i])
	}
	a.cost = cost
	if cost < a.least {
		a.keep()
	}
}

// total gives the setup of a machine's day after a change. Once it is loaded as it was before, the rest costs the same.
func (a *annealer) total(c *change) int64 {
	l := &a.lanes[c.machine]
	on, paid := l.before[c.from], l.paid[c.from]
	for i := c.from; i < len(c.runs); i++ {
		if left := len(c.runs) - i; left <= c.same {
			if at := len(l.runs) - left; on == l.before[at] {
				return paid + l.setup() - l.paid[at]
			}
		}
		paid += a.rates.load(&on, &a.groups[c.runs[i].group].fitting)
	}
	return paid
}

// allowed says whether a machine takes every batch of a change, once each, and has the time.
func (a *annealer) allowed(c *change) bool {
	l := &a.lanes[c.machine]
	work := l.work
	for _, r := range l.runs[c.from : len(l.runs)-c.same] {
		work -= int64(r.toWind) * a.groups[r.group].each
	}
	for i := c.from; i < len(c.runs)-c.same; i++ {
		r := &c.runs[i]
		g := &a.groups[r.group]
		if a.pinned[r.group] && !slices.Contains(a.at[r.group], c.machine) {
			return false
		}
		if !a.takes(r.group, c.machine) || (len(a.at[r.group]) > 1 && twice(c.runs, i)) {
			return false
		}
		work += int64(r.toWind) * g.each
	}
	return work+a.total(c)+l.reserve <= a.capacity[c.machine]
}

func twice(runs []run, at int) bool {
	for i := range runs {
		if i != at && runs[i].group == runs[at].group {
			return true
		}
	}
	return false
}
