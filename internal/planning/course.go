package planning

import (
	"slices"

	"windingroom/internal/batch"
	"windingroom/internal/stock"
)

// course is a machine's day with its spools.
type course struct {
	on    []Loaded // on[i] is loaded when batch i begins; one more at the end
	clock []int64  // clock[i] is when batch i begins, by the calendar; one more at the end
	work  []int64  // the same without breaks
	setup int64    // changes of spool too
}

// follow works through a machine's day.
func (d *draft) follow(m int, draws [][]batch.Draw) course {
	c := course{on: []Loaded{d.machines[m].Loaded}, clock: []int64{0}, work: []int64{0}}
	var work int64
	for at := range d.lanes[m].runs {
		r := &d.lanes[m].runs[at]
		g := &d.groups[r.group]
		cost, after := SetupOf(c.on[at], g.making, g.scale, draws[at], d.practice)
		c.setup += int64(cost)
		work += int64(cost) + d.winding(r)
		c.on, c.clock, c.work = append(c.on, after), append(c.clock, d.wall(m, work)), append(c.work, work)
	}
	return c
}

// span is the time in which a machine has a spool: from the first batch that draws on it to the last, as long as it stays
// where it is.
type span struct {
	spool      stock.SpoolCode
	machine    int
	last       int // position of the last batch
	from, till int64
}

// meets says whether a spool is needed some time between two.
func (s span) meets(from, till int64) bool { return s.from < till && from < s.till }

// spans lists when a machine has which spool, by the first batch that draws on it.
func spans(m int, draws [][]batch.Draw, c *course) []span {
	var list []span
	for at := range draws {
		for i, dr := range draws[at] {
			if slices.ContainsFunc(draws[at][:i], func(o batch.Draw) bool { return o.Spool == dr.Spool }) {
				continue
			}
			if s := present(list, dr.Spool); s != none && c.on[at].has(dr.Spool) {
				list[s].last, list[s].till = at, c.clock[at+1]
				continue
			}
			list = append(list, span{dr.Spool, m, at, c.clock[at], c.clock[at+1]})
		}
	}
	return list
}

// present gives the last span of a spool, or none.
func present(list []span, code stock.SpoolCode) int {
	for i := len(list) - 1; i >= 0; i-- {
		if list[i].spool == code {
			return i
		}
	}
	return none
}

// has says whether a spool is on a machine.
func (on *Loaded) has(code stock.SpoolCode) bool {
	return on.Core.Spool == code || slices.ContainsFunc(on.Wraps[:], func(p Place) bool { return p.Spool == code })
}
