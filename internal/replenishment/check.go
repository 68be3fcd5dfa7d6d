package replenishment

import (
	"math"

	"windingroom/internal/calendar"
	"windingroom/internal/catalog"
	"windingroom/internal/measure"
)

// check is the nightly check of one wire.
type check struct {
	today    calendar.Date
	policy   catalog.Buying
	wire     *Wire
	supplier catalog.Supplier
	lead     LeadTime
	guess    bool   // the lead time is not that of a named supplier
	slowest  string // the supplier whose it is then; empty without any
	history  History
	family   float64 // mean size of the demands of wires like it; zero without any
	outlook  *outlook
	cover    float64 // weeks of demand not yet booked until a purchase arrives
	at       position
	short    float64 // by how much available is below the order point; zero or less where it is not
	night    WireNight
}

// run fills the night in.
func (c *check) run() {
	o, n := c.outlook, &c.night
	d := o.demand
	n.Protection = c.lead.Protection(c.policy.ReviewDays, c.policy.ReceivingDays)
	n.Pattern, n.Class, n.Method = d.Pattern, d.Pattern.Class(), d.Method
	n.WeeklyUsage = whole(d.Weekly)
	n.Overdue = o.overdue
	c.cover = o.ahead.weeks(n.Protection)
	c.at = c.position(n.Protection)
	c.short = c.at.short()
	n.Available, n.OrderPoint = c.at.available, whole(c.at.point)
	n.Confidence = d.Achieved(c.policy.Service, c.cover)
	n.RunOut = o.runOut(0)
	n.RunOutSoon = o.runOut(c.policy.Service)
	n.RunOutLate = o.runOut(1 - c.policy.Service)
	n.AtRisk, _ = o.atRisk()
	n.Balance = c.points()
	n.Fading, n.Dead = fading(c.history.Weeks), c.dead()
	n.OverCover = max(-c.room(), 0)
	n.Alert = c.level()
	n.OrderBy = c.orderBy()
	n.Why = c.why()
}

// position is what is left of what is known, on the day on which that is least, and what is to be kept for what is not.
type position struct {
	on        calendar.Date
	available measure.Mass
	forecast  float64      // use to reckon with until then
	taken     measure.Mass // of it, booked or allocated already
	point     float64      // the order point: what is left of the forecast
}

func (p position) short() float64 { return p.point - float64(p.available) }

// position looks a number of days ahead. Booked demand is counted until the supplier has delivered with the wanted confidence.
func (c *check) position(days int) (p position) {
	o, d := c.outlook, c.outlook.demand
	from := c.today + calendar.Date(days)
	to := from + c.margin()
	p.available, p.on = o.lowest(from, to)
	for _, r := range o.overdue {
		p.available += r.Mass
	}
	switch {
	case c.idle():
		return p
	case d.Method == OwnMinimum:
		p.forecast, p.point = d.Floor, d.Floor
		return p
	}
	p.forecast, p.taken = d.OrderPoint(c.policy.Service, o.ahead.weeks(days), c.lead.SD/7), o.taken(to)
	p.point = o.unbooked(p.forecast, to)
	return p
}

// margin is the days by which a delivery may be later than expected.
func (c *check) margin() calendar.Date {
	return calendar.Date(math.Ceil(math.Max(Z(c.policy.Service), 0) * c.lead.SD))
}

// shortIn is by how much the wire will be below its order point in so many days, at the use the order point reckons with.
func (c *check) shortIn(days int) float64 {
	return c.position(c.night.Protection + days).short()
}

// points is the projected balance by week over a quarter, and on each day on which something known happens.
func (c *check) points() []Point {
	o := c.outlook
	last := c.today + 91
	days := map[calendar.Date]bool{}
	for on := c.today; on <= last; on += 7 {
		days[on] = true
	}
	for _, on := range o.eventDays() {
		days[on] = on <= last
	}
	var points []Point
	for on := c.today; on <= last; on++ {
		if days[on] {
			points = append(points, Point{on, whole(o.balance(0, on)), whole(o.balance(c.policy.Service, on)), whole(o.balance(1-c.policy.Service, on))})
		}
	}
	return points
}

// orderBy is the last day on which the wire can be ordered and arrive before it may run out. It is never later than today where it must be
// ordered now, and stays in the past where it was missed.
func (c *check) orderBy() calendar.Date {
	on := c.night.RunOutSoon
	if !on.IsZero() {
		on -= calendar.Date(c.night.Protection - 1)
	}
	switch {
	case c.idle():
		return 0
	case c.short <= 0:
		return on
	case on.IsZero():
		return c.today
	}
	return min(on, c.today)
}

// idle says that a wire was not used for a year and nothing is to be wound of it: whatever was used before, no more is to be ordered.
func (c *check) idle() bool {
	return c.night.Booked == 0 && c.night.Allocated == 0 && !c.history.LastUse.IsZero() && c.history.LastUse <= c.today-365
}

// dead says that such a wire lies there.
func (c *check) dead() bool { return c.night.OnHand > 0 && c.idle() }

const weeksInYear = 365.25 / 7

// whole rounds a mass of a calculation to the milligram.
func whole(mg float64) measure.Mass { return measure.Mass(math.Round(mg)) }
