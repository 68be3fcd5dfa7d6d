package workshop_test

import (
	"errors"
	"testing"

	"windingroom/internal/calendar"
	"windingroom/internal/intake"
	"windingroom/internal/measure"
	"windingroom/internal/replenishment"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

func TestWhatTheBuyingOfAWireRestsOn(t *testing.T) {
	shop, day := testkit.ScenarioShop(t), testkit.Day(t)
	ctx := testkit.As(t.Context(), workshop.Lead)
	before, err := shop.WireBuying(ctx, "mw-r-13.5")
	if err != nil || before.Night != nil || before.Wire.Code != "MW-R-13.5" || before.From == nil || before.From.Code != "ashdell" || len(before.Used) != 13 {
		t.Fatalf("before a night: %+v, %v", before, err)
	}
	if before.Used[0].From != day-91 || before.Used[12].From != day-7 {
		t.Errorf("weeks from %s to %s", before.Used[0].From, before.Used[12].From)
	}
	night, err := shop.RunNight(ctx, day)
	if err != nil {
		t.Fatal(err)
	}
	made, err := shop.AddPurchase(ctx, workshop.PurchaseForm{Supplier: "ashdell", Lines: []workshop.PurchaseFormLine{{Wire: "MW-R-13.5", Packs: 2}}})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := shop.SendPurchase(ctx, made.Code, workshop.Sending{Confirmed: true, Reason: "agreed", PromisedOn: day + 14}); err != nil {
		t.Fatal(err)
	}
	if _, err := shop.AnswerAlert(ctx, "MW-R-13.5", "rung them", 0); err != nil {
		t.Fatal(err)
	}
	now, err := shop.WireBuying(ctx, "MW-R-13.5")
	if err != nil {
		t.Fatal(err)
	}
	var booked measure.Mass
	for _, n := range now.Needs {
		booked += n.Mass
	}
	if found := night.Wire("MW-R-13.5"); now.Checks != day || booked != found.Booked || now.Night.OrderPoint != found.OrderPoint {
		t.Errorf("needs %s where the night has %s", booked, found.Booked)
	}
	if len(now.Coming) != 1 || now.Coming[0].DueOn != day+14 || now.Coming[0].Mass != 2*measure.Kilogram || now.Answer == nil || now.Answer.Reason != "rung them" {
		t.Errorf("coming %+v, answer %+v", now.Coming, now.Answer)
	}
	if _, err := shop.WireBuying(ctx, "none"); !errors.Is(err, workshop.ErrNotFound) {
		t.Errorf("a wire that is not there: %v", err)
	}
	if _, err := shop.WireBuying(testkit.As(t.Context(), workshop.Winder), "MW-R-13.5"); !errors.Is(err, workshop.ErrForbidden) {
		t.Errorf("a winder: %v", err)
	}
}

func TestSuppliersLearnTheirLeadTimes(t *testing.T) {
	shop, day := testkit.ScenarioShop(t), testkit.Day(t)
	ctx := testkit.As(t.Context(), workshop.Lead)
	find := func() workshop.SupplierStory {
		list, err := shop.Suppliers(ctx)
		if err != nil || len(list) != 4 || list[0].Code != "ashdell" {
			t.Fatalf("%+v, %v", list, err)
		}
		return list[0]
	}
	if s := find(); s.Lead.Learned || s.Lead.Days != 21 || len(s.Wires) == 0 || len(s.Open) != 0 || s.Currency != "EUR" {
		t.Errorf("begins with %+v", s)
	}
	for i, took := range []int{25, 27, 29, 31, 33} {
		p, err := shop.AddPurchase(ctx, workshop.PurchaseForm{Supplier: "ashdell", Lines: []workshop.PurchaseFormLine{{Wire: "MW-R-13.5", Packs: 1}}})
		if err != nil {
			t.Fatal(err)
		}
		if s := find(); len(s.Open) != 1 || s.Open[0] != p.Code {
			t.Errorf("open are %v", s.Open)
		}
		if _, err := shop.SendPurchase(ctx, p.Code, workshop.Sending{Confirmed: true, Reason: "agreed", OrderedOn: day - 60}); err != nil {
			t.Fatal(err)
		}
		spool := spoolOf("S95"+string(rune('0'+i)), "MW-R-13.5", 500, "20.00")
		spool.ReceivedOn = (day - 60 + calendar.Date(took)).String()
		if _, err := shop.ReceivePurchase(ctx, p.Code, intake.SeveralSpools([]intake.SpoolText{spool}), intake.Invoice{}, "", true); err != nil {
			t.Fatal(err)
		}
	}
	if l := find().Lead; !l.Learned || l.Receipts != 5 || l.Days != 29 || l.Quoted != 21 || l.SD < 3.1 || l.SD > 3.2 {
		t.Errorf("learned %+v", l)
	}
	if _, err := shop.Suppliers(testkit.As(t.Context(), workshop.Winder)); !errors.Is(err, workshop.ErrForbidden) {
		t.Errorf("a winder: %v", err)
	}
}

func TestTheMorningShrinksAsPurchasesAreSent(t *testing.T) {
	shop, day := testkit.ScenarioShop(t), testkit.Day(t)
	ctx := testkit.As(t.Context(), workshop.Lead)
	night, err := shop.RunNight(ctx, day)
	if err != nil {
		t.Fatal(err)
	}
	counts := func() workshop.Morning {
		n, err := shop.Reorder(ctx)
		if err != nil {
			t.Fatal(err)
		}
		open, err := shop.Purchases(ctx, workshop.PurchaseFilter{OpenOnly: true})
		if err != nil {
			t.Fatal(err)
		}
		return n.Morning(open)
	}
	all := counts()
	wires, late := 0, 0
	for _, p := range night.Purchases {
		wires += len(p.Lines)
	}
	for _, w := range night.Wires {
		if w.Alert == replenishment.Late {
			late++
		}
	}
	if all != (workshop.Morning{Wires: wires, Suppliers: len(night.Purchases), Late: late}) {
		t.Errorf("begins with %+v", all)
	}
	made, err := shop.ProposePurchases(ctx, 0, "")
	if err != nil {
		t.Fatal(err)
	}
	if m := counts(); m != all {
		t.Errorf("proposals alone make it %+v", m)
	}
	if _, err := shop.SendPurchase(ctx, made[0].Code, workshop.Sending{}); err != nil {
		t.Fatal(err)
	}
	if m := counts(); m.Sent != 1 || m.Suppliers != all.Suppliers-1 || m.Wires != all.Wires-len(made[0].Lines) {
		t.Errorf("one sent makes it %+v", m)
	}
	steps, err := shop.PurchaseHistory(ctx, made[0].Code)
	if err != nil || len(steps) != 2 || steps[0].Action != "send purchase" || steps[1].Action != "propose purchase" {
		t.Errorf("its history is %+v, %v", steps, err)
	}
	if _, err := shop.PurchaseHistory(ctx, "none"); !errors.Is(err, workshop.ErrNotFound) {
		t.Errorf("no purchase: %v", err)
	}
}
