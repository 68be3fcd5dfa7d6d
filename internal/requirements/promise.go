package requirements

import (
	"cmp"
	"slices"

	"windingroom/internal/calendar"
	"windingroom/internal/measure"
)

// Flow is wire that comes or goes on a day: a scheduled receipt, or what an order takes.
type Flow struct {
	On   calendar.Date
	Mass measure.Mass
}

// Projection is the projected balance of one wire from today on, with booked orders only: no forecast takes from it.
type Projection struct {
	days []projected // by date, the first is today
}

// projected is a day on which the balance changes.
type projected struct {
	on      calendar.Date
	balance measure.Mass // at its end
	promise measure.Mass // the least balance from here on
}

// Project works out the balance at the end of each day on which wire comes or goes. A receipt may be used on its day. One that
// was due before today is not counted: it is not reliable until someone gives it a new date. An order that was due before
// today still takes its wire. On hand is free of what is already allocated outside these orders.
func Project(today calendar.Date, onHand measure.Mass, receipts, orders []Flow) Projection {
	changes := map[calendar.Date]measure.Mass{today: onHand}
	for _, r := range receipts {
		if r.On >= today {
			changes[r.On] += r.Mass
		}
	}
	for _, o := range orders {
		changes[max(o.On, today)] -= o.Mass
	}
	p := Projection{days: make([]projected, 0, len(changes))}
	for on, change := range changes {
		p.days = append(p.days, projected{on: on, balance: change})
	}
	slices.SortFunc(p.days, func(a, b projected) int { return cmp.Compare(a.on, b.on) })
	p.accumulate()
	return p
}

// accumulate turns changes into balances, and looks ahead from the last day back for what may be promised.
func (p Projection) accumulate() {
	for i := 1; i < len(p.days); i++ {
		p.days[i].balance += p.days[i-1].balance
	}
	for i := len(p.days) - 1; i >= 0; i-- {
		p.days[i].promise = p.days[i].balance
		if i+1 < len(p.days) {
			p.days[i].promise = min(p.days[i].promise, p.days[i+1].promise)
		}
	}
}

// at gives the day whose balance holds on a date; a date before today is today. Nothing projected is nothing there.
func (p Projection) at(on calendar.Date) projected {
	if len(p.days) == 0 {
		return projected{}
	}
	i, found := slices.BinarySearchFunc(p.days, on, func(d projected, on calendar.Date) int { return cmp.Compare(d.on, on) })
	if !found {
		i = max(i-1, 0)
	}
	return p.days[i]
}

// Balance gives the projected balance at the end of a day; below zero is what is missing by then.
func (p Projection) Balance(on calendar.Date) measure.Mass { return p.at(on).balance }

// Promise gives what a further order may take on a day without taking it from any order already booked: available-to-promise,
// cumulative with look-ahead, the least projected balance from that day on (Schönsleben, Integral Logistics Management,
// section 5.3.5, read in a copy). Below zero nothing may be promised, and that much is promised already that will not be there:
// where a period's figure is cut off at zero, the same wire is promised twice.
func (p Projection) Promise(on calendar.Date) measure.Mass { return p.at(on).promise }

// Earliest gives the first day from today on which a further order may take a mass; ok is false where no scheduled receipt
// brings enough.
func (p Projection) Earliest(mass measure.Mass) (on calendar.Date, ok bool) {
	i := slices.IndexFunc(p.days, func(d projected) bool { return d.promise >= mass })
	if i < 0 {
		return 0, false
	}
	return p.days[i].on, true
}

// Net gives the net requirements: on each day on which the balance falls further below zero than before, by how much
// (Orlicky, Material Requirements Planning, chapter on netting, read in a copy). What is missing once is not asked for again.
func (p Projection) Net() []Flow {
	var net []Flow
	var missing measure.Mass
	for _, d := range p.days {
		if further := -d.balance - missing; further > 0 {
			net = append(net, Flow{d.on, further})
			missing += further
		}
	}
	return net
}
