package planning

import (
	"slices"
	"time"
)

// The search: so many temperatures, so many tries in all, and how much worse a step may be at first and at last (mean).
// The tries are counted, not timed, so that the plan does not depend on how fast the machine is.
const (
	temperatures = 100
	mostTries    = 120_000
	triesABatch  = 2_000
	hot          = int64(5 * time.Minute)
	coolTo       = 970 // of 1000, at each temperature
	longestMove  = 8
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
			a.try(theta)
		}
		theta = theta * coolTo / 1000
	}
	d.lanes = a.best
}

// annealer holds the sequence being changed, the best one seen, and room to try changes in.
type annealer struct {
	*draft
	near    [][]int // by group, the groups that go well beside it
	at      [][]int // by group, the machines that wind it
	batches int
	dice    dice
	cost    int64
	best    []lane
	least   int64
	one     []run
	two     []run
}

func newAnnealer(d *draft) *annealer {
	a := &annealer{draft: d, at: make([][]int, len(d.groups)), cost: d.setup(), dice: 1}
	for m := range d.lanes {
		a.batches += len(d.lanes[m].runs)
		for _, r := range d.lanes[m].runs {
			a.at[r.group] = append(a.at[r.group], m)
		}
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

// try makes one random change and keeps it where it is allowed and not much worse.
func (a *annealer) try(theta int64) {
	m := a.machine()
	i := a.dice.below(len(a.lanes[m].runs))
	limit := a.cost + theta*a.dice.tolerance()>>10
	switch kind := a.dice.below(10); {
	case kind < 6:
		a.move(m, i, limit)
	case kind < 8:
		a.swap(m, i, limit)
	case kind < 9:
		a.reverse(m, i, limit)
	default:
		a.exchange(m, i, limit)
	}
}

// machine picks a machine with work, each batch being as likely as every other.
func (a *annealer) machine() int {
	n := a.dice.below(a.batches)
	for m := range a.lanes {
		if n < len(a.lanes[m].runs) {
			return m
		}
		n -= len(a.lanes[m].runs)
	}
	return 0
}

// beside picks a place to go to: mostly next to a batch that goes well with this one, else anywhere.
func (a *annealer) beside(group int) (machine, at int) {
	if near := a.near[group]; len(near) > 0 && a.dice.below(4) > 0 {
		g := near[a.dice.below(len(near))]
		m := a.at[g][a.dice.below(len(a.at[g]))]
		return m, a.lanes[m].find(g)
	}
	m := a.dice.below(len(a.lanes))
	return m, a.dice.below(len(a.lanes[m].runs) + 1)
}

func (a *annealer) move(m, i int, limit int64) {
	n := 1
	if a.dice.below(2) == 0 {
		n += a.dice.below(longestMove)
	}
	from := a.lanes[m].runs
	n = min(n, len(from)-i)
	to, j := a.beside(from[i].group)
	j = min(j+a.dice.below(2), len(a.lanes[to].runs))
	turned := a.dice.below(4) == 0
	block := from[i : i+n]
	if to != m {
		a.one = append(append(a.one[:0], from[:i]...), from[i+n:]...)
		a.two = append(append(append(a.two[:0], a.lanes[to].runs[:j]...), block...), a.lanes[to].runs[j:]...)
		if turned {
			slices.Reverse(a.two[j : j+n])
		}
		a.accept(m, to, i, j, limit)
		return
	}
	if j >= i && j <= i+n {
		return
	}
	a.one = append(append(a.one[:0], from[:i]...), from[i+n:]...)
	if j > i {
		j -= n
	}
	a.one = slices.Insert(a.one, j, block...)
	if turned {
		slices.Reverse(a.one[j : j+n])
	}
	a.accept(m, m, min(i, j), 0, limit)
}

func (a *annealer) swap(m, i int, limit int64) {
	to, j := a.beside(a.lanes[m].runs[i].group)
	if j >= len(a.lanes[to].runs) || (to == m && i == j) {
		return
	}
	a.one = append(a.one[:0], a.lanes[m].runs...)
	if to == m {
		a.one[i], a.one[j] = a.one[j], a.one[i]
		a.accept(m, m, min(i, j), 0, limit)
		return
	}
	a.two = append(a.two[:0], a.lanes[to].runs...)
	a.one[i], a.two[j] = a.two[j], a.one[i]
	a.accept(m, to, i, j, limit)
}

func (a *annealer) reverse(m, i int, limit int64) {
	n := min(2+a.dice.below(12), len(a.lanes[m].runs)-i)
	if n < 2 {
		return
	}
	a.one = append(a.one[:0], a.lanes[m].runs...)
	slices.Reverse(a.one[i : i+n])
	a.accept(m, m, i, 0, limit)
}

// exchange swaps the rest of two machines' days.
func (a *annealer) exchange(m, i int, limit int64) {
	to, j := a.beside(a.lanes[m].runs[i].group)
	if to == m {
		return
	}
	a.one = append(append(a.one[:0], a.lanes[m].runs[:i]...), a.lanes[to].runs[j:]...)
	a.two = append(append(a.two[:0], a.lanes[to].runs[:j]...), a.lanes[m].runs[i:]...)
	a.accept(m, to, i, j, limit)
}

// accept takes the tried sequences of one or two machines over, if they are allowed and their setup is within the limit.
// from and other are the first positions that differ.
func (a *annealer) accept(m, to, from, other int, limit int64) {
	cost := a.cost + a.total(m, from, a.one) - a.lanes[m].setup()
	if to != m {
		cost += a.total(to, other, a.two) - a.lanes[to].setup()
	}
	if cost > limit || !a.allowed(m, from, a.one) || (to != m && !a.allowed(to, other, a.two)) {
		return
	}
	a.take(m, from, a.one)
	if to != m {
		a.take(to, other, a.two)
	}
	a.cost = cost
	if cost < a.least {
		a.keep()
	}
}

// total gives the setup of a lane with a tried sequence.
func (a *annealer) total(m, from int, runs []run) int64 {
	l := &a.lanes[m]
	on, paid := l.before[from], l.paid[from]
	for i := from; i < len(runs); i++ {
		paid += a.rates.load(&on, &a.groups[runs[i].group].fitting)
	}
	return paid
}

// allowed says whether a machine takes every batch of a tried sequence, once each, and has the time.
func (a *annealer) allowed(m, from int, runs []run) bool {
	l := &a.lanes[m]
	work := l.work
	for _, r := range l.runs[from:] {
		work -= int64(r.toWind) * a.groups[r.group].each
	}
	for i, r := range runs[from:] {
		g := &a.groups[r.group]
		if !g.takes[m] {
			return false
		}
		work += int64(r.toWind) * g.each
		if len(a.at[r.group]) > 1 && twice(runs, from+i) {
			return false
		}
	}
	return work+a.total(m, from, runs)+l.reserve <= a.capacity[m]
}

func twice(runs []run, at int) bool {
	for i := range runs {
		if i != at && runs[i].group == runs[at].group {
			return true
		}
	}
	return false
}

func (a *annealer) take(m, from int, runs []run) {
	l := &a.lanes[m]
	for _, r := range l.runs[from:] {
		l.work -= int64(r.toWind) * a.groups[r.group].each
		a.at[r.group] = remove(a.at[r.group], m)
	}
	l.runs = append(l.runs[:0], runs...)
	for _, r := range l.runs[from:] {
		l.work += int64(r.toWind) * a.groups[r.group].each
		a.at[r.group] = append(a.at[r.group], m)
	}
	l.settle(a.shop, from)
}

func remove(machines []int, m int) []int {
	i := slices.Index(machines, m)
	return slices.Delete(machines, i, i+1)
}
