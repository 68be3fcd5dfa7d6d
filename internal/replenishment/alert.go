package replenishment

import (
	"fmt"
	"slices"
	"strings"

	"windingroom/internal/calendar"
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
	case len(c.outlook.overdue) > 0 || c.shortIn(c.policy.WatchDays) > 0:
		return Watch
	}
	return None
}

// before says whether there is a date and it is before another.
func before(on, other calendar.Date) bool { return !on.IsZero() && on < other }

// inUse leaves out a wire nobody expects to use: that it is not there is no news.
func (c *check) inUse() bool { return (c.night.WeeklyUsage > 0 || c.night.Booked > 0) && !c.idle() }

// changed says what is different from the night before.
func changed(before, now *WireNight) string {
	var parts []string
	if before.Alert != now.Alert {
		parts = append(parts, fmt.Sprintf("the alert was %s and is %s", before.Alert, now.Alert))
	}
	if d := now.Available - before.Available; d != 0 && before.Alert != now.Alert {
		parts = append(parts, fmt.Sprintf("%s is left, was %s", grams(now.Available), grams(before.Available)))
	}
	if days := now.RunOut - before.RunOut; before.RunOut.IsZero() != now.RunOut.IsZero() || days > 3 || days < -3 {
		parts = append(parts, fmt.Sprintf("it runs out %s, was %s", orNever(now.RunOut), orNever(before.RunOut)))
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
	return "on " + on.String()
}
