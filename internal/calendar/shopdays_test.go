package calendar

import (
	"errors"
	"testing"
	"time"

	"pgregory.net/rapid"
)

var weekdays = []time.Weekday{time.Monday, time.Tuesday, time.Wednesday, time.Thursday, time.Friday}

func day(t *testing.T, text string) Date {
	t.Helper()
	d, err := ParseDate(text)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestShopDays(t *testing.T) {
	// Closed on a Wednesday, on the Friday before a weekend and the Monday after it, and (needlessly) on a Sunday.
	shop, err := NewShopDays(weekdays, []Date{
		day(t, "2026-03-16"), day(t, "2026-03-04"), day(t, "2026-03-13"), day(t, "2026-03-04"), day(t, "2026-03-08"),
	})
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name, from string
		works      bool
		add        int
		want       string
	}{
		{"next day", "2026-03-02", true, 1, "2026-03-03"},
		{"over a closure", "2026-03-03", true, 1, "2026-03-05"},
		{"over a weekend", "2026-03-06", true, 1, "2026-03-09"},
		{"over a long weekend", "2026-03-12", true, 1, "2026-03-17"},
		{"from a Saturday", "2026-03-07", false, 1, "2026-03-09"},
		{"from a closure", "2026-03-04", false, 1, "2026-03-05"},
		{"a week of work", "2026-03-02", true, 5, "2026-03-10"},
		{"back over a long weekend", "2026-03-17", true, -1, "2026-03-12"},
		{"back from a Sunday", "2026-03-08", false, -2, "2026-03-05"},
		{"no days from a workday", "2026-03-02", true, 0, "2026-03-02"},
		{"no days from a Sunday", "2026-03-08", false, 0, "2026-03-08"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			from := day(t, tt.from)
			if got := shop.IsWorkday(from); got != tt.works {
				t.Errorf("%s works: %v, want %v", from, got, tt.works)
			}
			if got := shop.AddWorkdays(from, tt.add); got.String() != tt.want {
				t.Errorf("%s and %d workdays is %s, want %s", from, tt.add, got, tt.want)
			}
		})
	}
}

func TestShopDaysNeedAWorkday(t *testing.T) {
	if _, err := NewShopDays(nil, nil); !errors.Is(err, ErrNoWorkday) {
		t.Errorf("a shop that never works: %v", err)
	}
	if got := (ShopDays{}).NextWorkday(day(t, "2026-03-07")); got.String() != "2026-03-08" {
		t.Errorf("the zero value goes on at %s, want the next day", got)
	}
}

func anyShop(t *rapid.T) ShopDays {
	days := rapid.SliceOfN(rapid.Map(rapid.IntRange(0, 6), func(n int) time.Weekday { return time.Weekday(n) }), 1, 7)
	start := int32(NewDate(2026, time.January, 1))
	closures := rapid.SliceOf(rapid.Map(rapid.Int32Range(start, start+90), func(n int32) Date { return Date(n) }))
	shop, err := NewShopDays(days.Draw(t, "week"), closures.Draw(t, "closures"))
	if err != nil {
		t.Fatal(err)
	}
	return shop
}

func TestShopDaysLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		shop := anyShop(t)
		from := NewDate(2026, time.January, 1) + Date(rapid.Int32Range(-30, 120).Draw(t, "from"))
		n := rapid.IntRange(1, 40).Draw(t, "n")
		to := shop.AddWorkdays(from, n)
		worked := 0
		for d := from + 1; d <= to; d++ {
			if shop.IsWorkday(d) {
				worked++
			}
		}
		if worked != n || !shop.IsWorkday(to) {
			t.Errorf("%s and %d workdays is %s, which is %d workdays on", from, n, to, worked)
		}
		if back := shop.AddWorkdays(to, -n); shop.IsWorkday(from) && back != from {
			t.Errorf("%s, %d workdays on and back, is %s", from, n, back)
		}
		m := rapid.IntRange(1, 40).Draw(t, "m")
		if twice, once := shop.AddWorkdays(to, m), shop.AddWorkdays(from, n+m); twice != once {
			t.Errorf("%d and then %d workdays end on %s, all at once on %s", n, m, twice, once)
		}
		first := shop.NextWorkday(from - 1)
		if shop.IsWorkday(from) && first != from || first < from {
			t.Errorf("the first workday from %s on is %s", from, first)
		}
	})
}
