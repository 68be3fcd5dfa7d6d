package calendar

import (
	"errors"
	"slices"
	"time"
)

// ErrNoWorkday says that a shop would never work.
var ErrNoWorkday = errors.New("no working day in the week: name at least one")

// ShopDays says on which dates the shop works: the same days each week, except its closures. The zero value works every day.
type ShopDays struct {
	rests    [7]bool // by time.Weekday
	closures []Date  // sorted
}

// NewShopDays gives the days of a shop that works on the named weekdays and is closed on the given dates. Repeats do no
// harm. It fails with ErrNoWorkday where no weekday is named.
func NewShopDays(weekdays []time.Weekday, closures []Date) (ShopDays, error) {
	if len(weekdays) == 0 {
		return ShopDays{}, ErrNoWorkday
	}
	s := ShopDays{closures: slices.Compact(slices.Sorted(slices.Values(closures)))}
	for day := range s.rests {
		s.rests[day] = !slices.Contains(weekdays, time.Weekday(day))
	}
	return s, nil
}

// IsWorkday says whether the shop works on the date.
func (s ShopDays) IsWorkday(d Date) bool {
	_, closed := slices.BinarySearch(s.closures, d)
	return !closed && !s.rests[d.Weekday()]
}

// NextWorkday gives the first workday after the date. The first one on or after it is NextWorkday(d - 1).
func (s ShopDays) NextWorkday(d Date) Date { return s.AddWorkdays(d, 1) }

// AddWorkdays gives the n-th workday after the date, or before it where n is negative; for zero the date itself, workday
// or not. A lead of two workdays from a Friday ends on the Tuesday.
func (s ShopDays) AddWorkdays(d Date, n int) Date {
	step := Date(1)
	if n < 0 {
		step, n = -1, -n
	}
	for n > 0 {
		if d += step; s.IsWorkday(d) {
			n--
		}
	}
	return d
}
