package promise

import (
	"cmp"
	"slices"
	"time"

	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/planning"
	"windingroom/internal/requirements"
)

// reckoning is a day by which an order is wound, reckoned beyond the planned days.
type reckoning struct {
	on      calendar.Date
	wait    *Receipt // the last that it waits for
	machine int      // of the room's, whose time decides
	days    int      // of work once the wire is there
}

// reckon gives a day by which an order is wound that is not complete within the planned days. It is reckoned so that it can only come out
// too late:
//   - its wires count as there once they suffice for all that is left of every order, whoever takes them first, each spool less
//     what may stay on it;
//   - until then nothing is wound of what is left;
//   - then its machines have all to wind that they can wind at all, each string position as a batch of its own with everything changed
//     before it, split once more for each day and with the strings for that, and every spool changed;
//   - a day of a machine counts less what a last batch, with its setup, may leave of it.
//
// Where it never is, why says what is missing.
func (s *search) reckon(t trial, code order.Code) (*reckoning, Reason) {
	var own []requirements.Demand
	for _, d := range t.end.Demands {
		if d.Order == code {
			own = append(own, d)
		}
	}
	by := &reckoning{on: s.Days[len(s.Days)-1].Date, machine: -1}
	lacks := map[material.WireCode]measure.Mass{}
	for _, d := range own {
		for _, n := range s.need(d) {
			wait, short := s.supplied(t, n.Wire, t.needs[n.Wire])
			if short > 0 {
				lacks[n.Wire] = short
			}
			if wait != nil && wait.On > by.on {
				by.on, by.wait = wait.On, wait
			}
		}
	}
	if len(lacks) > 0 {
		return nil, lacking(lacks, nil)
	}
	for _, d := range own {
		w, known := t.works[kind{d.Recipe, d.Scale}]
		if !known {
			w = s.work(t, d)
			t.works[kind{d.Recipe, d.Scale}] = w
		}
		if w.machine < 0 {
			return nil, Reason{What: NoWay, Detail: detailOf(t, code)}
		}
		if w.days > by.days {
			by.days, by.machine = w.days, w.machine
		}
	}
	start := by.on // the day before the first of work
	if by.wait != nil {
		start--
	}
	by.on = s.Shop.AddWorkdays(start, by.days)
	return by, Reason{}
}

// supplied gives the receipt with which a wire suffices for a mass, nil where it is there; else how much is missing.
func (s *search) supplied(t trial, wire material.WireCode, mass measure.Mass) (*Receipt, measure.Mass) {
	lost := s.mostOf(t, wire)
	for _, b := range t.end.Spools {
		if b.Wire == wire {
			mass -= max(0, b.Drawable()-max(lost, b.UsableEnd))
		}
	}
	if mass <= 0 {
		return nil, 0
	}
	end := s.Days[len(s.Days)-1].Date
	coming := slices.DeleteFunc(slices.Clone(s.Receipts), func(r Receipt) bool { return r.Wire != wire || r.On <= end })
	slices.SortStableFunc(coming, func(a, b Receipt) int { return cmp.Compare(a.On, b.On) })
	for i := range coming {
		if mass -= max(0, coming[i].Mass-max(lost, coming[i].UsableEnd)); mass <= 0 {
			return &coming[i], 0
		}
	}
	return nil, mass
}

// mostOf gives the most that one string left to wind takes of a wire: so much, less than it at least, may stay on a spool.
func (s *search) mostOf(t trial, wire material.WireCode) (most measure.Mass) {
	for _, d := range t.end.Demands {
		for _, u := range s.making(d).Uses {
			if u.Wire == wire {
				most = max(most, u.Each.Times(1)+measure.Milligram)
			}
		}
	}
	return most
}

// work gives the days that the machines for a demand may need for all that they can wind, and the first of these machines; below zero
// where there is none.
func (s *search) work(t trial, d requirements.Demand) work {
	machine := -1
	takes := func(d requirements.Demand) []bool {
		m := s.making(d)
		list := make([]bool, len(s.Input.Machines))
		for i, mc := range s.Input.Machines {
			list[i] = mc.PerDay > 0 && mc.Takes(m.Plain(), m.CoreCut)
		}
		return list
	}
	mine := takes(d)
	m := s.making(d)
	leftover := s.setup(m.Uses) + time.Duration(s.overage(1, m.Yield))*m.Each
	var perDay time.Duration
	for i, ok := range mine {
		if room := s.Input.Machines[i].PerDay - leftover; ok && room > 0 {
			perDay += room
			if machine < 0 || s.Input.Machines[i].PerDay > s.Input.Machines[machine].PerDay {
				machine = i
			}
		}
	}
	if machine < 0 {
		return work{machine: machine}
	}
	var sum time.Duration
	for _, o := range t.end.Demands {
		shared := false
		for i, ok := range takes(o) {
			shared = shared || ok && mine[i]
		}
		if !shared {
			continue
		}
		m := s.making(o)
		splits := 1 + int(time.Duration(o.Strings)*m.Each/perDay)
		sum += time.Duration(s.strings(o))*m.Each + time.Duration(1+splits)*s.setup(m.Uses)
	}
	sum += time.Duration(len(t.end.Spools)) * s.Input.Practice.ChangeSpool
	return work{int((sum + perDay - 1) / perDay), machine}
}

// setup gives the most that a batch of some wires may need of it.
func (s *search) setup(uses []requirements.Use) time.Duration {
	p := s.Input.Practice
	return p.ChangeCore + time.Duration(len(uses))*(p.ChangeWrap+p.ChangeSpool) + p.ChangeLength
}

// need gives the wire that a demand may take at most.
func (s *search) need(d requirements.Demand) []requirements.WireNeed {
	m := s.making(d)
	n := int64(s.strings(d))
	needs := make([]requirements.WireNeed, len(m.Uses))
	for i, u := range m.Uses {
		needs[i] = requirements.WireNeed{Wire: u.Wire, Mass: u.Each.Times(n) + measure.Milligram}
	}
	return needs
}

// strings gives how many may be wound for a demand at most, split into a batch more for each day: each part has its own overage.
func (s *search) strings(d requirements.Demand) int {
	m := s.making(d)
	splits := min(d.Strings-1, 2)
	return s.overage(d.Strings, m.Yield) + splits*s.overage(1, m.Yield)
}

func (s *search) overage(n int, yield float64) int {
	if n < 1 {
		return 0
	}
	most, known := s.wound[ordered{n, yield}]
	if !known {
		var err error
		if most, err = planning.Overage(n, yield, s.Input.Practice.CompletionConfidence); err != nil {
			most = n // no plan is made of it either
		}
		s.wound[ordered{n, yield}] = most
	}
	return most
}

// making gives what a string takes; planning has refused a room whose recipes are not known.
func (s *search) making(d requirements.Demand) requirements.Making {
	m, known := s.makings[kind{d.Recipe, d.Scale}]
	if !known {
		var err error
		if m, err = s.Input.Bench.Making(d.Recipe, d.Scale); err != nil {
			m = requirements.Making{Yield: 1}
		}
		s.makings[kind{d.Recipe, d.Scale}] = m
	}
	return m
}

// beyond gives the day reckoned beyond the planned ones with the order behind all whose day is earlier.
func (s *search) beyond(first trial) (Answer, error) {
	to := last
	for range mostTries {
		t, err := s.try(to)
		if err != nil {
			return Answer{}, err
		}
		on, a := s.reckonAsked(t)
		if a.Decides.What != "" && on == 0 {
			return a, nil
		}
		late := s.harmed(t, on)
		if on <= to && to != last && len(late) == 0 {
			a.On = to
			a.Confidence = s.confidence(a)
			return s.hold(a)
		}
		if to == last && len(late) > 0 {
			return Answer{Decides: s.crowded(t, late)}, nil
		}
		if to = on; to <= s.Days[len(s.Days)-1].Date {
			to = s.Shop.NextWorkday(s.Days[len(s.Days)-1].Date)
		}
	}
	return Answer{Decides: Reason{What: ByOrders, Detail: "no place among the orders taken on before was found"}}, nil
}

// crowded says why an order has no place behind all others: the wire that it would take from them, or else they themselves.
func (s *search) crowded(t trial, late []order.Code) Reason {
	if dry := s.dry(t); len(dry) > 0 {
		reason := lacking(dry, late)
		reason.Whole = s.deficit(t)
		return reason
	}
	return Reason{What: ByOrders, Orders: late}
}

// mostTries bounds how often a day beyond is reckoned again with the place that it gives the order.
const mostTries = 4

// reckonAsked gives the day of the order in a trial, planned or reckoned; zero and why where there is none.
func (s *search) reckonAsked(t trial) (calendar.Date, Answer) {
	if on, ok := t.done[s.asked.Order]; ok {
		return on, Answer{Decides: s.decides(on, t, t)}
	}
	by, why := s.reckon(t, s.asked.Order)
	if by == nil {
		return 0, Answer{Decides: why}
	}
	on := max(by.on, s.Released[s.asked.Order])
	if by.wait != nil {
		return on, Answer{Decides: Reason{What: Arrival, Wire: by.wait.Wire, Receipt: by.wait}}
	}
	return on, Answer{Decides: Reason{What: ByTime, Machine: s.Input.Machines[by.machine].Code}}
}
