package workshop_test

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/costing"
	"windingroom/internal/measure"
	"windingroom/internal/stock"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// windAll posts a result of every batch of the day, some strings scrapped.
func (l *lead) windAll(day workshop.DayPlan) {
	l.t.Helper()
	for i, b := range of(day) {
		form := workshop.ResultForm{Batch: b.Code, Good: b.ToWind - i%2, Scrapped: i % 2, Minutes: b.Setup + b.Run, Person: "Ada"}
		if _, err := l.PostResult(l.ctx, form); err != nil {
			l.t.Fatal(err)
		}
	}
}

// closeAll closes every month up to one, in order.
func (l *lead) closeAll(until costing.Period) {
	l.t.Helper()
	ctx := testkit.As(l.t.Context(), workshop.Bookkeeper)
	months, err := l.Months(ctx)
	if err != nil {
		l.t.Fatal(err)
	}
	for _, m := range slices.Backward(months) {
		if m.Month <= until {
			if _, err := l.CloseMonth(ctx, m.Month); err != nil {
				l.t.Fatal(err)
			}
		}
	}
}

// What turns out wrong in a closed month is corrected in the open one, by movements that name what they correct; a spool goes on holding
// what a scale said, and the closed month stays as it was.
func TestUndoInAClosedMonth(t *testing.T) {
	l := newLead(t)
	l.propose()
	day := l.release()
	b, d := drawing(t, day)
	before := l.on(d.Spool)
	l.windAll(day)
	gross := before.Tare + before.Mass - d.Mass - 100*measure.Milligram
	if _, err := l.Weigh(l.ctx, workshop.Weigh{Spool: d.Spool, Gross: gross, Confirmed: true}); err != nil {
		t.Fatal(err)
	}
	march := costing.PeriodOf(l.day)
	if _, err := l.CloseMonth(testkit.As(t.Context(), workshop.Owner), march); !errors.Is(err, workshop.ErrNotClosable) {
		t.Fatalf("closed before it was over: %v", err)
	}
	l.now = (march + 1).First().Time().Add(8 * time.Hour)
	l.closeAll(march)
	l.sound()
	drawn := explained(t, l, march, d, "drawn")

	if _, err := l.UndoResult(l.ctx, b.Code, 1, "posted on the wrong batch"); err != nil {
		t.Fatal(err)
	}
	l.sound()
	if got := l.on(d.Spool).Mass; got != gross-before.Tare {
		t.Errorf("the spool holds %s, and %s was weighed", got, gross-before.Tare)
	}
	if again := explained(t, l, march, d, "drawn"); again.Total != drawn.Total {
		t.Errorf("the closed month drew %v, and then %v", drawn.Total, again.Total)
	}
	april := explained(t, l, march+1, d, "drawn")
	back := april.Lines
	if april.Total.Mass != -d.Mass || len(back) != 1 || back[0].Kind != stock.Reversal || back[0].Batch != b.Code || back[0].WoundBy != "Ada" ||
		!slices.ContainsFunc(drawn.Lines, func(m workshop.ExplainedLine) bool { return m.ID == back[0].Reverses }) {
		t.Errorf("the open month: %+v", april)
	}
	late := workshop.ResultForm{Batch: b.Code, Good: b.ToWind, Person: "Ada"} // on the batch's own day
	if _, err := l.PostResult(l.ctx, late); !errors.Is(err, workshop.ErrClosed) || !strings.Contains(err.Error(), "closed up to 2026-03") {
		t.Errorf("a result of a closed month: %v", err)
	}
	late.WoundOn = (march + 1).First()
	if _, err := l.PostResult(l.ctx, late); err != nil {
		t.Errorf("the same in the open month: %v", err)
	}
	l.sound()
	checkBooks(t, l, march, march+1)
}

// explained gives the movements behind a figure of the wire of a draw.
func explained(t *testing.T, l *lead, month costing.Period, d batch.Draw, column string) workshop.Explained {
	t.Helper()
	e, err := l.Explain(l.ctx, month, d.Wire, column)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// The books of each month of a year, and of the year, tie out, by every formula and after every change of method.
func TestAYearTiesOut(t *testing.T) {
	l := newLead(t)
	l.propose()
	l.windAll(l.release())
	l.now = l.day.Time().AddDate(0, 1, 20)
	ctx := testkit.As(t.Context(), workshop.Owner)
	april := costing.PeriodOf(l.day) + 1
	for family, f := range map[string]costing.Formula{"music-wire": costing.FIFO, "": costing.MovingAverage} {
		if _, err := l.SetCostMethod(ctx, costing.Method{Family: family, Formula: f, From: april - 1}, "the auditor asks"); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := l.SetCostMethod(ctx, costing.Method{Family: "", Formula: costing.Specific, From: april}, "and asks again"); err != nil {
		t.Fatal(err)
	}
	first := costing.NewPeriod(2025, time.September)
	for m := first; m <= april; m++ {
		checkBooks(t, l, m, m)
	}
	checkBooks(t, l, first, april+20) // it ends with the present month
	l.closeAll(april - 1)
	checkBooks(t, l, first, april)
	if err := l.Books(l.ctx, first, april, func(*workshop.Books) error { return nil }); !errors.Is(err, workshop.ErrForbidden) {
		t.Errorf("a lead wrote the books: %v", err)
	}
}

// checkBooks wants every check to find no difference, and the movements to sum to what the roll-forward says.
func checkBooks(t *testing.T, l *lead, from, to costing.Period) {
	t.Helper()
	err := l.Books(testkit.As(t.Context(), workshop.Bookkeeper), from, to, func(b *workshop.Books) error {
		if len(b.Checks) < 18 {
			t.Errorf("%s: %d checks", b.Name(), len(b.Checks))
		}
		for _, c := range b.Checks {
			if c.Difference() != 0 {
				t.Errorf("%s: %s: %d off", b.Name(), c.What, c.Difference())
			}
		}
		total := b.Roll.Total()
		mass, cost := total.Opening.Mass, total.Opening.Cost
		err := b.Movements(func(m workshop.LedgerLine) error {
			mass, cost = mass+m.Mass, cost+m.Cost
			return nil
		})
		if mass != total.Closing.Mass || cost != total.Closing.Cost {
			t.Errorf("%s: movements lead to %s and %d, the closing is %s and %d", b.Name(), mass, cost, total.Closing.Mass, total.Closing.Cost)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
}
