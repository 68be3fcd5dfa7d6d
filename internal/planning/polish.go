package planning

import (
	"cmp"
	"slices"

	"windingroom/internal/planning/sequencing"
)

// polish searches longer when it stands what is wound today: with the parts of a group on the machines that they are on and, where
// there are such parts, with every part on any machine. Strings for whose spools a better sequence leaves no time go where there is
// some; where less is wound for it, the day stays as it was.
func (d *draft) polish() *draft {
	best := d
	for _, loose := range []bool{false, true} {
		if loose && !d.divided() {
			break
		}
		c := d.polished(loose)
		if same := slices.Equal(c.planned, best.planned); same && c.dearer(best) <= 0 || !same && c.fuller(best) {
			best = c
		}
	}
	return best
}

// polished gives the day in a better sequence. Two parts of a group that meet on a machine become one batch.
func (d *draft) polished(loose bool) *draft {
	c := d.clone()
	kept := c.reserved()
	c.loose = loose
	c.optimal = c.improve(true) && kept == 0 && !c.restricted()
	if c.loose = false; loose {
		c.joinTwins()
	}
	c.trim()
	if !slices.Equal(c.planned, d.planned) {
		c = c.squeeze(false)
	}
	return c
}

// divided says whether a group has several batches.
func (d *draft) divided() bool {
	seen := make([]bool, len(d.groups))
	for m := range d.lanes {
		for _, r := range d.lanes[m].runs {
			if seen[r.group] {
				return true
			}
			seen[r.group] = true
		}
	}
	return false
}

// dearer compares days of the same strings: by lateness, then by what the search makes less, with changes of spool and winding.
func (d *draft) dearer(than *draft) int {
	late, cost := d.price()
	least, cheapest := than.price()
	return cmp.Or(cmp.Compare(late, least), cmp.Compare(cost, cheapest))
}

func (d *draft) price() (late, cost int64) {
	p, _ := d.problem()
	v := sequencing.Evaluate(p, p.Kept).Value
	cost = v.Cost + setupPrice*d.reserved()
	for m := range d.lanes {
		cost += setupPrice * d.lanes[m].work
	}
	return v.Late, cost
}
