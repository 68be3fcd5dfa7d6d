package workshop_test

import (
	"fmt"
	"strings"
	"testing"

	"windingroom/internal/batch"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
	"windingroom/internal/workshop"
)

func (l *lead) sheets() batch.Day {
	l.t.Helper()
	day, err := l.DaySheets(l.ctx, l.day)
	if err != nil {
		l.t.Fatal(err)
	}
	return day
}

// Sheets that are printed again in the evening still say what was on each spool before and after each batch.
func TestSheetsAfterTheDaysResults(t *testing.T) {
	l := newLead(t)
	l.propose()
	l.release()
	type key struct {
		batch batch.Code
		spool stock.SpoolCode
	}
	before := map[key]measure.Mass{}
	morning := l.sheets()
	for _, s := range morning.Sheets {
		for _, d := range s.Spools {
			before[key{s.Code, d.Spool}] = d.Before
		}
	}
	for _, s := range morning.Sheets {
		if _, err := l.PostResult(l.ctx, workshop.ResultForm{Batch: s.Code, Good: s.ToWind, Person: "Ada"}); err != nil {
			t.Fatal(err)
		}
	}
	for _, s := range l.sheets().Sheets {
		for _, d := range s.Spools {
			if want := before[key{s.Code, d.Spool}]; d.Before != want || d.After != want-d.Mass || d.After < 0 {
				t.Errorf("%s, spool %s: %s before and %s after, in the morning %s", s.Code, d.Spool, d.Before, d.After, want)
			}
		}
	}
	l.sound()
}

// A sheet that would wind for nobody says so, and is a new version.
func TestSheetsOfACancelledOrder(t *testing.T) {
	l := newLead(t)
	l.propose()
	l.release()
	first := l.sheets().Sheets[0]
	gone := first.For[0].Order
	if _, err := l.CancelOrder(l.ctx, gone, "the customer changed their mind"); err != nil {
		t.Fatal(err)
	}
	for _, s := range l.sheets().Sheets {
		serves := false
		for _, f := range s.For {
			serves = serves || f.Order == gone
		}
		warned := strings.Contains(fmt.Sprint(s.Cautions), "cancelled")
		if serves != warned || serves != (s.Version > 1) {
			t.Errorf("%s serves the cancelled order: %v; version %d, cautions %q", s.Code, serves, s.Version, s.Cautions)
		}
	}
}
