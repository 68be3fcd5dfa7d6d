package costing

import (
	"fmt"
	"time"

	"windingroom/internal/calendar"
)

// Period is a month of the books. Zero is none; otherwise it counts months from January of year 0, so periods compare with <
// and the next one is p + 1.
type Period int32

// NewPeriod gives the period of a year's month.
func NewPeriod(year int, month time.Month) Period { return Period(year*12 + int(month) - 1) }

// PeriodOf gives the period a day belongs to.
func PeriodOf(d calendar.Date) Period {
	t := d.Time()
	return NewPeriod(t.Year(), t.Month())
}

// ParsePeriod reads YYYY-MM, years 1900 to 2199.
func ParsePeriod(text string) (Period, error) {
	if len(text) == len("2026-03") {
		if d, err := calendar.ParseDate(text + "-01"); err == nil {
			return PeriodOf(d), nil
		}
	}
	return 0, fmt.Errorf("%q is not a month such as 2026-03", text)
}

// First gives the period's first day.
func (p Period) First() calendar.Date { return calendar.NewDate(int(p/12), time.Month(p%12)+1, 1) }

// Last gives the period's last day.
func (p Period) Last() calendar.Date { return (p + 1).First() - 1 }

// Holds says whether a day belongs to the period.
func (p Period) Holds(d calendar.Date) bool { return PeriodOf(d) == p }

// String prints YYYY-MM, or nothing for none.
func (p Period) String() string {
	if p == 0 {
		return ""
	}
	return p.First().String()[:len("2026-03")]
}
