package config

import (
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/netip"
	"slices"
	"strconv"
	"strings"
	"time"
	_ "time/tzdata" // so that a machine without zone files knows the shop's zone
	"unicode"

	"windingroom/internal/calendar"
	"windingroom/internal/units"
)

// Validate gives every fault of the configuration, each naming its key, or nil. The methods below succeed after it did.
func (c Config) Validate() error {
	_, zone := c.Location()
	_, days := c.ShopDays()
	_, level := c.Level()
	_, _, night := c.Night()
	_, shown := c.Shown()
	_, opens := c.Opens()
	return errors.Join(c.checkDatabase(), c.checkAddr(), c.checkProxies(), c.checkShop(), zone, days, opens, level, night, c.checkBackups(), c.checkMail(), c.checkWebhook(), shown, c.checkBooks())
}

// Location gives the shop's time zone.
func (c Config) Location() (*time.Location, error) {
	loc, err := time.LoadLocation(c.TimeZone)
	if err != nil || c.TimeZone == "" {
		return nil, fmt.Errorf("time_zone: %q is not a zone such as Europe/Berlin", c.TimeZone)
	}
	return loc, nil
}

// Shown gives the units in which pages show quantities, with the shop's time zone.
func (c Config) Shown() (units.Units, error) {
	zone, err := c.Location()
	if err != nil {
		zone = time.UTC // Location's own fault is told where it is asked for
	}
	u, err := units.New(c.Units.Length, c.Units.Mass, c.Units.Tension, zone)
	if err != nil {
		return units.Units{}, fmt.Errorf("units: %w", err)
	}
	return u, nil
}

// ShopDays gives the days on which the shop works.
func (c Config) ShopDays() (calendar.ShopDays, error) {
	var week []time.Weekday
	for _, name := range c.WorkingDays {
		day := slices.IndexFunc(weekdays, func(d string) bool { return strings.EqualFold(d, name) })
		if day < 0 {
			return calendar.ShopDays{}, fmt.Errorf("working_days: %q is not a weekday such as monday", name)
		}
		week = append(week, time.Weekday(day))
	}
	var closures []calendar.Date
	for _, text := range c.Closures {
		date, err := calendar.ParseDate(text)
		if err != nil {
			return calendar.ShopDays{}, fmt.Errorf("closures: %w", err)
		}
		closures = append(closures, date)
	}
	shop, err := calendar.NewShopDays(week, closures)
	if err != nil {
		return calendar.ShopDays{}, fmt.Errorf("working_days: %w", err)
	}
	return shop, nil
}

// weekdays are in the order of time.Weekday.
var weekdays = []string{"sunday", "monday", "tuesday", "wednesday", "thursday", "friday", "saturday"}

// Opens gives when the machines' day begins, after midnight in the shop's zone.
func (c Config) Opens() (time.Duration, error) {
	t, err := time.Parse("15:04", c.DayBegins)
	if err != nil {
		return 0, fmt.Errorf("day_begins: %q is not a time of day such as 07:00", c.DayBegins)
	}
	return time.Duration(t.Hour())*time.Hour + time.Duration(t.Minute())*time.Minute, nil
}

// Level gives the least level that is logged.
func (c Config) Level() (slog.Level, error) {
	levels := map[string]slog.Level{
		"debug": slog.LevelDebug, "info": slog.LevelInfo, "warn": slog.LevelWarn, "error": slog.LevelError,
	}
	level, known := levels[strings.ToLower(c.LogLevel)]
	if !known {
		return 0, fmt.Errorf("log_level: %q is not one of debug, info, warn, error", c.LogLevel)
	}
	return level, nil
}

// checkDatabase looks at the scheme only and repeats no address, which may hold a password.
func (c Config) checkDatabase() error {
	scheme, rest, _ := strings.Cut(c.Database, ":")
	switch {
	case scheme == "sqlite" && rest != "",
		(scheme == "postgres" || scheme == "postgresql") && len(rest) > len("//") && strings.HasPrefix(rest, "//"):
		return nil
	}
	return errors.New("database: neither sqlite:PATH nor a postgres:// address")
}

func (c Config) checkAddr() error {
	_, port, err := net.SplitHostPort(c.Addr)
	if err == nil {
		_, err = strconv.ParseUint(port, 10, 16)
	}
	if err != nil {
		return fmt.Errorf("addr: %q is not HOST:PORT such as 127.0.0.1:8080", c.Addr)
	}
	return nil
}

func (c Config) checkProxies() error {
	for _, text := range c.TrustedProxies {
		_, address := netip.ParseAddr(text)
		_, network := netip.ParsePrefix(text)
		if address != nil && network != nil {
			return fmt.Errorf("trusted_proxies: %q is not an address such as 127.0.0.1 or a network such as 10.0.0.0/8", text)
		}
	}
	return nil
}

// longestShop keeps the name on one line of a printed sheet.
const longestShop = 60

func (c Config) checkShop() error {
	switch {
	case strings.TrimSpace(c.Shop) == "":
		return errors.New("shop: empty; it is the name on pages and printed sheets")
	case len([]rune(c.Shop)) > longestShop:
		return fmt.Errorf("shop: longer than %d characters", longestShop)
	case strings.ContainsFunc(c.Shop, unicode.IsControl):
		return errors.New("shop: more than one line, or a control character")
	}
	return nil
}
