package planning

import "slices"

// rooted bounds setup by a spanning tree over all attributes for batches that need several machines.
//
// Proof. As for split; but a plan on r machines has r edges from the root. Let n ≤ r be the machines that it needs. Make each root
// edge cheaper by an amount that no root edge costs less than: then no edge is below zero, the plan still pays at least for a least
// spanning tree, and it pays n times that amount besides. (Lagrange multiplier of one constraint; the largest over some amounts.)
func (d *draft) rooted(all []target, needed int) int64 {
	const everything = 1<<attributes - 1
	if len(all) == 0 || needed < 2 {
		return 0
	}
	starts := d.startStates()
	list := classes(everything, all)
	most := d.leastRoot(list, starts)
	var best int64
	for _, less := range d.rates.sums() {
		if less <= most {
			best = max(best, d.tree(everything, list, starts, less)+int64(needed)*less)
		}
	}
	return best
}

// needed gives on how many machines batches must be wound to fit the day, if their setup is so much at least.
func (d *draft) needed(all []target, setup int64) int {
	for m := range d.lanes {
		if d.room(m) < 0 {
			return 1 // what stands does not fit: nothing is said of the day
		}
	}
	for _, t := range all {
		setup += t.winding
	}
	hours := slices.Clone(d.capacity)
	slices.Sort(hours)
	n := 0
	for i := len(hours) - 1; i >= 0 && setup > 0; i-- {
		setup -= hours[i]
		n++
	}
	return n
}

// leastRoot gives the least that any machine pays for its first batch.
func (d *draft) leastRoot(list []target, starts [][attributes]int64) int64 {
	least := int64(1) << 62
	for _, t := range list {
		for m, takes := range t.takes {
			if !takes {
				continue
			}
			var cost int64
			for a, want := range t.wants {
				if want != none && want != starts[m][a] {
					cost += d.rates.of(a)
				}
			}
			least = min(least, cost)
		}
	}
	return least
}

// sums gives what changes of core, length and up to three layers can come to.
func (r rates) sums() []int64 {
	var all []int64
	for layers := range int64(attributes - 1) {
		for _, rest := range []int64{0, r.core, r.length, r.core + r.length} {
			all = append(all, layers*r.wrap+rest)
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// startStates gives what is loaded when the day begins.
func (d *draft) startStates() [][attributes]int64 {
	starts := make([][attributes]int64, len(d.starts))
	for m := range d.starts {
		starts[m] = attributesOf(&d.starts[m])
	}
	return starts
}
