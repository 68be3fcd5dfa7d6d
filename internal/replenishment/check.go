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
	policy   Policy
	wire     *Wire
	supplier catalog.Supplier
	lead     LeadTime
	guess    bool // the lead time is not that of a named supplier
	history  History
	outlook  *outlook
	cover    float64 // weeks of demand not yet booked until a purchase arrives
	short    float64 // by how much available is below the order point; zero or less where it is not
	night    WireNight
}

// run fills the night in.
func (c *check) run() {
	o, n := c.outlook, &c.night
	d := o.demand
	n.Protection = c.lead.Protection(c.policy.Receiving)
	n.Pattern, n.Class, n.Method = d.Pattern, d.Pattern.Class(), d.Method
	n.WeeklyUsage = whole(d.Weekly)
	n.Overdue = o.overdue
	c.cover = o.ahead.weeks(n.Protection)
	available, point := c.position(n.Protection)
	c.short = point - float64(available)
	n.Available, n.OrderPoint = available, whole(point)
	n.Confidence = d.Achieved(c.policy.Service, c.cover)
	n.RunOut = o.runOut(0)
	n.RunOutSoon = o.runOut(c.policy.Service)
	n.RunOutLate = o.runOut(1 - c.policy.Service)
	n.AtRisk, _ = o.atRisk()
	n.Balance = c.points()
	n.Fading, n.Dead = fading(c.history.Weeks), c.dead()
	n.OverCover = c.overCover()
	n.Alert = c.level()
	n.OrderBy = c.orderBy()
	n.Why = c.why()
}

// position gives what is left a number of days ahead of what is known, and the order point for what is not. Booked demand is counted until
// the supplier has delivered with the wanted confidence; purchases past due count, for they were ordered and must not be ordered again.
func (c *check) position(days int) (available measure.Mass, point float64) {
	o, p := c.outlook, c.policy.Service
	from := c.today + calendar.Date(days)
	to := from + c.margin()
	available = o.lowest(from, to)
	for _, r := range o.overdue {
		available += r.Mass
	}
	d := o.demand
	if d.Method == OwnMinimum {
		return available, d.Floor
	}
	return available, o.unbooked(d.OrderPoint(p, o.ahead.weeks(days), c.lead.SD/7), to)
}

// margin is the days by which a delivery may be later than expected.
func (c *check) margin() calendar.Date {
	return calendar.Date(math.Ceil(math.Max(Z(c.policy.Service), 0) * c.lead.SD))
}

// shortIn is by how much the wire will be below its order point in so many days, at the use the order point reckons with.
func (c *check) shortIn(days int) float64 {
	available, point := c.position(c.night.Protection + days)
	return point - float64(available)
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
	case c.short <= 0:
		return on
	case on.IsZero():
		return c.today
	}
	return min(on, c.today)
}

// dead says that a wire lies there: on hand, nothing booked, and not used for a year.
func (c *check) dead() bool {
	return c.night.OnHand > 0 && c.night.Booked == 0 && !c.history.LastUse.IsZero() && c.history.LastUse <= c.today-365
}

// overCover is what is there or on its way beyond a year's expected use and all that is booked.
func (c *check) overCover() measure.Mass {
	n := &c.night
	year := max(whole(c.outlook.demand.Weekly*weeksInYear), n.Booked)
	return max(n.OnHand-n.Allocated+n.OnOrder-year, 0)
}

const weeksInYear = 365.25 / 7

// whole rounds a mass of a calculation to the milligram.
func whole(mg float64) measure.Mass { return measure.Mass(math.Round(mg)) }
