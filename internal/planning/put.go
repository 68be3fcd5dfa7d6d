package planning

// slot is where strings of a group can go: into its batch on a machine, or into a new one at a position.
type slot struct {
	machine, at int
	fresh       bool
	added       int64 // setup, and delay, that a new batch adds
	strings     int   // ordered strings that fit
	cost        int64 // setup and winding time that they add
}

// put plans up to n ordered strings of a group and gives how many it could: all in one batch where that is possible, at the
// place that adds the least time, else over several machines, the one that takes most first.
func (d *draft) put(group, n int) int {
	done := 0
	if d.held[group] {
		return 0
	}
	for done < n {
		best := slot{machine: none}
		for m := range d.lanes {
			if !d.takes(group, m) || !d.spare(group, m) {
				continue
			}
			if s := d.slot(group, m, n-done); s.strings > 0 && (best.machine == none || d.better(s, best)) {
				best = s
			}
		}
		if best.machine == none {
			break
		}
		if best.fresh {
			d.insert(best.machine, best.at, group, best.strings)
		} else {
			d.change(best.machine, best.at, d.lanes[best.machine].runs[best.at].ordered+best.strings)
		}
		done += best.strings
	}
	return done
}

// better prefers the slot that takes more strings, then the one that adds less time, then the emptier machine. A batch that is
// there already adds no setup and, since good strings even out in a larger batch, less winding.
func (d *draft) better(a, b slot) bool {
	if a.strings != b.strings {
		return a.strings > b.strings
	}
	if a.cost != b.cost {
		return a.cost < b.cost
	}
	return d.room(a.machine) > d.room(b.machine)
}

// slot finds the place for strings of a group on a machine and how many of n fit there by time and wire.
func (d *draft) slot(group, machine, n int) slot {
	l := &d.lanes[machine]
	s := slot{machine: machine, at: l.find(group)}
	if s.at < 0 {
		s.fresh = true
		s.at, s.added = l.cheapest(d.shop, group)
		s.added += d.owed[group]
	}
	if d.room(machine) < s.added {
		return s
	}
	s.strings = d.most(group, s, n)
	s.cost = s.added + int64(d.more(group, s, s.strings))*d.groups[group].each
	return s
}

// most gives how many of n more ordered strings fit at a slot.
func (d *draft) most(group int, s slot, n int) int {
	if d.fit(group, s, n) {
		return n
	}
	fits, not := 0, n
	for not-fits > 1 {
		mid := fits + (not-fits)/2
		if d.fit(group, s, mid) {
			fits = mid
		} else {
			not = mid
		}
	}
	return fits
}

// more gives the strings to wind that n more ordered ones add at a slot.
func (d *draft) more(group int, s slot, n int) int {
	if s.fresh {
		return d.toWind(group, n)
	}
	r := d.lanes[s.machine].runs[s.at]
	return d.toWind(group, r.ordered+n) - r.toWind
}

// fit says whether n more ordered strings of a group fit at a slot.
func (d *draft) fit(group int, s slot, n int) bool {
	more, extra := d.more(group, s, n), load{machine: s.machine, at: none}
	if !s.fresh {
		extra.at = s.at
	}
	g := &d.groups[group]
	if g.each > 0 && int64(more) > (d.room(s.machine)-s.added)/g.each {
		return false
	}
	for _, u := range g.uses {
		if !d.holds(u, more, extra) {
			return false
		}
	}
	return true
}
