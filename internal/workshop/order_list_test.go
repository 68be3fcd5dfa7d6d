package workshop_test

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"windingroom/internal/intake"
	"windingroom/internal/order"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// standing gives how an order of the list stands.
func (w *winders) standing(code order.Code, states ...order.Status) workshop.OrderStand {
	w.t.Helper()
	list, err := w.Orders(w.as(workshop.Winder), states...)
	if err != nil {
		w.t.Fatal(err)
	}
	i := slices.IndexFunc(list, func(o workshop.OrderStand) bool { return o.Order.Code == code })
	if i < 0 {
		w.t.Fatalf("%s is not among %d orders", code, len(list))
	}
	return list[i]
}

func TestOrdersSayWhichAreAtRisk(t *testing.T) {
	w := newWinders(t)
	w.add("FITS", 10, 0, w.day)
	w.add("SHORT", 40, 0, w.day+1)
	w.add("LATE", 1, 0, w.day-1)
	w.add("SLOW", 0, 50, w.day+1) // 75 minutes on the one machine that winds wraps
	w.add("TOO-SLOW", 0, 80, w.day+1)
	if _, err := w.AddOrder(w.as(workshop.Lead), testkit.ScarceOrder("DRAFT", 900, 0, w.day), false); err != nil {
		t.Fatal(err)
	}
	for code, want := range map[order.Code]workshop.OrderStand{"FITS": {Left: 10}, "SHORT": {Left: 40}, "LATE": {Left: 1, Late: true}, "SLOW": {Left: 50}, "TOO-SLOW": {Left: 80, NoTime: true}, "DRAFT": {}} {
		got := w.standing(code)
		if got.Left != want.Left || got.Late != want.Late || got.NoTime != want.NoTime {
			t.Errorf("%s: %d strings left, late %v, no time %v; want %d, %v, %v", code, got.Left, got.Late, got.NoTime, want.Left, want.Late, want.NoTime)
		}
		if code == "SLOW" { // the wire does not reach to it
			continue
		}
		if risk := code == "SHORT" || code == "LATE" || code == "TOO-SLOW"; got.AtRisk() != risk {
			t.Errorf("%s at risk: %v, want %v (%v)", code, got.AtRisk(), risk, got.Short)
		}
	}
	if got := w.standing("SHORT", order.Confirmed, order.Planned); !slices.Equal(page(got.Short), []string{"MW-10"}) || len(got.Waits) > 0 {
		t.Errorf("SHORT is short of %v, waits for %v", got.Short, got.Waits)
	}
	if list, err := w.Orders(w.as(workshop.Winder), order.Draft); err != nil || len(list) != 1 || list[0].AtRisk() {
		t.Errorf("drafts: %+v, %v", list, err)
	}
	if _, err := w.Orders(t.Context()); !errors.Is(err, workshop.ErrUnknownPerson) {
		t.Errorf("to nobody: %v", err)
	}
}

func page[C ~string](codes []C) (texts []string) {
	for _, c := range codes {
		texts = append(texts, string(c))
	}
	return texts
}

// Wire that comes before an order is due makes it wait; wire that comes later leaves it at risk.
func TestWireOnItsWay(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	w := &winders{Shop: shop, t: t, day: testkit.Day(t)}
	before := w.standing("O-26-152") // due 18 days on
	if !slices.Equal(page(before.Short), []string{"MW-R-13.5"}) {
		t.Fatalf("short of %v", before.Short)
	}
	made, err := shop.AddPurchase(w.as(workshop.Owner), workshop.PurchaseForm{Supplier: "ashdell", Lines: []workshop.PurchaseFormLine{{Wire: "MW-R-13.5", Packs: 1}}})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := shop.SendPurchase(w.as(workshop.Owner), made.Code, workshop.Sending{Confirmed: true, Reason: "agreed", PromisedOn: before.Order.DueOn}); err != nil {
		t.Fatal(err)
	}
	if now := w.standing("O-26-152"); now.AtRisk() || !slices.Equal(page(now.Waits), []string{"MW-R-13.5"}) {
		t.Errorf("with the wire on its way: short of %v, waits for %v", now.Short, now.Waits)
	}
	if early := w.standing("O-26-142"); !early.AtRisk() {
		t.Errorf("O-26-142 is due before it comes: %+v", early)
	}
}

func TestWouldTake(t *testing.T) {
	w := newWinders(t)
	w.add("O-1", 30, 0, w.day+5)
	form := testkit.ScarceOrder("O-2", 20, 2, w.day+3)
	story, unread, err := w.WouldTake(w.as(workshop.Winder), form)
	if err != nil || len(unread) > 0 || len(story.Open) != 2 || len(story.Wires) != 3 || story.Wires[0].Lacks() == 0 {
		t.Fatalf("whole: %+v, %v, %v", story.Wires, unread, err)
	}
	if _, err := w.Order(w.as(workshop.Winder), "O-2"); !errors.Is(err, workshop.ErrNotFound) {
		t.Errorf("it was kept: %v", err)
	}

	part := form
	part.Order, part.Customer, part.DueOn = "", "", "soon"
	part.Lines = append(slices.Clone(form.Lines), intake.OrderFormLine{Line: "3", Quantity: "2", Strings: []intake.OrderFormString{
		{Position: "1", Recipe: "none", Scale: "25", Pitch: "E4"}, {Position: "2", Recipe: "P-10", Scale: "25", Pitch: "B3"}}}, intake.OrderFormLine{Line: "4", Set: "none", Quantity: "1"})
	story, unread, err = w.WouldTake(w.as(workshop.Winder), part)
	if err != nil || story.Order.StringCount() != 24 {
		t.Errorf("in part: %d strings, %v", story.Order.StringCount(), err)
	}
	for _, want := range []string{"order", "customer", "due_on", "lines[2].strings[0].recipe", "lines[3].set"} {
		if !slices.ContainsFunc(unread, func(p intake.Problem) bool { return p.Column == want }) {
			t.Errorf("%s is not told: %v", want, unread)
		}
	}
	if story, unread, err = w.WouldTake(w.as(workshop.Winder), intake.OrderForm{}); err != nil || len(unread) == 0 || len(story.Order.Lines) > 0 {
		t.Errorf("nothing: %+v, %v, %v", story.Order, unread, err)
	}
}

// An order that the shop has is worked out without itself beside it, and without the strings that batches wind.
func TestWouldTakeOfAChange(t *testing.T) {
	w := newWinders(t)
	w.add("O-1", 6, 1, w.day+1)
	w.release(w.day)
	story, _, err := w.WouldTake(w.as(workshop.Lead), testkit.ScarceOrder("o-1", 9, 1, w.day+1))
	if err != nil || len(story.Open) != 1 || story.Open[0].Strings != 3 {
		t.Errorf("three more are open: %+v, %v", story.Open, err)
	}
}

func TestOrderWorkAndNotes(t *testing.T) {
	w := newWinders(t)
	w.add("O-1", 4, 1, w.day+1)
	batches := w.release(w.day)
	w.post(workshop.ResultForm{Batch: batches["P-10"].Code, Good: 6, Minutes: 5 * time.Minute})
	for range 2 {
		if err := w.NoteOrder(w.as(workshop.Winder), "o-1", " calls on Friday "); err != nil {
			t.Fatal(err)
		}
	}
	work, err := w.OrderWork(w.as(workshop.Winder), "O-1")
	if err != nil || len(work.Released) != 1 || work.Released[0].Recipe != "W-42.5" || len(work.Strings) == 0 || work.Strings[0].Lot == "" {
		t.Fatalf("released %+v, strings %+v, %v", work.Released, work.Strings, err)
	}
	var did []string
	notes := 0
	for _, e := range work.History {
		did = append(did, e.Action)
		if e.Note() {
			notes++
		}
	}
	if notes != 1 || work.History[0].Detail != "calls on Friday" || work.History[0].Person != "test winder" || did[len(did)-1] != "add order" {
		t.Errorf("history: %v", did)
	}
	for _, bad := range []string{"  ", strings.Repeat("x", 1001)} {
		var problems intake.Problems
		if err := w.NoteOrder(w.as(workshop.Winder), "O-1", bad); !errors.As(err, &problems) {
			t.Errorf("a note of %d bytes: %v", len(bad), err)
		}
	}
	if err := w.NoteOrder(w.as(workshop.Winder), "O-9", "x"); !errors.Is(err, workshop.ErrNotFound) {
		t.Errorf("on no order: %v", err)
	}
	if _, err := w.OrderWork(w.as(workshop.Winder), "O-9"); !errors.Is(err, workshop.ErrNotFound) {
		t.Errorf("of no order: %v", err)
	}
}
