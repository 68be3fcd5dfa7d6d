package workshop_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"windingroom/internal/costing"
	"windingroom/internal/intake"
	"windingroom/internal/material"
	"windingroom/internal/money"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// lateCost receives a purchase of 250 g at 16.50, of which 100 g go before its invoice asks for 20.00.
func lateCost(t *testing.T, l *lead) {
	t.Helper()
	made, err := l.AddPurchase(l.ctx, workshop.PurchaseForm{Supplier: "ashdell", Lines: []workshop.PurchaseFormLine{{Wire: "MW-R-9.5", Packs: 1}}})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := l.SendPurchase(l.ctx, made.Code, agreed); err != nil {
		t.Fatal(err)
	}
	spool := intake.SpoolText{Spool: "S900", Wire: "MW-R-9.5", Lot: "AS-9", Gross: "450", Tare: "200", Cost: "16.50"}
	if _, err := l.ReceivePurchase(l.ctx, made.Code, intake.SeveralSpools([]intake.SpoolText{spool}), intake.Invoice{}, "", true); err != nil {
		t.Fatal(err)
	}
	if _, err := l.Weigh(l.ctx, workshop.Weigh{Spool: "S900", Gross: 350_000, Confirmed: true}); err != nil {
		t.Fatal(err)
	}
	keeper := testkit.As(t.Context(), workshop.Bookkeeper)
	if _, err := l.InvoicePurchase(keeper, workshop.NewInvoice{Purchase: made.Code, Number: "R-1", Amount: "20.00", On: l.day, Confirmed: true}); err != nil {
		t.Fatal(err)
	}
}

// Every figure by a formula is what its explanation sums to: each wire, month and column, by the books' methods as they change, and each
// formula's closing; a FIFO value is the sum of its layers.
func TestEveryValueIsExplained(t *testing.T) {
	l := newLead(t)
	l.propose()
	l.windAll(l.release())
	lateCost(t, l)
	march := costing.PeriodOf(l.day)
	keeper := testkit.As(t.Context(), workshop.Bookkeeper)
	for _, m := range []costing.Method{{Family: "music-wire", Formula: costing.MovingAverage, From: march}, {Family: "music-wire", Formula: costing.FIFO, From: march + 1}, {Formula: costing.FIFO, From: march}} {
		if _, err := l.SetCostMethod(keeper, m, "x"); err != nil {
			t.Fatal(err)
		}
	}
	l.now = (march + 1).First().Time().Add(8 * time.Hour)
	revalued, late := 0, 0
	for month := march - 1; month <= march+1; month++ {
		b := l.books(month)
		for i, line := range b.ByMethod.Lines {
			if i%5 > 0 && line.Wire != "MW-R-9.5" { // some will do
				continue
			}
			for column, want := range map[string]costing.Quantity{"opening": line.Opening, "received": line.Received, "drawn": line.Drawn, "scrap": line.Scrap,
				"difference": line.Difference, "closing": line.Closing, "revalued": line.Revalued, "late": {Cost: -line.Used}} {
				e := l.value(month, line.Wire, column, "")
				if e.Total != want {
					t.Errorf("%s %s %s by %s: %v explained, %v in the books", month, line.Wire, column, e.Formula, e.Total, want)
				}
				if column == "revalued" && e.Changed != 0 {
					revalued++
				}
				if column == "late" && want.Cost != 0 {
					late++
				}
			}
		}
		for i, v := range b.Valuations {
			if i%5 > 0 && v.Wire != "MW-R-9.5" {
				continue
			}
			for _, f := range costing.Formulas() {
				e := l.value(month, v.Wire, "closing", f)
				if e.Total != (costing.Quantity{Mass: v.Mass, Cost: v.Value.Of(f)}) || e.Lines[len(e.Lines)-1].After != e.Total {
					t.Errorf("%s %s by %s: %v explained, last after %v, want %v", month, v.Wire, f, e.Total, e.Lines[len(e.Lines)-1].After, v)
				}
				var sum money.Minor
				for _, layer := range e.Layers {
					sum += layer.Value
				}
				if f == costing.FIFO && sum != e.Total.Cost {
					t.Errorf("%s %s: layers of %d make %d", month, v.Wire, sum, e.Total.Cost)
				}
			}
		}
	}
	if revalued == 0 || late == 0 {
		t.Errorf("%d wires revalued and %d with late cost: the test compares nothing there", revalued, late)
	}
}

func TestLateCostIsExplained(t *testing.T) {
	l := newLead(t)
	lateCost(t, l)
	march := costing.PeriodOf(l.day)
	e, err := l.Explain(l.ctx, march, "MW-R-9.5", "late")
	if err != nil || len(e.Lines) != 1 || e.Total.Cost != -140 || e.Total.Mass != 0 {
		t.Errorf("%+v, %v, want one line of -1.40: 100 g of 250 g bear 3.50", e, err)
	}
}

func TestValuesThatCannotBeExplained(t *testing.T) {
	l := newLead(t)
	march := costing.PeriodOf(l.day)
	if _, err := l.ExplainValue(testkit.As(t.Context(), workshop.Winder), march, "MW-R-9.5", "closing", ""); !errors.Is(err, workshop.ErrForbidden) {
		t.Errorf("a winder is told what wire costs: %v", err)
	}
	for _, of := range []struct{ wire, column, formula, names string }{{"none", "closing", "fifo", "no wire"}, {"MW-R-9.5", "worth", "fifo", "opening"}, {"MW-R-9.5", "closing", "lifo", "moving average"}} {
		if _, err := l.ExplainValue(l.ctx, march, material.WireCode(of.wire), of.column, costing.Formula(of.formula)); err == nil || !strings.Contains(err.Error(), of.names) {
			t.Errorf("%v: %v", of, err)
		}
	}
}

func (l *lead) books(month costing.Period) (books workshop.Books) {
	l.t.Helper()
	err := l.Books(testkit.As(l.t.Context(), workshop.Bookkeeper), month, month, func(b *workshop.Books) error {
		books = *b
		return b.Reconciled()
	})
	if err != nil {
		l.t.Fatal(err)
	}
	return books
}

func (l *lead) value(month costing.Period, wire material.WireCode, column string, f costing.Formula) workshop.ExplainedValue {
	l.t.Helper()
	e, err := l.ExplainValue(l.ctx, month, wire, column, f)
	if err != nil {
		l.t.Fatal(err)
	}
	return e
}
