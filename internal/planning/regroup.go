package planning

import (
	"cmp"
	"slices"
)

// regroup builds the day anew from what is planned by now: all strings of a group at once, groups with the same core and
// wraps one after another, each where it adds least. Orders that came in one by one have split groups that need not be
// split. It gives the old day back where the new one cannot hold everything or takes more time.
func (d *draft) regroup() *draft {
	if d.anyFixed() {
		return d
	}
	total := make([]int, len(d.groups))
	for i, n := range d.planned {
		total[d.groupOf[i]] += n
	}
	sequence := make([]int, 0, len(d.groups))
	for g, n := range total {
		if n > 0 {
			sequence = append(sequence, g)
		}
	}
	slices.SortStableFunc(sequence, func(a, b int) int { return compareFittings(&d.groups[a].fitting, &d.groups[b].fitting) })
	anew := newDraft(d.shop)
	for m := range d.lanes {
		anew.lanes[m].reserve = d.lanes[m].reserve
	}
	copy(anew.planned, d.planned)
	copy(anew.barred, d.barred)
	copy(anew.held, d.held)
	copy(anew.shut, d.shut)
	copy(anew.owed, d.owed)
	for m := range d.lanes {
		for _, r := range d.lanes[m].runs {
			anew.owed[r.group] += r.delay
		}
	}
	for _, g := range sequence {
		if anew.put(g, total[g]) < total[g] {
			return d
		}
	}
	if anew.busy() >= d.busy() {
		return d
	}
	return anew
}

func (d *draft) anyFixed() bool {
	for m := range d.lanes {
		for _, r := range d.lanes[m].runs {
			if r.fixed || r.code != "" { // a batch of a kept plan keeps its name
				return true
			}
		}
	}
	return false
}

// busy gives the time of all machines that the day takes, without changes of spool.
func (d *draft) busy() int64 {
	sum := d.setup()
	for m := range d.lanes {
		sum += d.lanes[m].work
	}
	return sum
}

func compareFittings(a, b *fitting) int {
	return cmp.Or(cmp.Compare(a.core, b.core), slices.Compare(a.wraps[:], b.wraps[:]), cmp.Compare(a.scale, b.scale))
}
