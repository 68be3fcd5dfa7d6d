package workshop_test

import (
	"errors"
	"testing"

	"windingroom/internal/intake"
	"windingroom/internal/measure"
	"windingroom/internal/workshop"
)

func TestTraceBothWays(t *testing.T) {
	w := newWinders(t)
	w.add("O-1", 0, 2, w.day+1)
	b := w.release(w.day)["W-42.5"]
	w.post(workshop.ResultForm{Batch: b.Code, Good: 3, Scrapped: 1, Spools: []intake.SpoolStrings{{Spool: "S-5", Strings: 1}, {Spool: "S-6", Strings: 3}}})
	owner := w.as(workshop.Bookkeeper)
	o, err := w.TraceOrder(owner, "o-1")
	if err != nil || len(o.Strings) != 3 { // core, and wrap from two spools
		t.Fatalf("got %+v, %v", o, err)
	}
	lot, err := w.TraceLot(owner, "l5")
	if err != nil || len(lot.Spools) != 2 || len(lot.Batches) != 1 {
		t.Fatalf("got %+v, %v", lot, err)
	}
	orders := lot.Orders()
	if len(orders) != 2 || orders[0].Order != "" || orders[0].Strings != 1 || orders[1].Order != "O-1" || orders[1].Strings != 2 {
		t.Errorf("orders of the lot: %+v; want one string in stock and two of O-1, though either may be from two spools", orders)
	}
	var drawn measure.Mass
	for _, s := range lot.Spools {
		drawn += s.Drawn
	}
	if drawn != lot.Batches[0].Drawn || drawn == 0 {
		t.Errorf("the spools gave %s, the batch drew %s", drawn, lot.Batches[0].Drawn)
	}
	if _, err := w.TraceLot(owner, "none"); !errors.Is(err, workshop.ErrNotFound) {
		t.Errorf("of no lot: %v", err)
	}
}
