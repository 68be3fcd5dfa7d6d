package promise

import (
	"slices"

	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
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
	thirst := s.thirst(t)
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
		case day > end && (was || s.shown(s.without, code, day) || day >= to):
			if !s.shown(t, code, day) {
				list = append(list, code)
			}
		}
	}
	slices.Sort(list)
	return list
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
