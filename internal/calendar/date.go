// Package calendar holds days without a clock and the working days of a shop.
package calendar

import (
	"database/sql/driver"
	"fmt"
	"time"
)

// Date is a day without a time or a zone. Zero is no date; otherwise it counts days from 1 January of year 1, so dates
// compare with < and a day is added with +.
type Date int32

const layout = "2006-01-02"

var origin = time.Date(1, 1, 1, 0, 0, 0, 0, time.UTC)

// NewDate gives the date of a year, month and day, normalised as time.Date does.
func NewDate(year int, month time.Month, day int) Date {
	return Of(time.Date(year, month, day, 0, 0, 0, 0, time.UTC))
}

// Of gives the date an instant has in its own location.
func Of(t time.Time) Date {
	y, m, d := t.Date()
	// Seconds, not a Duration: a Duration ends after 292 years.
	seconds := time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() - origin.Unix()
	return Date(seconds/(24*60*60)) + 1
}

// ParseDate reads YYYY-MM-DD, years 1900 to 2199.
func ParseDate(text string) (Date, error) {
	t, err := time.Parse(layout, text)
	if err != nil {
		return 0, fmt.Errorf("%q is not a date such as 2026-03-02", text)
	}
	if t.Year() < 1900 || t.Year() > 2199 {
		return 0, fmt.Errorf("%q is outside the years 1900 to 2199", text)
	}
	return Of(t), nil
}

// Time gives midnight UTC of the date.
func (d Date) Time() time.Time { return origin.AddDate(0, 0, int(d)-1) }

// In gives the first instant of the date in a location: midnight, or later where the clocks skip midnight that day.
func (d Date) In(loc *time.Location) time.Time {
	y, m, day := d.Time().Date()
	t := time.Date(y, m, day, 0, 0, 0, 0, loc)
	start, end := t.ZoneBounds()
	switch {
	case Of(t) < d: // midnight was skipped: the date begins with the new offset
		return end
	case !start.IsZero() && Of(start.Add(-1)) == d: // midnight comes twice: take the first
		_, later := t.Zone()
		_, earlier := start.Add(-1).Zone()
		return t.Add(time.Duration(later-earlier) * time.Second)
	case Of(t.Add(-1)) == d:
		return start
	}
	return t
}

// Weekday gives the day of the week.
func (d Date) Weekday() time.Weekday { return d.Time().Weekday() }

// IsZero says whether there is no date.
func (d Date) IsZero() bool { return d == 0 }

// String prints YYYY-MM-DD, or nothing for no date.
func (d Date) String() string {
	if d == 0 {
		return ""
	}
	return d.Time().Format(layout)
}

// MarshalText prints the date for JSON and other text formats.
func (d Date) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads what MarshalText wrote; empty text is no date.
func (d *Date) UnmarshalText(text []byte) error {
	if len(text) == 0 {
		*d = 0
		return nil
	}
	parsed, err := ParseDate(string(text))
	*d = parsed
	return err
}

// Value stores the date as text, which sorts as dates do in every database; no date is NULL.
func (d Date) Value() (driver.Value, error) {
	if d == 0 {
		return nil, nil
	}
	return d.String(), nil
}

// Scan reads what Value stored.
func (d *Date) Scan(src any) error {
	switch v := src.(type) {
	case nil:
		*d = 0
		return nil
	case string:
		return d.UnmarshalText([]byte(v))
	case []byte:
		return d.UnmarshalText(v)
	case time.Time:
		*d = Of(v)
		return nil
	}
	return fmt.Errorf("cannot read a date from %T", src)
}
