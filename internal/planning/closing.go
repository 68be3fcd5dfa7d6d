package planning

import (
	"slices"

	"windingroom/internal/measure"
	"windingroom/internal/stock"
)

// closing is a day that stands, its spools chosen, with what is still free of it: time on the machines, wire on the spools, and
// when which machine has which spool.
type closing struct {
	*draft
	courses []course
	spans   map[stock.SpoolCode][]span // only looked up, never walked
	left    [][]measure.Mass           // by wire and spool
	tried   []trial                    // by group
	last    bool                       // the sequence is final: a machine may wind a group twice
}

// trial remembers whether a string of a group has a place.
type trial struct {
	done, can bool
	waits     int // wire whose spools are elsewhere when there is time, or none
}

func (d *draft) closing(last bool) *closing {
	c := &closing{draft: d, last: last}
	c.renew()
	return c
}

// renew reckons what is free after a change.
func (c *closing) renew() {
	c.courses, c.spans = make([]course, len(c.lanes)), map[stock.SpoolCode][]span{}
	c.left, c.tried = make([][]measure.Mass, len(c.wires)), make([]trial, len(c.groups))
	for w := range c.wires {
		for _, s := range c.wires[w].spools {
			c.left[w] = append(c.left[w], s.free)
		}
	}
	for m := range c.lanes {
		c.courses[m] = c.follow(m, c.chosen[m])
		for _, s := range spans(m, c.chosen[m], &c.courses[m]) {
			c.spans[s.spool] = append(c.spans[s.spool], s)
		}
		for at, draws := range c.chosen[m] {
			for _, dr := range draws {
				if p, known := c.shelf[dr.Spool]; known && c.lanes[m].runs[at].stands == nil {
					c.left[p.wire][p.spool] -= dr.Mass
				}
			}
		}
	}
}

// opening is where strings of a group could go: into a batch of it on a machine, or into a new one at a position. A machine winds a
// group twice only where its batch may not grow, such as when another machine has the spool next.
type opening struct {
	machine, at int
	fresh       bool
}

func (c *closing) openings(group int) []opening {
	var list []opening
	for m := range c.lanes {
		l := &c.lanes[m]
		if c.held[group] || c.shut[m] || !c.groups[group].takes[m] {
			continue
		}
		grows := func(at int) bool {
			return at >= 0 && at < len(l.runs) && l.runs[at].group == group && l.runs[at].stands == nil
		}
		for at := range l.runs {
			if grows(at) {
				list = append(list, opening{m, at, false})
			}
		}
		if !c.last && l.find(group) >= 0 {
			continue
		}
		for at := l.behindFixed(); at <= len(l.runs); at++ {
			if !grows(at-1) && !grows(at) {
				list = append(list, opening{m, at, true})
			}
		}
	}
	return list
}

// try says whether one string of a group has a place, and if not, for which wire it waits.
func (c *closing) try(group int) trial {
	t := &c.tried[group]
	if t.done {
		return *t
	}
	*t = trial{done: true, waits: none}
	for _, o := range c.openings(group) {
		offer, waits := c.offer(group, o, 1)
		if offer.draft != nil {
			t.can = true
			return *t
		}
		if t.waits == none {
			t.waits = waits
		}
	}
	return *t
}

// free says whether no other machine needs a spool while a batch at an opening is wound; one that is on the machine since an
// earlier batch must have stayed there.
func (c *closing) free(code stock.SpoolCode, o opening, from, till int64) bool {
	for _, s := range c.spans[code] {
		if s.machine == o.machine && s.last < o.at && c.courses[o.machine].on[o.at].has(code) {
			from = s.till // of the last one: they are in sequence
		}
	}
	return !slices.ContainsFunc(c.spans[code], func(s span) bool { return s.machine != o.machine && s.meets(from, till) })
}
