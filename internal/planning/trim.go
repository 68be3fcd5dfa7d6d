package planning

import (
	"slices"
	"sort"

	"windingroom/internal/batch"
)

// trim chooses the spools, keeps back on each machine the time their changes take, and takes strings out again where a day
// no longer fits, those of the last order in due order first, where no cut finds wire for all, and where two machines would need
// one spool at a time.
func (d *draft) trim() {
	for {
		draws, short := d.draws(false)
		if short != none {
			d.without(short)
			continue
		}
		courses := d.keepBack(draws)
		if m := d.overfull(); m != none {
			d.drop(m)
		} else if m, at := d.clash(draws, courses); m != none {
			d.part(m, at)
		} else {
			d.chosen = draws
			return
		}
	}
}

// choose looks longer for the spools of a day that stands, and keeps them where the day still fits.
func (d *draft) choose() {
	draws, short := d.draws(true)
	reserve := make([]int64, len(d.lanes))
	for m := range d.lanes {
		reserve[m] = d.lanes[m].reserve
	}
	courses := d.keepBack(draws)
	if m, _ := d.clash(draws, courses); m == none && short == none && d.overfull() == none {
		d.chosen = draws
		return
	}
	for m := range d.lanes {
		d.lanes[m].reserve = reserve[m]
	}
}

// keepBack sets each machine's reserve to what its changes of spool take, and follows the machines through their days.
func (d *draft) keepBack(draws [][][]batch.Draw) []course {
	courses := make([]course, len(d.lanes))
	for m := range d.lanes {
		courses[m] = d.follow(m, draws[m])
		d.lanes[m].reserve = courses[m].setup - d.lanes[m].setup()
	}
	return courses
}

func (d *draft) overfull() int {
	for m := range d.lanes {
		if d.room(m) < 0 && slices.ContainsFunc(d.lanes[m].runs, func(r run) bool { return r.stands == nil }) {
			return m
		}
	}
	return none
}

// without takes out a string that needs a wire, of the last demand in due order.
func (d *draft) without(wire int) {
	for i := len(d.demands) - 1; i >= 0; i-- {
		g := d.groupOf[i]
		if d.planned[i] == 0 || !slices.ContainsFunc(d.groups[g].uses, func(u use) bool { return u.wire == wire }) {
			continue
		}
		for m := range d.lanes {
			if at := d.lanes[m].find(g); at >= 0 {
				d.planned[i]--
				d.change(m, at, d.lanes[m].runs[at].ordered-1)
				return
			}
		}
	}
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
