package planning

// scarce says whether a wire has fewer spools than there are machines, so that not every machine can have one, where the
// plan is to mind that from the outset.
func (s *shop) scarce(wire int) bool {
	return s.pinning && len(s.wires[wire].spools) < len(s.machines)
}

// pinned says whether a group takes a scarce wire. Once it is on a machine, the search leaves it there.
func (s *shop) pinned(group int) bool {
	for _, u := range s.groups[group].uses {
		if s.scarce(u.wire) {
			return true
		}
	}
	return false
}

// spare says whether a machine can have a spool of each wire of a group, the other machines keeping theirs.
func (d *draft) spare(group, machine int) bool {
	for _, u := range d.groups[group].uses {
		if !d.scarce(u.wire) {
			continue
		}
		others := 0
		for m := range d.lanes {
			if m != machine && d.winds(m, u.wire) {
				others++
			}
		}
		if others >= len(d.wires[u.wire].spools) {
			return false
		}
	}
	return true
}

// winds says whether a machine's day takes a wire.
func (d *draft) winds(machine, wire int) bool {
	for _, r := range d.lanes[machine].runs {
		for _, u := range d.groups[r.group].uses {
			if u.wire == wire {
				return true
			}
		}
	}
	return false
}
