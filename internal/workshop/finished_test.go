package workshop_test

import (
	"errors"
	"slices"
	"testing"
	"testing/fstest"

	"windingroom/internal/batch"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// surplusOf winds strings beyond those of an order for two, and gives their batch.
func (w *winders) surplusOf(n int) batch.Batch {
	w.t.Helper()
	w.add("O-1", 0, 2, w.day+1)
	b := w.release(w.day)["W-42.5"]
	w.post(workshop.ResultForm{Batch: b.Code, Good: 2 + n})
	return b
}

func (w *winders) finished() int {
	w.t.Helper()
	list, err := w.FinishedStock(w.as(workshop.Winder))
	if err != nil {
		w.t.Fatal(err)
	}
	n := 0
	for _, f := range list {
		n += f.Strings
	}
	return n
}

// good gives how many strings of an order exist.
func (w *winders) good(code order.Code) int {
	w.t.Helper()
	n := 0
	for _, g := range w.story(code).Good {
		n += g.Strings
	}
	return n
}

func (w *winders) confirm(code order.Code) {
	w.t.Helper()
	if _, err := w.ConfirmOrder(w.as(workshop.Lead), code); err != nil {
		w.t.Fatal(err)
	}
	w.sound()
}

func TestSurplusServesALaterOrderWithoutWinding(t *testing.T) {
	w := newWinders(t)
	b := w.surplusOf(3)
	if _, err := w.AddOrder(w.as(workshop.Lead), testkit.ScarceOrder("O-2", 0, 3, w.day+5), false); err != nil {
		t.Fatal(err)
	}
	if w.finished() != 3 || w.good("O-2") != 0 {
		t.Fatalf("a draft was given %d strings, %d are in stock", w.good("O-2"), w.finished())
	}
	w.confirm("O-2")
	story := w.story("O-2")
	if story.Order.Status != order.Wound || w.good("O-2") != 3 || len(story.Open) > 0 || w.finished() != 0 {
		t.Fatalf("got %+v, %d strings in stock", story, w.finished())
	}
	trace, err := w.TraceOrder(w.as(workshop.Bookkeeper), "O-2")
	if err != nil || len(trace.Strings) != 2 {
		t.Fatalf("traced to %+v, %v; want core and wrap", trace.Strings, err)
	}
	for _, s := range trace.Strings {
		if s.Batch != b.Code || s.Result != 1 || s.Strings != 3 || s.Spool == "" || s.Lot == "" {
			t.Errorf("traced to %+v", s)
		}
	}
	lot, err := w.TraceLot(w.as(workshop.Bookkeeper), trace.Strings[1].Lot)
	if orders := lot.Orders(); err != nil || len(orders) != 2 || orders[1].Order != "O-2" || orders[1].Strings != 3 {
		t.Errorf("orders of the lot: %+v, %v", orders, err)
	}
	if _, err := w.ShipOrder(w.as(workshop.Lead), "O-2", ""); err != nil {
		t.Error(err)
	}
	w.sound()
}

// Two orders came in before there was a surplus. The proposal gives it to the one due first, and winds for the rest only.
func TestSurplusIsGivenInDueOrder(t *testing.T) {
	w := newWinders(t)
	w.add("O-1", 0, 2, w.day+1)
	b := w.release(w.day)["W-42.5"]
	w.add("O-late", 0, 2, w.day+8)
	w.add("O-soon", 0, 2, w.day+2)
	held := w.story("O-soon").Wires[0].Mass
	w.post(workshop.ResultForm{Batch: b.Code, Good: 5})
	if w.finished() != 3 || held == 0 {
		t.Fatalf("%d strings are in stock, O-soon holds %s", w.finished(), held)
	}
	plan := w.release(w.day + 1)["W-42.5"]
	w.sound()
	if w.story("O-soon").Order.Status != order.Wound || w.good("O-late") != 1 || w.finished() != 0 {
		t.Errorf("O-soon is %s, O-late has %d strings, %d are in stock", w.story("O-soon").Order.Status, w.good("O-late"), w.finished())
	}
	if want := []batch.Serve{{Order: "O-late", Line: 2, Position: 1, Strings: 1}}; !slices.Equal(plan.Serves, want) {
		t.Errorf("the batch serves %v, want %v", plan.Serves, want)
	}
}

// A string that was given takes the wire off the order that it waited for.
func TestGivenStringsFreeTheirWire(t *testing.T) {
	w := newWinders(t)
	w.surplusOf(1)
	needed := func(code order.Code) (sum measure.Mass) {
		for _, wire := range w.story(code).Wires {
			if wire.Promise.Mass != wire.Needed {
				t.Errorf("order %s holds %s of %s", code, wire.Promise.Mass, wire.Needed)
			}
			sum += wire.Needed
		}
		return sum
	}
	w.add("O-2", 0, 3, w.day+5) // gets one
	w.add("O-3", 0, 2, w.day+5)
	if a, b := needed("O-2"), needed("O-3"); a != b || a == 0 {
		t.Errorf("with one of three given an order needs %s, another needs %s for two", a, b)
	}
	w.sound()
}

func TestCancellingGivesFinishedStringsBack(t *testing.T) {
	w := newWinders(t)
	w.surplusOf(1)
	lead := w.as(workshop.Lead)
	if _, err := w.CancelOrder(lead, "O-1", "the customer says so"); err != nil {
		t.Fatal(err)
	}
	if w.finished() != 3 {
		t.Fatalf("%d strings are in stock, want those of the cancelled order too", w.finished())
	}
	for _, code := range []order.Code{"O-2", "O-3"} { // the second gets what the first gave back
		w.add(code, 0, 3, w.day+5)
		if w.good(code) != 3 || w.finished() != 0 || w.good("O-1") != 0 {
			t.Fatalf("%s has %d strings, O-1 %d, %d are in stock", code, w.good(code), w.good("O-1"), w.finished())
		}
		if _, err := w.CancelOrder(lead, code, "the customer says so"); err != nil {
			t.Fatal(err)
		}
		w.sound()
		if w.good(code) != 0 || w.finished() != 3 {
			t.Fatalf("cancelled, %s has %d strings and %d are in stock", code, w.good(code), w.finished())
		}
	}
	if trace, err := w.TraceOrder(lead, "O-2"); err != nil || len(trace.Strings) != 0 {
		t.Errorf("a cancelled order is traced to %+v, %v", trace.Strings, err)
	}
}

func TestUndoTakesGivenStringsBack(t *testing.T) {
	w := newWinders(t)
	b := w.surplusOf(3)
	w.add("O-2", 0, 3, w.day+5)
	if w.story("O-2").Order.Status != order.Wound {
		t.Fatalf("O-2 is %s", w.story("O-2").Order.Status)
	}
	if _, err := w.UndoResult(w.as(workshop.Winder), b.Code, 0, "counted wrongly"); err != nil {
		t.Fatal(err)
	}
	w.sound()
	if story := w.story("O-2"); story.Order.Status != order.Confirmed || len(story.Open) != 1 || story.Open[0].Strings != 3 || story.Wires[0].Promise.Mass == 0 {
		t.Errorf("after undoing: %+v", story)
	}
	w.post(workshop.ResultForm{Batch: b.Code, Good: 5})
	if _, err := w.ProposeDay(w.as(workshop.Lead), w.day+1); err != nil {
		t.Fatal(err)
	}
	if _, err := w.PackOrder(w.as(workshop.Lead), "O-2", ""); err != nil {
		t.Fatal(err)
	}
	if _, err := w.UndoResult(w.as(workshop.Winder), b.Code, 0, "counted wrongly"); !errors.Is(err, workshop.ErrStage) {
		t.Errorf("undone although O-2 is packed: %v", err)
	}
	w.sound()
}

// Orders that are imported arrive confirmed: they get what finished stock has at once.
func TestImportedOrdersGetFinishedStrings(t *testing.T) {
	w := newWinders(t)
	w.surplusOf(3)
	orders := fstest.MapFS{"orders.csv": {Data: []byte(`order,line,ordered_on,due_on,customer,set,quantity,position,recipe,scale_in,pitch
O-7,1,2026-03-01,2026-03-09,Ada Quill,,2,1,W-42.5,25,E4
O-8,1,2026-03-01,2026-03-08,Ada Quill,,2,1,W-42.5,25,E4
`)}}
	for range 2 { // the second time nothing changes
		if _, err := w.Import(w.as(workshop.Owner), orders, false); err != nil {
			t.Fatal(err)
		}
		w.sound()
		if s := w.story("O-8").Order.Status; s != order.Wound || w.good("O-7") != 1 || w.finished() != 0 {
			t.Errorf("O-8 is %s, O-7 has %d strings, %d are in stock", s, w.good("O-7"), w.finished())
		}
	}
}

// An order that has some strings of finished stock, and no batch that winds the others, is not planned.
func TestTakenBackBesideGivenStrings(t *testing.T) {
	w := newWinders(t)
	w.surplusOf(1)
	w.add("O-2", 0, 3, w.day+5)
	b := w.release(w.day + 1)["W-42.5"]
	if s := w.story("O-2").Order.Status; s != order.Planned || b.Ordered != 2 {
		t.Fatalf("O-2 is %s, %d are ordered of its batch", s, b.Ordered)
	}
	if _, err := w.TakeBack(w.as(workshop.Lead), b.Code, "the core is late"); err != nil {
		t.Fatal(err)
	}
	if s := w.story("O-2").Order.Status; s != order.Confirmed || w.good("O-2") != 1 {
		t.Errorf("O-2 is %s with %d strings", s, w.good("O-2"))
	}
	w.sound()
}
