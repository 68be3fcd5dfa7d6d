package planning

import "windingroom/internal/batch"

// trim chooses the spools, keeps back on each machine the time their changes take, and takes strings out again where a day
// no longer fits: those of the last order in due order first.
func (d *draft) trim() {
	for {
		d.keepBack(d.draws())
		m := d.overfull()
		if m == none || !d.drop(m) {
			return
		}
	}
}

// keepBack sets each machine's reserve to what its changes of spool take.
func (d *draft) keepBack(draws [][][]batch.Draw) {
	for m := range d.lanes {
		l := &d.lanes[m]
		on := d.machines[m].Loaded
		var setup int64
		for at, r := range l.runs {
			g := &d.groups[r.group]
			cost, after := SetupOf(on, g.making, g.scale, draws[m][at], d.practice)
			setup += int64(cost)
			on = after
		}
		l.reserve = setup - l.setup()
	}
}

func (d *draft) overfull() int {
	for m := range d.lanes {
		if d.room(m) < 0 {
			return m
		}
	}
	return none
}

// drop takes out strings of the last demand in due order that the machine winds: as few as make its day fit, else all that
// its batch has of it.
func (d *draft) drop(machine int) bool {
	for i := len(d.demands) - 1; i >= 0; i-- {
		g := d.groupOf[i]
		at := d.lanes[machine].find(g)
		if d.planned[i] == 0 || at < 0 {
			continue
		}
		r := d.lanes[machine].runs[at]
		most := min(d.planned[i], r.ordered)
		n := 1
		for n < most && int64(r.toWind-d.toWind(g, r.ordered-n))*d.groups[g].each < -d.room(machine) {
			n++
		}
		d.planned[i] -= n
		d.change(machine, at, r.ordered-n)
		return true
	}
	return false
}
