package planning

import (
	"slices"

	"windingroom/internal/batch"
)

// run is a batch in the search: strings of one group on one machine.
type run struct {
	group   int
	ordered int
	toWind  int
	delay   int64        // ns that it takes longer than reckoned
	fixed   bool         // stays on its machine and at its place
	apart   bool         // stays on its machine: the lead split it off, or split something off it
	code    batch.Code   // that it already has
	stands  *batch.Batch // released or finished: keeps its orders and spools, and its wire is not the day's any more
}

// lane is one machine's day in the search: its batches in sequence, with the fitting before each, and the sums that say
// whether the day fits.
type lane struct {
	runs    []run
	before  []fitting // before[i] is loaded when runs[i] begins; one more at the end
	paid    []int64   // paid[i] is the setup of runs[:i]
	work    int64     // winding, ns
	reserve int64     // kept for changes of spool inside and between batches
}

func newLane(start fitting) lane {
	return lane{before: []fitting{start}, paid: []int64{0}}
}

func (l *lane) setup() int64 { return l.paid[len(l.runs)] }

func (l *lane) cloneTo(c *lane) {
	c.runs, c.before, c.paid = append(c.runs[:0], l.runs...), append(c.before[:0], l.before...), append(c.paid[:0], l.paid...)
	c.work, c.reserve = l.work, l.reserve
}

// settle recomputes what follows position from.
func (l *lane) settle(s *shop, from int) {
	l.before, l.paid = l.before[:from+1], l.paid[:from+1]
	on, paid := l.before[from], l.paid[from]
	for _, r := range l.runs[from:] {
		paid += s.rates.load(&on, &s.groups[r.group].fitting)
		l.before, l.paid = append(l.before, on), append(l.paid, paid)
	}
}

// find gives the position of a group's batch that may still grow or shrink, or -1.
func (l *lane) find(group int) int {
	for i := range l.runs {
		if l.runs[i].group == group && l.runs[i].stands == nil {
			return i
		}
	}
	return -1
}

// cheapest gives the first position at which a new batch of the group adds the least setup, and how much it adds.
func (l *lane) cheapest(s *shop, group int) (at int, added int64) {
	want := &s.groups[group].fitting
	first := l.behindFixed()
	at, added = first, l.inserted(s, first, want)
	for i := first + 1; i <= len(l.runs); i++ {
		if a := l.inserted(s, i, want); a < added {
			at, added = i, a
		}
	}
	return at, added
}

// inserted gives the setup that a batch adds at a position: its own, and what changes for the batches after it until the
// machine is loaded as it was without it.
func (l *lane) inserted(s *shop, at int, want *fitting) int64 {
	on := l.before[at]
	added := s.rates.load(&on, want)
	for i := at; i < len(l.runs) && on != l.before[i]; i++ {
		added += s.rates.load(&on, &s.groups[l.runs[i].group].fitting) - (l.paid[i+1] - l.paid[i])
	}
	return added
}

// behindFixed gives the first position from which on nothing is fixed.
func (l *lane) behindFixed() int {
	for i := len(l.runs); i > 0; i-- {
		if l.runs[i-1].fixed {
			return i
		}
	}
	return 0
}

// cut takes a batch and its time out of a lane; paste puts one in.
func (l *lane) cut(s *shop, at int, time int64) {
	l.work -= time
	l.runs = slices.Delete(l.runs, at, at+1)
	l.settle(s, at)
}

func (l *lane) paste(s *shop, at int, r run, time int64) {
	l.work += time
	l.runs = slices.Insert(l.runs, at, r)
	l.settle(s, at)
}
