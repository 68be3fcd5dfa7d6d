package jobs

import (
	"fmt"
	"time"

	"windingroom/internal/calendar"
)

// Clock is a time of day.
type Clock struct{ Hour, Minute int }

// NewClock makes a time of day. The hour from 02:00 to 03:00 is refused: on some nights it does not exist, on others it comes twice.
func NewClock(hour, minute int) (Clock, error) {
	c := Clock{hour, minute}
	switch {
	case hour < 0 || hour > 23 || minute < 0 || minute > 59:
		return c, fmt.Errorf("%02d:%02d is not a time of day", hour, minute)
	case hour == 2:
		return c, fmt.Errorf("%02d:%02d lies between 02:00 and 03:00, an hour that some nights do not have; take one outside it", hour, minute)
	}
	return c, nil
}

// on gives the instant of the time of day on a date. Where clocks skip it, one beside the gap.
func (c Clock) on(day calendar.Date, zone *time.Location) time.Time {
	y, m, d := day.Time().Date()
	return time.Date(y, m, d, c.Hour, c.Minute, 0, 0, zone)
}

// due gives the last day on which the time of day has come.
func (c Clock) due(now time.Time, zone *time.Location) calendar.Date {
	today := calendar.Of(now.In(zone))
	if now.Before(c.on(today, zone)) {
		return today - 1
	}
	return today
}
