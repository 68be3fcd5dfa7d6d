package planning

import (
	"cmp"
	"slices"

	"windingroom/internal/measure"
)

// load is what one batch takes of one wire: whole strings, each from one spool.
type load struct {
	machine, at int // the batch: position at of the machine's lane
	each        measure.MassEach
	strings     int
}

// cut is the part of a load that comes from one spool.
type cut struct {
	machine, at int
	spool       int // of the wire
	strings     int
}

// fits gives the most strings, up to a number, that a mass of wire makes.
func fits(mass measure.Mass, each measure.MassEach, most int) int {
	if each <= 0 {
		return most
	}
	// Times rounds half up, so n strings fit while n × each stays below half a milligram above the mass.
	n := (nanograms(mass) + ngPerMg/2 - 1) / int64(each)
	return int(min(n, int64(most)))
}

// loads lists what the batches of the day take of a wire.
func (d *draft) loads(wire int) []load {
	var loads []load
	for m := range d.lanes {
		for at, r := range d.lanes[m].runs {
			if r.stands != nil {
				continue
			}
			for _, u := range d.groups[r.group].uses {
				if u.wire == wire {
					loads = append(loads, load{m, at, u.each, r.toWind})
				}
			}
		}
	}
	return loads
}

// fill puts loads on the spools of a wire one string after another, the largest strings first, a spool being left only when
// it cannot give one more; it says whether all found wire. Whatever the order, it can only fail once every spool holds less
// than one string.
func (w *wire) fill(loads []load) ([]cut, bool) {
	sorted := slices.Clone(loads)
	slices.SortStableFunc(sorted, func(a, b load) int { return cmp.Compare(b.each, a.each) })
	left := make([]measure.Mass, len(w.spools))
	for i, s := range w.spools {
		left[i] = s.free
	}
	var cuts []cut
	for _, l := range sorted {
		for i := 0; i < len(left) && l.strings > 0; i++ {
			n := fits(left[i], l.each, l.strings)
			if n == 0 {
				continue
			}
			left[i] -= l.each.Times(int64(n))
			l.strings -= n
			cuts = append(cuts, cut{l.machine, l.at, i, n})
		}
		if l.strings > 0 {
			return cuts, false
		}
	}
	return cuts, true
}

// holds says whether the wire on the shelf is enough for the day with a further load, whole strings from single spools.
// Only when the wire is nearly used up must it try to cut it.
func (d *draft) holds(u use, more int, extra load) bool {
	w := &d.wires[u.wire]
	taken := d.taken[u.wire] + int64(more)*int64(u.each)
	total := nanograms(w.total)
	if taken > total {
		return false
	}
	batches := 1
	for i := range d.lanes {
		batches += len(d.lanes[i].runs)
	}
	spools := int64(len(w.spools))
	lost := spools*(int64(w.each)+ngPerMg) + (spools+int64(batches))*ngPerMg // less than a string a spool, and roundings
	if taken+lost <= total {
		return true
	}
	loads := d.loads(u.wire)
	i := slices.IndexFunc(loads, func(l load) bool { return l.machine == extra.machine && l.at == extra.at })
	if extra.at < 0 || i < 0 {
		loads = append(loads, load{none, none, u.each, more})
	} else {
		loads[i].strings += more
	}
	_, ok := w.fill(loads)
	return ok
}
