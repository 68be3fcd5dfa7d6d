package batch

import (
	"testing"

	"windingroom/internal/calendar"
)

func TestNumberOn(t *testing.T) {
	day, err := calendar.ParseDate("2026-03-02")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		code           Code
		number, digits int
	}{
		{CodeOf(day, 7, 2), 7, 2}, {CodeOf(day, 7, 3), 7, 3}, {CodeOf(day, 1234, 2), 1234, 4}, {"B260302-0", 0, 1},
		{CodeOf(day+1, 7, 2), 0, 0}, {"B260302-7a", 0, 0}, {"B260302--7", 0, 0}, {"B260302-", 0, 0}, {"B1", 0, 0}, {"B260302-99999999999999999999", 0, 0},
	} {
		if n, digits := c.code.NumberOn(day); n != c.number || digits != c.digits {
			t.Errorf("%s: number %d of %d digits, want %d of %d", c.code, n, digits, c.number, c.digits)
		}
	}
	if got := CodeOf(day, 7, 2); got != "B260302-07" {
		t.Errorf("the seventh is %s", got)
	}
}
