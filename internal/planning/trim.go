package planning

import (
	"slices"
	"sort"

	"windingroom/internal/batch"
)

// trim chooses the spools, keeps back on each machine the time their changes take, and takes strings out again where a day
// no longer fits, those of the last order in due order first, and where two machines would need one spool at a time.
func (d *draft) trim() {
	for {
		draws := d.draws(false)
		ends := d.keepBack(draws)
		if m := d.overfull(); m != none {
			d.drop(m)
		} else if m, at := d.clash(draws, ends); m != none {
			d.part(m, at)
		} else {
			d.chosen = draws
			return
		}
	}
}

// choose looks longer for the spools of a day that stands, and keeps them where the day still fits.
func (d *draft) choose() {
	draws := d.draws(true)
	reserve := make([]int64, len(d.lanes))
	for m := range d.lanes {
		reserve[m] = d.lanes[m].reserve
	}
	ends := d.keepBack(draws)
	if m, _ := d.clash(draws, ends); m == none && d.overfull() == none {
		d.chosen = draws
		return
	}
	for m := range d.lanes {
		d.lanes[m].reserve = reserve[m]
	}
}

// keepBack sets each machine's reserve to what its changes of spool take, and gives the time at which each batch ends.
func (d *draft) keepBack(draws [][][]batch.Draw) [][]int64 {
	ends := make([][]int64, len(d.lanes))
	for m := range d.lanes {
		l := &d.lanes[m]
		on := d.machines[m].Loaded
		var setup, clock int64
		for at, r := range l.runs {
			g := &d.groups[r.group]
			cost, after := SetupOf(on, g.making, g.scale, draws[m][at], d.practice)
			setup += int64(cost)
			clock += int64(cost) + d.winding(&r)
			ends[m] = append(ends[m], d.wall(m, clock))
			on = after
		}
		l.reserve = setup - l.setup()
	}
	return ends
}

func (d *draft) overfull() int {
	for m := range d.lanes {
		if d.room(m) < 0 && slices.ContainsFunc(d.lanes[m].runs, func(r run) bool { return r.stands == nil }) {
			return m
		}
	}
	return none
}

// drop takes out strings of the last demand in due order that the machine winds: as few as make its day fit, else all that
// its batch has of it.
func (d *draft) drop(machine int) {
	for i := len(d.demands) - 1; i >= 0; i-- {
		g := d.groupOf[i]
		at := d.lanes[machine].find(g)
		if d.planned[i] == 0 || at < 0 {
			continue
		}
		r := d.lanes[machine].runs[at]
		most := min(d.planned[i], r.ordered)
		n := 1 + sort.Search(most-1, func(less int) bool {
			return int64(r.toWind-d.toWind(g, r.ordered-less-1))*d.groups[g].each >= -d.room(machine)
		})
		d.planned[i] -= n
		d.change(machine, at, r.ordered-n)
		return
	}
}
