package planning

import (
	"fmt"

	"windingroom/internal/measure"
)

const heldBack = "held by the lead; resume it to plan it"

// why says what keeps n more strings of a group out of the day.
func (c *closing) why(group, n int) (Why, string) {
	if c.held[group] {
		return ForTime, heldBack
	}
	if reason := c.noMachine(group); reason != "" {
		return ForMachine, reason
	}
	if reason := c.noWire(group, n); reason != "" {
		return ForWire, reason
	}
	if w := c.try(group).waits; w != none {
		return ForWire, fmt.Sprintf("other machines need the spools of wire %s when there is time to wind it", c.wires[w].code)
	}
	return ForTime, "the machines that wind it have no time left"
}

// noMachine says why no machine can wind a group; nothing where one can.
func (d *draft) noMachine(group int) string {
	m := d.groups[group].making
	kind := "wound"
	if m.Plain() {
		kind = "plain"
	}
	var longest measure.Size
	for i, machine := range d.machines {
		if d.groups[group].takes[i] {
			return ""
		}
		if machine.Takes(m.Plain(), 0) {
			longest = max(longest, machine.Longest)
		}
	}
	if longest == 0 {
		return fmt.Sprintf("no machine winds %s strings", kind)
	}
	return fmt.Sprintf("the core cut is %s mm; the longest a machine for %s strings takes is %s mm",
		m.CoreCut.MillimetreText(), kind, longest.MillimetreText())
}

// noWire names the wire of which most is missing for n more strings, overage included; nothing where there is enough.
func (d *draft) noWire(group, n int) string {
	more, extra := d.toWind(group, n), load{machine: none, at: none}
	for m := range d.lanes {
		if at := d.lanes[m].find(group); at >= 0 {
			r := d.lanes[m].runs[at]
			if t := d.toWind(group, r.ordered+n) - r.toWind; t < more {
				more, extra = t, load{machine: m, at: at}
			}
		}
	}
	reason, worst := "", int64(-1)
	for _, u := range d.groups[group].uses {
		if d.holds(u, more, extra) {
			continue
		}
		w := &d.wires[u.wire]
		missing := max(0, d.taken[u.wire]+int64(more)*int64(u.each)-nanograms(w.total))
		if missing <= worst {
			continue
		}
		worst = missing
		mg := measure.Mass((missing + ngPerMg - 1) / ngPerMg)
		if mg > 0 {
			reason = fmt.Sprintf("wire %s is short by %s g", w.code, mg.GramText())
		} else {
			reason = fmt.Sprintf("what is left of wire %s lies on spools too nearly empty for whole strings", w.code)
		}
		if w.ends > 0 {
			reason += fmt.Sprintf("; %s g more lie in remnants", w.ends.GramText())
		}
	}
	return reason
}
