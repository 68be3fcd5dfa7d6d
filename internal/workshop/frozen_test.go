package workshop_test

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"windingroom/internal/costing"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// booksOf gives the sheets Order cost and Variance of a month, which ties out.
func booksOf(t *testing.T, l *lead, month costing.Period) (orders []workshop.OrderCost, variances []costing.Variance, journal []costing.JournalLine) {
	t.Helper()
	err := l.Books(testkit.As(t.Context(), workshop.Bookkeeper), month, month, func(b *workshop.Books) error {
		orders, variances, journal = b.Orders, b.Variances, b.Journal
		return b.Reconciled()
	})
	if err != nil {
		t.Fatal(err)
	}
	return orders, variances, journal
}

// A closed month keeps its standards and methods: whatever becomes of recipes, prices, the rate of labour and alloys, its sheets are the same, and
// verify finds it as it was closed. An open month follows them.
func TestAClosedMonthKeepsItsStandards(t *testing.T) {
	l := newLead(t)
	l.propose()
	l.windAll(l.release())
	march := costing.PeriodOf(l.day)
	l.now = (march + 1).First().Time().Add(8 * time.Hour)
	owner := testkit.As(t.Context(), workshop.Owner)
	if _, err := l.SetCostMethod(owner, costing.Method{Family: "music-wire", Formula: costing.FIFO, From: march}, "x"); err != nil {
		t.Fatal(err)
	}
	change := func() {
		t.Helper()
		err := l.Store.InTx(t.Context(), func(tx workshop.Tx) error {
			practice, err := tx.Practice()
			if err != nil {
				return err
			}
			recipes, err := tx.Recipes()
			if err != nil {
				return err
			}
			wires, err := tx.Wires()
			if err != nil {
				return err
			}
			practice.LabourPerHour += 1234
			practice.Head += 3 * measure.Millimetre
			for i := range recipes {
				recipes[i].Yield, recipes[i].MinutesEach = recipes[i].Yield*0.9, recipes[i].MinutesEach+time.Minute
			}
			for i := range wires {
				if wires[i].PricePerKg += 999; wires[i].Alloy == "music-wire" {
					wires[i].Alloy = "steel-of-the-shop"
				}
			}
			own := material.BuiltIn()[slices.IndexFunc(material.BuiltIn(), func(a material.Alloy) bool { return a.Code == "music-wire" })]
			own.Code = "steel-of-the-shop"
			return errors.Join(tx.SaveAlloys([]material.Alloy{own}), tx.SavePractice(practice), tx.SaveWires(wires), tx.SaveRecipes(recipes))
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	open, _, _ := booksOf(t, l, march)
	l.closeAll(march)
	orders, variances, journal := booksOf(t, l, march)
	if !slices.Equal(orders, open) || len(orders) == 0 || len(variances) == 0 {
		t.Errorf("%d rows open, %d closed, %d variances", len(open), len(orders), len(variances))
	}
	change()
	l.sound()
	laterOrders, laterVariances, laterJournal := booksOf(t, l, march)
	if !slices.Equal(orders, laterOrders) || !slices.Equal(variances, laterVariances) || !slices.Equal(journal, laterJournal) {
		t.Error("the sheets of the closed month follow what became of recipes and prices")
	}
	closed, err := l.Months(owner)
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(closed, func(m workshop.Month) bool { return m.Month == march })
	hash := closed[i].Closed.Hash

	// Reopened, it follows them, and closes with another hash.
	if err := l.ReopenMonth(owner, march, "the rate of labour was wrong"); err != nil {
		t.Fatal(err)
	}
	if now, _, _ := booksOf(t, l, march); slices.Equal(now, orders) {
		t.Error("the open month does not follow the recipes")
	}
	again, err := l.CloseMonth(owner, march)
	if err != nil || again.Hash == hash {
		t.Errorf("closed again with %s after %s, %v", again.Hash, hash, err)
	}
	l.sound()
}

// What a weighing finds missing of strings made in an earlier month is variance of that usage, and no scrap.
func TestADifferenceThatComesLater(t *testing.T) {
	l := newLead(t)
	l.BooksSetup.Accounts = costing.Accounts{UsageVariance: "usage", AbnormalScrap: "abnormal", Difference: "difference"}
	l.propose()
	day := l.release()
	_, d := drawing(t, day)
	l.windAll(day)
	march := costing.PeriodOf(l.day)
	l.now = (march + 1).First().Time().Add(8 * time.Hour)
	l.closeAll(march)
	spool := l.on(d.Spool)
	if _, err := l.Weigh(l.ctx, workshop.Weigh{Spool: d.Spool, Gross: spool.Tare + spool.Mass - 8*measure.Gram, Confirmed: true}); err != nil {
		t.Fatal(err)
	}
	orders, variances, journal := booksOf(t, l, march+1)
	var usage, abnormal, earlier, varied int64
	for _, line := range journal {
		switch line.Account {
		case "usage":
			usage += int64(line.Debit - line.Credit)
		case "abnormal":
			abnormal += int64(line.Debit - line.Credit)
		}
	}
	for _, o := range orders {
		if !o.Earlier {
			t.Errorf("%+v in a month in which nothing was wound", o)
		}
		earlier += int64(o.Total())
	}
	for _, v := range variances {
		varied += int64(v.Amount)
	}
	if usage <= 0 || abnormal != 0 || earlier != usage || varied != usage {
		t.Errorf("usage %d, scrap %d; rows of %d, variances of %d", usage, abnormal, earlier, varied)
	}
}

// A result without wire belongs to the month it was wound in, too.
func TestNoTimeInAClosedMonth(t *testing.T) {
	l := newLead(t)
	l.propose()
	day := l.release()
	b := of(day)[0]
	bare := workshop.ResultForm{Batch: b.Code, Minutes: time.Hour, Person: "Ada", Continues: true}
	if _, err := l.PostResult(l.ctx, bare); err != nil {
		t.Fatal(err)
	}
	l.windAll(day)
	march := costing.PeriodOf(l.day)
	l.now = (march + 1).First().Time().Add(8 * time.Hour)
	l.closeAll(march)
	if _, err := l.UndoResult(l.ctx, b.Code, 0, "x"); err != nil { // the last, with wire, in the open month
		t.Fatal(err)
	}
	if _, err := l.UndoResult(l.ctx, b.Code, 0, "x"); !errors.Is(err, workshop.ErrClosed) {
		t.Errorf("an hour of a closed month was undone: %v", err)
	}
	bare.Minutes, bare.WoundOn = time.Minute, l.day
	if _, err := l.PostResult(l.ctx, bare); !errors.Is(err, workshop.ErrClosed) || !strings.Contains(err.Error(), "closed up to 2026-03") {
		t.Errorf("a minute was posted into a closed month: %v", err)
	}
	l.sound()
	checkBooks(t, l, march, march+1)
}
