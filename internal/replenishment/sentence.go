package replenishment

import (
	"fmt"
	"strings"

	"windingroom/internal/calendar"
	"windingroom/internal/measure"
)

// why says what to do about a wire, by when, and the sum behind it. Every figure stands in the night's fields or follows from them by hand.
func (c *check) why() string {
	var text strings.Builder
	for _, part := range []string{c.whatToDo(), c.hasten(), c.ordersAtRisk(), c.leftSum(), c.keepSum(), c.difference(), c.rests(), c.lies()} {
		if part == "" {
			continue
		}
		if text.Len() > 0 {
			text.WriteByte(' ')
		}
		text.WriteString(strings.ToUpper(part[:1]) + part[1:] + ".")
	}
	return text.String()
}

// arrives is the day on which a purchase placed now is on the shelf.
func (c *check) arrives() calendar.Date { return c.today + calendar.Date(c.night.Protection) }

func (c *check) whatToDo() string {
	n := &c.night
	switch {
	case n.Alert == Late && c.short > 0:
		return Due(n.OrderBy, c.today) + ": " + c.runsOut()
	case n.Alert == Late:
		return c.runsOut() + "; what is on its way is enough, but is not here in time"
	case n.Alert == Order && !n.RunOutSoon.IsZero():
		return fmt.Sprintf("%s: it may run out from %s on", Due(n.OrderBy, c.today), n.RunOutSoon)
	case n.Alert == Order:
		return Due(n.OrderBy, c.today)
	case n.Alert == Watch && c.shortIn(c.policy.WatchDays) > 0:
		if n.OrderBy > c.today {
			return "to be ordered by " + n.OrderBy.String()
		}
		return "to be ordered within " + plural(c.policy.WatchDays, "day", "days")
	case c.idle():
		return "nothing to order"
	case n.RunOut.IsZero():
		return "lasts more than a year"
	}
	return fmt.Sprintf("lasts until %s with the expected use", n.RunOut-1)
}

// Due says by when to order, as of a day.
func Due(orderBy, today calendar.Date) string {
	switch late := int(today - orderBy); {
	case orderBy.IsZero() || late == 0:
		return "order today"
	case late > 0:
		return fmt.Sprintf("order at once, %s late", plural(late, "day", "days"))
	}
	return "order by " + orderBy.String()
}

func (c *check) runsOut() string {
	on := c.night.RunOut
	if on.IsZero() {
		_, on = c.outlook.atRisk()
	}
	when := "it runs out on " + on.String()
	if on <= c.today {
		when = "it runs out today"
	}
	return fmt.Sprintf("%s, %s before a purchase placed now is on the shelf on %s", when, plural(int(c.arrives()-max(on, c.today)), "day", "days"), c.arrives())
}

// hasten names the purchases that should come sooner: those past due and, where the wire must be ordered or comes too late, the next one that
// does not come in time.
func (c *check) hasten() string {
	n := &c.night
	var parts []string
	for _, r := range n.Overdue {
		parts = append(parts, fmt.Sprintf("hasten purchase %s: its %s was due on %s, %s ago", r.Purchase, grams(r.Mass), r.DueOn, plural(int(c.today-r.DueOn), "day", "days")))
	}
	if n.Alert.Rank() >= Order.Rank() {
		for _, r := range c.outlook.receipts {
			if r.DueOn > c.at.on || !n.RunOut.IsZero() && r.DueOn >= n.RunOut {
				parts = append(parts, fmt.Sprintf("hasten purchase %s: its %s comes on %s", r.Purchase, grams(r.Mass), r.DueOn))
				break
			}
		}
	}
	return strings.Join(parts, "; ")
}

func (c *check) ordersAtRisk() string {
	orders := c.night.AtRisk
	switch len(orders) {
	case 0:
		return ""
	case 1:
		return fmt.Sprintf("order %s is at risk", orders[0])
	}
	return fmt.Sprintf("%d orders are at risk, first %s", len(orders), orders[0])
}

// leftSum adds up what is known.
func (c *check) leftSum() string {
	n, o := &c.night, c.outlook
	text := "nothing on hand"
	if n.OnHand > 0 {
		text = grams(n.OnHand) + " on hand"
	}
	var less []string
	if n.Allocated > 0 {
		less = append(less, grams(n.Allocated)+" allocated")
	}
	if booked := o.bookedUntil(c.at.on); booked > 0 {
		less = append(less, fmt.Sprintf("%s booked until %s", grams(booked), c.at.on))
	}
	if len(less) > 0 {
		text += ", less " + strings.Join(less, " and ")
	}
	coming := o.arriving(c.at.on)
	if coming > 0 {
		text += fmt.Sprintf(", and %s on order", grams(coming))
	}
	switch {
	case len(less) == 0 && coming == 0:
		return text
	case n.Available < 0:
		return text + fmt.Sprintf(": %s is missing", grams(-n.Available))
	}
	return text + fmt.Sprintf(", leaves %s", grams(n.Available))
}

// keepSum adds up what is to be kept for demand that is not known.
func (c *check) keepSum() string {
	n, d, weeks := &c.night, c.outlook.demand, c.cover
	switch {
	case c.idle():
		return ""
	case d.Method == OwnMinimum:
		return c.keepUnused()
	case weeks <= 0:
		return fmt.Sprintf("customers order longer ahead than the %s that a purchase takes, so nothing more is to be kept", plural(n.Protection, "day", "days"))
	}
	expected := whole(d.Weekly * weeks)
	text := fmt.Sprintf("a purchase takes %s", plural(n.Protection, "day", "days"))
	if c.outlook.ahead.known {
		text += fmt.Sprintf(", and orders are not known yet for %.1f weeks of them", weeks)
	}
	text += fmt.Sprintf(": %s a week make %s", grams(n.WeeklyUsage), grams(expected))
	forecast := whole(c.at.forecast)
	if more := forecast - expected; more > 0 {
		text += fmt.Sprintf(", and %s more in case %s", grams(more), c.inCase(forecast))
	}
	switch taken := c.at.taken; {
	case taken >= forecast:
		return text + "; all of it is booked or allocated already"
	case taken > 0:
		return text + fmt.Sprintf("; %s of it is booked or allocated already, so %s is to be kept", grams(taken), grams(n.OrderPoint))
	}
	return text + fmt.Sprintf("; %s is to be kept", grams(n.OrderPoint))
}

// inCase says what the rest is kept against.
func (c *check) inCase(forecast measure.Mass) string {
	if c.outlook.demand.Method == OccurrenceSize && forecast == whole(c.outlook.demand.Floor) {
		return fmt.Sprintf("as much is needed at once as the most of last year, %s", grams(forecast))
	}
	return "more is used or it comes late"
}

func (c *check) keepUnused() string {
	keep := grams(c.night.OrderPoint)
	switch {
	case c.night.OrderPoint == 0:
		return "it was never used, and no minimum is set for it"
	case c.wire.Minimum > 0:
		return fmt.Sprintf("it was never used; %s is to be kept, the minimum set for it", keep)
	}
	return fmt.Sprintf("it was never used; %s is to be kept, what the largest order of a standing set takes", keep)
}

// difference compares what is left with what is to be kept, where it is too little.
func (c *check) difference() string {
	if missing := c.night.OrderPoint - c.night.Available; c.short > 0 && missing > 0 && c.night.OrderPoint > 0 {
		return fmt.Sprintf("that is %s too little", grams(missing))
	}
	return ""
}

// rests says on how much the sum rests, and how far it is to be trusted.
func (c *check) rests() string {
	n, d := &c.night, c.outlook.demand
	var parts []string
	if d.Method != OwnMinimum && !c.idle() {
		text := fmt.Sprintf("it was used in %d of %s", n.Pattern.Demands, plural(n.Pattern.Periods, "week", "weeks"))
		if d.Method == OccurrenceSize {
			text += ", which is little"
			if c.family > 0 {
				text += " and eked out by the use of wires like it"
			}
		}
		if c.cover > 0 {
			text += fmt.Sprintf("; with so much known, such an amount lasts about %.0f times in 100", 100*n.Confidence)
		}
		parts = append(parts, text)
		if blocks, ok := d.blocks(c.policy.Service, c.cover); ok && differ(c.at.forecast, blocks) {
			parts = append(parts, fmt.Sprintf("the weeks as they were would ask for %s", grams(whole(blocks))))
		}
	}
	switch {
	case c.guess && c.slowest != "":
		parts = append(parts, fmt.Sprintf("no supplier is named for it, so the time of the slowest, %s, is taken", c.slowest))
	case c.guess:
		parts = append(parts, fmt.Sprintf("no supplier is named for it, so %.0f days are taken for one", c.lead.Days))
	}
	return strings.Join(parts, "; ")
}

// lies says what lies there.
func (c *check) lies() string {
	n := &c.night
	var parts []string
	switch {
	case c.idle():
		parts = append(parts, fmt.Sprintf("it was last used on %s, and nothing is booked", c.history.LastUse))
	case n.Fading:
		parts = append(parts, "it goes out of use")
	}
	if n.OverCover > 0 && n.WeeklyUsage > 0 {
		parts = append(parts, fmt.Sprintf("%s of it is beyond %s of use", grams(n.OverCover), plural(c.policy.CoverDays, "day", "days")))
	}
	return strings.Join(parts, "; ")
}

// grams prints a mass for reading, to the tenth of a gram.
func grams(m measure.Mass) string { return fmt.Sprintf("%.1f g", m.Grams()) }

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
