package promise

import (
	"maps"
	"slices"

	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/planning"
	"windingroom/internal/requirements"
)

// harmed lists the other orders that become late by a trial, or later than they are without it, by code. An order that is not
// complete within the planned days either way is harmed where the wire that both take reaches less far than it did, or where it
// can no longer be shown to be wound by its day. One whose day passes within the planned days is late already: beyond them nobody
// can say how late.
func (s *search) harmed(t trial, to calendar.Date) []order.Code {
	due := map[order.Code]calendar.Date{}
	for _, d := range s.begins.Demands {
		due[d.Order] = d.DueOn
	}
	end := s.Days[len(s.Days)-1].Date
	thirst, stuck := s.thirst(t), s.stuck(s.without)
	var list []order.Code
	for code, day := range due {
		before, was := s.without.done[code]
		now, is := t.done[code]
		switch {
		case is && (now <= day || was && now <= before || !was):
		case is: // later than its day and than it was
			list = append(list, code)
		case was && day <= end:
			list = append(list, code)
		case thirst[code]:
			list = append(list, code)
		case day > end && (was || day >= to || s.shown(s.without, code, day)):
			if !stuck[code] && !s.shown(t, code, day) {
				list = append(list, code)
			}
		}
	}
	slices.Sort(list)
	return list
}

// stuck names the orders that are not wound whatever is planned: no machine takes a string of theirs, or they want more of a wire than is
// there when the planned days are over or comes after them, if nobody else took any. Nobody can make those late by taking machine time;
// wire is looked at apart (thirst).
func (s *search) stuck(t trial) map[order.Code]bool {
	end := s.Days[len(s.Days)-1].Date
	supply, wants := map[material.WireCode][]measure.Mass{}, map[order.Code]map[material.WireCode]measure.Mass{}
	for _, b := range t.end.Spools {
		supply[b.Wire] = append(supply[b.Wire], b.Drawable())
	}
	for _, rc := range slices.Concat(s.Receipts, s.Overdue) {
		if rc.On > end || rc.Stated < s.Days[0].Date {
			supply[rc.Wire] = append(supply[rc.Wire], rc.Mass)
		}
	}
	stuck := map[order.Code]bool{}
	for _, d := range t.end.Demands {
		if wants[d.Order] == nil {
			wants[d.Order] = map[material.WireCode]measure.Mass{}
		}
		m := s.making(d)
		if !slices.ContainsFunc(s.Input.Machines, func(mc planning.Machine) bool { return mc.Takes(m.Plain(), m.CoreCut) }) {
			stuck[d.Order] = true
		}
		for _, u := range m.Uses {
			var all measure.Mass
			strings := 0 // each is wound from one spool
			for _, mass := range supply[u.Wire] {
				all += mass
				strings += most(mass, u.Each, d.Strings)
			}
			wants[d.Order][u.Wire] += u.Each.Times(int64(d.Strings))
			if strings < d.Strings || all < wants[d.Order][u.Wire] {
				stuck[d.Order] = true
			}
		}
	}
	return stuck
}

// most gives how many strings at most are wound from a mass, rounded so that it can only be too many.
func most(mass measure.Mass, each measure.MassEach, wanted int) int {
	if each <= 0 {
		return wanted
	}
	return min(wanted, int((float64(mass)+1)/each.Milligrams()))
}

// shown says whether an order is shown to be wound by a day beyond the planned ones.
func (s *search) shown(t trial, code order.Code, day calendar.Date) bool {
	by, _ := s.reckon(t, code)
	return by != nil && by.on <= day
}

// thirst names the orders left when the planned days are over whose wire reaches less far than without the order.
func (s *search) thirst(t trial) map[order.Code]bool {
	dry, thirsty := s.dry(t), map[order.Code]bool{}
	for _, d := range t.end.Demands {
		for _, n := range s.need(d) {
			if dry[n.Wire] > 0 && d.Order != s.asked.Order {
				thirsty[d.Order] = true
			}
		}
	}
	return thirsty
}

// dry gives the order's wires of which more is missing for what is left to wind than without it, and how much more.
func (s *search) dry(t trial) map[material.WireCode]measure.Mass {
	before, now := s.missing(s.without), s.missing(t)
	dry := map[material.WireCode]measure.Mass{}
	for _, d := range s.asked.Demands {
		for _, n := range s.need(d) {
			if more := now[n.Wire] - before[n.Wire]; more > 0 {
				dry[n.Wire] = more
			}
		}
	}
	return dry
}

// deficit gives how much of the order's wires all that is left to wind wants beyond what is there and on its way, by wire.
func (s *search) deficit(t trial) (list []Lack) {
	have := map[material.WireCode]measure.Mass{}
	for _, b := range t.end.Spools {
		have[b.Wire] += b.Drawable()
	}
	end := s.Days[len(s.Days)-1].Date
	for _, rc := range s.Receipts {
		if rc.On > end {
			have[rc.Wire] += rc.Mass
		}
	}
	own := s.Room.needs(s.asked)
	for _, w := range slices.Sorted(maps.Keys(own)) {
		if lack := t.needs[w] - have[w]; lack > 0 {
			list = append(list, Lack{w, lack})
		}
	}
	return list
}

// missing gives by how much each wire falls short, on its worst day, of what is left to wind, each order taking its own on the day it is
// held to.
func (s *search) missing(t trial) map[material.WireCode]measure.Mass {
	end := s.Days[len(s.Days)-1].Date
	out := map[material.WireCode][]requirements.Flow{}
	for _, d := range t.end.Demands {
		for _, n := range s.need(d) {
			on := max(d.DueOn, end+1)
			if d.Order == s.asked.Order {
				on = end + 1 // it may be wound before others that wait for something else
			}
			out[n.Wire] = append(out[n.Wire], requirements.Flow{On: on, Mass: n.Mass})
		}
	}
	have := map[material.WireCode]measure.Mass{}
	for _, b := range t.end.Spools {
		have[b.Wire] += b.Drawable()
	}
	in := map[material.WireCode][]requirements.Flow{}
	for _, rc := range s.Receipts {
		if rc.On > end {
			in[rc.Wire] = append(in[rc.Wire], requirements.Flow{On: rc.On, Mass: rc.Mass})
		}
	}
	missing := map[material.WireCode]measure.Mass{}
	for w, flows := range out {
		if p := requirements.Project(end, have[w], in[w], flows).Promise(end); p < 0 {
			missing[w] = -p
		}
	}
	return missing
}
