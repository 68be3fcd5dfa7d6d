package workshop

import (
	"time"

	"windingroom/internal/calendar"
)

// opening and noon are when, on a day of which only the date is known, wire came in and anything else happened: what was
// received is there before what was drawn.
const (
	opening = 0
	noon    = 12 * time.Hour
)

// instant gives the moment at which something of a date happened: now when the date is today, else the given time of that
// day in the shop's zone. It is UTC.
func (s *Shop) instant(date calendar.Date, of time.Duration) time.Time {
	if now := s.Now(); calendar.Of(now.In(s.Zone)) == date {
		return now.UTC()
	}
	return date.In(s.Zone).Add(of).UTC()
}
