package workshop_test

import (
	"strings"
	"testing"

	"windingroom/internal/order"
	"windingroom/internal/workshop"
)

// One look at the days ahead says which orders slip, to which day, and why; the night keeps it.
func TestOrdersThatSlip(t *testing.T) {
	w := newWinders(t)
	w.add("FITS", 4, 0, w.day)
	w.add("SLOW", 0, 10, w.day) // done today
	w.add("LATE", 1, 0, w.day-1)
	w.add("PUT-OFF", 1, 0, w.day-1) // promised for today when it was confirmed
	if err := w.Store.InTx(w.as(workshop.Owner), func(tx workshop.Tx) error { return tx.SetPromised("LATE", 0) }); err != nil {
		t.Fatal(err)
	}
	w.add("SHORT", 4000, 0, w.day+3)
	w.add("FAR", 4000, 0, w.day+60) // nobody looks so far
	slips, err := w.Slips(w.as(workshop.Winder))
	if err != nil {
		t.Fatal(err)
	}
	got := map[order.Code]workshop.Slip{}
	for _, s := range slips {
		got[s.Order] = s
	}
	if len(got) != 2 || got["LATE"].On != w.day || !got["SHORT"].On.IsZero() || got["SHORT"].HeldTo != w.day+3 || !strings.Contains(got["SHORT"].String(), "MW-10") {
		t.Errorf("slipping: %v", slips)
	}
	n, err := w.RunNight(w.as(workshop.Lead), w.day)
	if err != nil || len(n.Slips) != 2 {
		t.Fatalf("the night says %v, %v", n.Slips, err)
	}
	if kept, err := w.Reorder(w.as(workshop.Lead)); err != nil || len(kept.Slips) != 2 || kept.Slips[0] != n.Slips[0] {
		t.Errorf("the night kept %v, %v", kept.Slips, err)
	}
}
