package replenishment

import (
	"fmt"
	"slices"
	"strings"

	"windingroom/internal/calendar"
	"windingroom/internal/measure"
)

// Level says what a wire asks of the owner.
type Level string

// The levels, least first.
const (
	None  Level = "none"
	Watch Level = "watch" // must be ordered soon, or a receipt is past due
	Order Level = "order" // must be ordered now
	Late  Level = "late"  // runs out before a purchase placed now arrives
)

// Rank orders levels, none lowest.
func (l Level) Rank() int {
	switch l {
	case Watch:
		return 1
	case Order:
		return 2
	case Late:
		return 3
	}
	return 0
}

// level decides. The expected use decides what is late; the cautious one what must be ordered.
func (c *check) level() Level {
	_, risk := c.outlook.atRisk()
	arrives := c.today + calendar.Date(c.night.Protection)
	switch {
	case before(risk, arrives), before(c.night.RunOut, arrives) && c.inUse():
		return Late
	case c.short > 0:
		return Order
	case len(c.outlook.overdue) > 0 || c.shortIn(c.policy.Watch) > 0:
		return Watch
	}
	return None
}

// before says whether there is a date and it is before another.
func before(on, other calendar.Date) bool { return !on.IsZero() && on < other }

// inUse leaves out a wire nobody expects to use: that it is not there is no news.
func (c *check) inUse() bool { return c.night.WeeklyUsage > 0 || c.night.Booked > 0 }

// why is the sentence. Every figure in it stands in the night's fields or follows from them by hand.
func (c *check) why() string {
	n := &c.night
	var parts []string
	switch n.Alert {
	case Late:
		parts = append(parts, c.lateBecause())
	case Order:
		parts = append(parts, "order now")
	case Watch:
		if c.shortIn(c.policy.Watch) > 0 {
			parts = append(parts, fmt.Sprintf("to be ordered within %d days", c.policy.Watch))
		}
	}
	for _, r := range n.Overdue {
		parts = append(parts, fmt.Sprintf("%s of purchase %s was due on %s: expedite", grams(r.Mass), r.Purchase, r.DueOn))
	}
	parts = append(parts, fmt.Sprintf("%s left after what is booked in the %d days a purchase takes, order point %s", grams(n.Available), n.Protection, grams(n.OrderPoint)))
	parts = append(parts, c.basis())
	if c.guess {
		parts = append(parts, "no supplier is named for it, so the slowest one's time is taken")
	}
	switch {
	case n.Dead:
		parts = append(parts, "not used for a year and nothing booked")
	case n.Fading:
		parts = append(parts, "goes out of use")
	}
	return strings.Join(parts, "; ")
}

func (c *check) lateBecause() string {
	n := &c.night
	text := "short of a booked order"
	if !n.RunOut.IsZero() {
		text = fmt.Sprintf("runs out on %s", n.RunOut)
	}
	text += fmt.Sprintf(", before a purchase placed now arrives on %s", c.today+calendar.Date(n.Protection))
	switch len(n.AtRisk) {
	case 0:
		return text
	case 1:
		return text + fmt.Sprintf("; order %s is at risk", n.AtRisk[0])
	}
	return text + fmt.Sprintf("; %d orders are at risk, first %s", len(n.AtRisk), n.AtRisk[0])
}

// basis says what the order point rests on.
func (c *check) basis() string {
	n, d := &c.night, c.outlook.demand
	if d.Method == OwnMinimum {
		return "no history: the shop's own minimum"
	}
	text := fmt.Sprintf("%s a week by %s, used in %d of %d weeks", grams(n.WeeklyUsage), d.Method, n.Pattern.Demands, n.Pattern.Periods)
	if d.Method == OccurrenceSize {
		text = "thin history: " + text
	}
	if blocks, ok := d.blocks(c.policy.Service, c.cover); ok && differ(float64(n.OrderPoint), blocks) {
		text += fmt.Sprintf(" (the record's own blocks of weeks say %s)", grams(measure.Mass(blocks)))
	}
	if c.cover <= 0 {
		return text + "; customers' notice covers it, all demand until then is booked"
	}
	return text + fmt.Sprintf("; such an order point lasted %.0f times in 100", 100*n.Confidence)
}

// changed says what is different from the night before.
func changed(before, now *WireNight) string {
	var parts []string
	if before.Alert != now.Alert {
		parts = append(parts, fmt.Sprintf("was %s, is %s", before.Alert, now.Alert))
	}
	if d := now.Available - before.Available; d != 0 && before.Alert != now.Alert {
		parts = append(parts, fmt.Sprintf("available %s, was %s", grams(now.Available), grams(before.Available)))
	}
	if days := now.RunOut - before.RunOut; before.RunOut.IsZero() != now.RunOut.IsZero() || days > 3 || days < -3 {
		parts = append(parts, fmt.Sprintf("runs out %s, was %s", orNever(now.RunOut), orNever(before.RunOut)))
	}
	for _, code := range now.AtRisk {
		if !slices.Contains(before.AtRisk, code) {
			parts = append(parts, fmt.Sprintf("order %s is now at risk", code))
		}
	}
	for _, code := range before.AtRisk {
		if !slices.Contains(now.AtRisk, code) {
			parts = append(parts, fmt.Sprintf("order %s is no longer at risk", code))
		}
	}
	return strings.Join(parts, "; ")
}

func orNever(on calendar.Date) string {
	if on.IsZero() {
		return "not within a year"
	}
	return on.String()
}

// grams prints a mass for reading, to the tenth of a gram.
func grams(m measure.Mass) string { return fmt.Sprintf("%.1f g", m.Grams()) }
