package planning

import (
	"slices"

	"windingroom/internal/batch"
	"windingroom/internal/measure"
)

// offer is the day with strings of a group at an opening.
type offer struct {
	*draft
	strings int
	cost    int64 // setup and winding that they add
	fresh   bool  // they are a batch of their own
}

func (o offer) before(other offer) bool {
	if o.fresh != other.fresh {
		return other.fresh
	}
	return o.cost < other.cost
}

// offer puts n strings of a group in at an opening and gives the day with them, or no day: then for which wire they wait there,
// if there is time.
func (c *closing) offer(group int, o opening, n int) (offer, int) {
	l, g := &c.lanes[o.machine], &c.groups[group]
	toWind, before, own := c.toWind(group, n), 0, []batch.Draw(nil)
	var added, delay int64
	if o.fresh {
		delay = c.owed[group]
		added = l.inserted(c.shop, o.at, &g.fitting) + delay
	} else {
		r := &l.runs[o.at]
		toWind, before, own, delay = c.toWind(group, r.ordered+n), r.toWind, c.chosen[o.machine][o.at], r.delay
	}
	if added+int64(toWind-before)*g.each > c.room(o.machine) {
		return offer{}, none
	}
	course := &c.courses[o.machine]
	setup, _ := SetupOf(course.on[o.at], g.making, g.scale, nil, c.practice)
	till := c.wall(o.machine, course.work[o.at]+int64(setup)+int64(toWind)*g.each+delay)
	draws, waits := c.pick(group, o, toWind, till, own)
	if waits != none {
		return offer{}, waits
	}
	return c.with(group, o, n, draws)
}

// with gives the day with strings at an opening, wound from these spools, if it is one that can be.
func (c *closing) with(group int, o opening, n int, draws []batch.Draw) (offer, int) {
	d, m := c.clone(), o.machine
	d.chosen[m] = slices.Clone(d.chosen[m])
	if o.fresh {
		d.insert(m, o.at, group, n)
		d.chosen[m] = slices.Insert(d.chosen[m], o.at, draws)
	} else {
		d.change(m, o.at, d.lanes[m].runs[o.at].ordered+n)
		d.chosen[m][o.at] = draws
	}
	course := d.follow(m, d.chosen[m])
	d.lanes[m].reserve = course.setup - d.lanes[m].setup()
	if d.room(m) < 0 {
		return offer{}, none
	}
	for _, s := range spans(m, d.chosen[m], &course) {
		for _, other := range c.spans[s.spool] {
			if other.machine != m && other.meets(s.from, s.till) {
				return offer{}, c.shelf[s.spool].wire
			}
		}
	}
	d.optimal = false
	was := c.courses[m].work
	return offer{d, n, course.work[len(course.work)-1] - was[len(was)-1], o.fresh}, none
}

// pick chooses spools for a batch at an opening among those that no other machine has then: the batch's own ones, the loaded
// one, then the oldest that gives all the rest without leaving a remnant, or else the one that gives most. Where they do not
// suffice it gives the wire.
func (c *closing) pick(group int, o opening, toWind int, till int64, own []batch.Draw) ([]batch.Draw, int) {
	var draws []batch.Draw
	for _, u := range c.groups[group].uses {
		list := c.source(u, o, till, own)
		rest := toWind
		var mine []batch.Draw
		for rest > 0 {
			i := choice(list, u.each, rest)
			if i == none {
				return nil, u.wire
			}
			n := fits(list[i].left, u.each, rest)
			rest -= n
			mine = append(mine, batch.Draw{Spool: list[i].code, Wire: c.wires[u.wire].code, Strings: n, Mass: u.each.Times(int64(n))})
			list = slices.Delete(list, i, i+1)
		}
		draws = append(draws, c.inOrder(mine, o)...)
	}
	return draws, none
}

// source is a spool that a batch may draw on.
type source struct {
	spool
	left  measure.Mass
	first bool // before others
}

func (c *closing) source(u use, o opening, till int64, own []batch.Draw) []source {
	course := &c.courses[o.machine]
	var list []source
	for i, s := range c.wires[u.wire].spools {
		src := source{spool: s, left: c.left[u.wire][i], first: own == nil && course.on[o.at].has(s.code)}
		for _, dr := range own {
			if dr.Spool == s.code {
				src.left += dr.Mass
				src.first = true
			}
		}
		if fits(src.left, u.each, 1) > 0 && c.free(s.code, o, course.clock[o.at], till) {
			list = append(list, src)
		}
	}
	return list
}

// choice gives the spool to draw on next, or none.
func choice(list []source, each measure.MassEach, rest int) int {
	best, most := none, 0
	for i, s := range list {
		if s.first {
			return i
		}
		n := fits(s.left, each, rest)
		if left := s.left - each.Times(int64(n)); n == rest && (left == 0 || left >= s.usable) {
			return i
		}
		if n > most {
			best, most = i, n
		}
	}
	return best
}

// inOrder puts the loaded spool of a wire first and the one that the next batch begins with last.
func (c *closing) inOrder(draws []batch.Draw, o opening) []batch.Draw {
	on := &c.courses[o.machine].on[o.at]
	if i := slices.IndexFunc(draws, func(d batch.Draw) bool { return on.has(d.Spool) }); i > 0 {
		draws[0], draws[i] = draws[i], draws[0]
	}
	next := o.at
	if !o.fresh {
		next++
	}
	if next < len(c.chosen[o.machine]) && len(draws) > 1 {
		i := slices.IndexFunc(draws, func(d batch.Draw) bool {
			j := slices.IndexFunc(c.chosen[o.machine][next], func(n batch.Draw) bool { return n.Wire == d.Wire })
			return j >= 0 && c.chosen[o.machine][next][j].Spool == d.Spool
		})
		if i > 0 || (i == 0 && !on.has(draws[0].Spool)) {
			last := len(draws) - 1
			draws[i], draws[last] = draws[last], draws[i]
		}
	}
	return draws
}
