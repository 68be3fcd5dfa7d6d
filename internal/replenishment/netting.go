package replenishment

import (
	"cmp"
	"math"
	"slices"

	"windingroom/internal/calendar"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/requirements"
)

// Receipt is wire on its way: what is still to come of a purchase.
type Receipt struct {
	Purchase string
	Wire     material.WireCode
	DueOn    calendar.Date
	Mass     measure.Mass
}

// Need is booked demand: wire that an open order will draw on its planned day. Wire that is already allocated is not in it.
type Need struct {
	Order order.Code
	Wire  material.WireCode
	On    calendar.Date
	Mass  measure.Mass
}

// horizon is how many days ahead a wire is looked at.
const horizon = 365

// outlook is the future of one wire: what is known, by day, and what may be drawn beyond it.
type outlook struct {
	today     calendar.Date
	free      measure.Mass // usable on hand less allocated
	allocated measure.Mass
	receipts  []Receipt // due from today on, by day
	overdue   []Receipt // due before today: not counted on any day until someone gives them a new one, nor moved
	needs     []Need    // by planned day and order; one that is past takes its wire today
	booked    []measure.Mass
	known     requirements.Projection
	demand    Demand
	ahead     ahead
}

func newOutlook(today calendar.Date, onHand, allocated measure.Mass, receipts []Receipt, needs []Need, d Demand, a ahead) *outlook {
	o := &outlook{today: today, free: onHand - allocated, allocated: allocated, demand: d, ahead: a}
	var in, out []requirements.Flow
	for _, r := range slices.SortedStableFunc(slices.Values(receipts), func(a, b Receipt) int {
		return cmp.Or(cmp.Compare(a.DueOn, b.DueOn), cmp.Compare(a.Purchase, b.Purchase))
	}) {
		if r.DueOn < today {
			o.overdue = append(o.overdue, r)
			continue
		}
		o.receipts = append(o.receipts, r)
		in = append(in, requirements.Flow{On: r.DueOn, Mass: r.Mass})
	}
	o.needs = slices.Clone(needs)
	for i := range o.needs {
		o.needs[i].On = max(o.needs[i].On, today)
	}
	slices.SortStableFunc(o.needs, func(a, b Need) int { return cmp.Or(cmp.Compare(a.On, b.On), cmp.Compare(a.Order, b.Order)) })
	var sum measure.Mass
	for _, n := range o.needs {
		sum += n.Mass
		o.booked = append(o.booked, sum)
		out = append(out, requirements.Flow{On: n.On, Mass: n.Mass})
	}
	o.known = requirements.Project(today, o.free, in, out)
	return o
}

// bookedUntil gives the booked demand planned up to a day.
func (o *outlook) bookedUntil(on calendar.Date) measure.Mass {
	i, _ := slices.BinarySearchFunc(o.needs, on+1, func(n Need, on calendar.Date) int { return cmp.Compare(n.On, on) })
	if i == 0 {
		return 0
	}
	return o.booked[i-1]
}

// unbooked takes from a forecast of the days up to a date what is booked of them already. Where the notice that customers give is known the
// forecast is only of what is still open; where it is not, it is of everything, and booked and allocated wire consumes it: the greater of
// forecast and orders counts, never their sum (Stevenson, Operations Management, master schedule, read in a copy). One extraordinary order
// then hides the ordinary demand beside it, which is why the notice is worth knowing.
func (o *outlook) unbooked(forecast float64, until calendar.Date) float64 {
	return math.Max(forecast-float64(o.taken(until)), 0)
}

// taken is what of a forecast of the days up to a date is booked or allocated already.
func (o *outlook) taken(until calendar.Date) measure.Mass {
	if o.ahead.known {
		return 0
	}
	return o.allocated + o.bookedUntil(until)
}

// balance gives the projected balance of a day for a use that is not exceeded with a probability; for zero, the expected use.
func (o *outlook) balance(p float64, on calendar.Date) float64 {
	weeks := o.ahead.weeks(int(on - o.today))
	forecast := o.demand.Weekly * weeks
	if p > 0 {
		forecast = o.demand.Total(p, weeks, 0)
	}
	return float64(o.known.Balance(on)) - o.unbooked(forecast, on)
}

// runOut gives the first day on which the balance is below zero, or no date within the horizon. Between two days on which something known
// happens the balance only falls, so each such stretch is searched by halves.
func (o *outlook) runOut(p float64) calendar.Date {
	end := o.today + horizon
	days := o.eventDays()
	for i, from := range days {
		until := end
		if i+1 < len(days) {
			until = min(days[i+1]-1, end)
		}
		if from > end {
			break
		}
		if o.balance(p, until) >= 0 {
			continue
		}
		for from < until {
			half := from + (until-from)/2
			if o.balance(p, half) < 0 {
				until = half
			} else {
				from = half + 1
			}
		}
		return from
	}
	return 0
}

// eventDays gives the days from today on which something known comes or goes, today first.
func (o *outlook) eventDays() []calendar.Date {
	days := []calendar.Date{o.today}
	for _, r := range o.receipts {
		days = append(days, r.DueOn)
	}
	for _, n := range o.needs {
		days = append(days, n.On)
	}
	slices.Sort(days)
	return slices.Compact(days)
}

// lowest gives the least known balance of the days from one to another, and the first day of it: what is left to cover demand that is not booked.
func (o *outlook) lowest(from, to calendar.Date) (low measure.Mass, on calendar.Date) {
	low, on = o.known.Balance(from), from
	for _, n := range o.needs {
		if n.On <= from || n.On > to {
			continue
		}
		if balance := o.known.Balance(n.On); balance < low {
			low, on = balance, n.On
		}
	}
	return low, on
}

// arriving gives what comes of purchases up to a day; what is past due counts, for it was ordered and must not be ordered again.
func (o *outlook) arriving(on calendar.Date) (sum measure.Mass) {
	for _, r := range o.overdue {
		sum += r.Mass
	}
	for _, r := range o.receipts {
		if r.DueOn <= on {
			sum += r.Mass
		}
	}
	return sum
}

// atRisk lists the orders that the wire does not reach to on their day, receipts coming when due, and the first such day. Wire is given
// out in order of the planned day; a need it does not reach to takes nothing, so that a smaller one after it may still be met.
func (o *outlook) atRisk() (orders []order.Code, first calendar.Date) {
	have, next := o.free, 0
	for _, n := range o.needs {
		for next < len(o.receipts) && o.receipts[next].DueOn <= n.On {
			have += o.receipts[next].Mass
			next++
		}
		if n.Mass <= have {
			have -= n.Mass
			continue
		}
		if first.IsZero() {
			first = n.On
		}
		if !slices.Contains(orders, n.Order) {
			orders = append(orders, n.Order)
		}
	}
	return orders, first
}
