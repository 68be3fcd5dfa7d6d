package workshop_test

import (
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"

	"windingroom/internal/calendar"
	"windingroom/internal/intake"
	"windingroom/internal/money"
	"windingroom/internal/purchase"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// agreed is the sending of a purchase below its supplier's minimum.
var agreed = workshop.Sending{Confirmed: true, Reason: "agreed by telephone"}

// spoolOf is a spool of ashdell's that weighs so many grams net.
func spoolOf(code, wire string, net int, cost string) intake.SpoolText {
	return intake.SpoolText{Spool: code, Wire: wire, Lot: "AS-77", Gross: fmt.Sprint(net + 200), Tare: "200", Cost: cost}
}

func TestAPurchaseFromTheNightToTheShelf(t *testing.T) {
	shop, day := testkit.ScenarioShop(t), testkit.Day(t)
	ctx := testkit.As(t.Context(), workshop.Lead)
	night, err := shop.RunNight(ctx, day)
	if err != nil {
		t.Fatal(err)
	}
	made, err := shop.ProposePurchases(ctx, day, "")
	if err != nil || len(made) != len(night.Purchases) {
		t.Fatalf("%d purchases of %d, %v", len(made), len(night.Purchases), err)
	}
	for i, p := range made {
		if p.Total() != night.Purchases[i].Total || len(p.Lines) != len(night.Purchases[i].Lines) || p.Status != purchase.Proposed || p.BelowMinimum() {
			t.Errorf("%s is %+v, asked for %+v", p.Code, p.Purchase, night.Purchases[i])
		}
	}
	own, err := shop.ChangePurchase(ctx, made[0].Code, 1, workshop.PurchaseForm{Lines: []workshop.PurchaseFormLine{{Wire: "mw-r-13.5", Kg: "2.5"}}, PromisedOn: new((day + 14).String())})
	if err != nil || own.Version != 2 || own.Lines[0].Packs != 3 || own.Supplier != "ashdell" || own.Night != 0 {
		t.Fatalf("changed to %+v, %v", own.Purchase, err)
	}
	again, err := shop.ProposePurchases(ctx, day, "")
	if err != nil || len(again) != len(made) || len(again[0].Lines) != 1 || again[1].Version != 1 {
		t.Errorf("proposed again: %+v, %v", again, err)
	}

	atRisk := func() (orders int) {
		n, err := shop.RunNight(ctx, day)
		if err != nil {
			t.Fatal(err)
		}
		return len(n.Wire("MW-R-13.5").AtRisk)
	}
	before := atRisk()
	promise := func() string {
		story, err := shop.Order(ctx, "O-26-142")
		if err != nil {
			t.Fatal(err)
		}
		for _, w := range story.Wires {
			if w.Wire == "MW-R-13.5" {
				return w.From.String()
			}
		}
		t.Fatal("the order takes no such wire")
		return ""
	}
	if got := promise(); got != "" {
		t.Errorf("before anything is on order the wire may be promised from %q", got)
	}
	sent, err := shop.SendPurchase(ctx, own.Code, workshop.Sending{Version: 2, Confirmed: true, Reason: "agreed"})
	if err != nil || sent.Status != purchase.Sent || sent.OrderedOn != day || sent.DueOn() != day+14 {
		t.Fatalf("sent %+v, %v", sent.Purchase, err)
	}
	if got := promise(); got != (day + 14).String() {
		t.Errorf("on order, the wire may be promised from %q", got)
	}
	n, err := shop.RunNight(ctx, day)
	if w := n.Wire("MW-R-13.5"); err != nil || w.OnOrder != 3000*g || w.Suggest != 0 {
		t.Errorf("the night after: %s on order, %s suggested, %v", w.OnOrder, w.Suggest, err)
	}
	if got := atRisk(); got > before {
		t.Errorf("%d orders at risk, %d before anything was on order", got, before)
	}

	got, err := shop.ReceivePurchase(ctx, own.Code, intake.SeveralSpools([]intake.SpoolText{spoolOf("N-1", "MW-R-13.5", 1000, "46.00")}), intake.Invoice{Freight: "5.00"}, "", false)
	if err != nil || got.Purchase.Status != purchase.PartReceived || got.Spools[0].Cost != 5100 {
		t.Fatalf("a part: %+v, %v", got.Purchase.Purchase, err)
	}
	if r := got.Purchase.Receipts[0]; r.Cost != 4600 || r.Expected != 4460 || got.Purchase.Difference() != 140 {
		t.Errorf("came for %d where %d was expected", r.Cost, r.Expected)
	}
	bookkeeper := testkit.As(t.Context(), workshop.Bookkeeper)
	last := intake.SeveralSpools([]intake.SpoolText{spoolOf("N-2", "MW-R-13.5", 1000, "44.60"), spoolOf("N-3", "MW-R-13.5", 920, "41.03")})
	for _, before := range []bool{false, true} {
		got, err = shop.ReceivePurchase(bookkeeper, own.Code, last, intake.Invoice{}, "", false)
		if err != nil || got.Purchase.Status != purchase.Closed || got.Before != before || got.Purchase.Lines[0].Received != 2920*g {
			t.Errorf("the rest: %+v before %v, %v", got.Purchase.Purchase, got.Before, err)
		}
	}
	if broken, err := shop.Verify(ctx); err != nil || len(broken) > 0 {
		t.Errorf("%v, %v", broken, err)
	}
	if n, err = shop.RunNight(ctx, day); err != nil || n.Wire("MW-R-13.5").OnOrder != 0 {
		t.Errorf("when all came %s is on order, %v", n.Wire("MW-R-13.5").OnOrder, err)
	}
	if _, err := shop.ReceivePurchase(ctx, own.Code, intake.SeveralSpools([]intake.SpoolText{spoolOf("N-4", "MW-R-13.5", 10, "1")}), intake.Invoice{}, "", false); !errors.Is(err, workshop.ErrStage) {
		t.Errorf("more for a closed one: %v", err)
	}
}

// Of people who change a purchase at once, each is told or heard: as many changes stand as were accepted.
func TestTwoEditors(t *testing.T) {
	shop := testkit.ScenarioShop(t)
	ctx := testkit.As(t.Context(), workshop.Lead)
	made, err := shop.AddPurchase(ctx, workshop.PurchaseForm{Supplier: "ASHDELL", Freight: new("9.90"), Lines: []workshop.PurchaseFormLine{{Wire: "MW-R-8.0", Packs: 1}}})
	if err != nil || made.Supplier != "ashdell" || made.Total() != 1850+990 {
		t.Fatalf("%+v, %v", made.Purchase, err)
	}
	results := make([]error, 8)
	var all sync.WaitGroup
	for i := range results {
		all.Go(func() {
			_, results[i] = shop.ChangePurchase(ctx, made.Code, 1, workshop.PurchaseForm{Lines: []workshop.PurchaseFormLine{{Wire: "MW-R-8.0", Packs: i + 2}}})
		})
	}
	all.Wait()
	accepted := -1
	for i, err := range results {
		switch {
		case err == nil && accepted < 0:
			accepted = i
		case !errors.Is(err, workshop.ErrChanged):
			t.Errorf("editor %d: %v", i, err)
		}
	}
	now, err := shop.Purchase(ctx, made.Code)
	if err != nil || accepted < 0 || now.Version != 2 || now.Lines[0].Packs != accepted+2 || now.Freight != 990 {
		t.Errorf("editor %d was accepted, and it is %+v, %v", accepted, now.Purchase, err)
	}
	if _, err := shop.SendPurchase(ctx, made.Code, workshop.Sending{Version: 1}); !errors.Is(err, workshop.ErrChanged) {
		t.Errorf("sending what has changed: %v", err)
	}
}

func TestPurchaseRefusals(t *testing.T) {
	shop, day := testkit.ScenarioShop(t), testkit.Day(t)
	ctx := testkit.As(t.Context(), workshop.Lead)
	form := func(change func(*workshop.PurchaseForm)) workshop.PurchaseForm {
		f := workshop.PurchaseForm{Supplier: "ashdell", Lines: []workshop.PurchaseFormLine{{Wire: "MW-R-8.0", Packs: 1}}}
		change(&f)
		return f
	}
	for field, f := range map[string]workshop.PurchaseForm{
		"supplier":      form(func(f *workshop.PurchaseForm) { f.Supplier = "nobody" }),
		"lines":         form(func(f *workshop.PurchaseForm) { f.Lines = nil }),
		"lines[0].wire": form(func(f *workshop.PurchaseForm) { f.Lines[0].Wire = "x" }),
		"lines[1].wire": form(func(f *workshop.PurchaseForm) {
			f.Lines = append(f.Lines, workshop.PurchaseFormLine{Wire: "mw-r-8.0", Packs: 2})
		}),
		"lines[0].packs":        form(func(f *workshop.PurchaseForm) { f.Lines[0].Packs = 0 }),
		"lines[0].kg":           form(func(f *workshop.PurchaseForm) { f.Lines[0].Kg = "2" }),
		"lines[0].price_per_kg": form(func(f *workshop.PurchaseForm) { f.Lines[0].PricePerKg = "-1" }),
		"promised_on":           form(func(f *workshop.PurchaseForm) { f.PromisedOn = new("tomorrow") }),
		"freight":               form(func(f *workshop.PurchaseForm) { f.Freight = new("1.234") }),
	} {
		_, err := shop.AddPurchase(ctx, f)
		var problems intake.Problems
		if !errors.As(err, &problems) || len(problems) != 1 || problems[0].Column != field {
			t.Errorf("%s: %v", field, err)
		}
	}
	many := form(func(f *workshop.PurchaseForm) { f.Lines[0] = workshop.PurchaseFormLine{Wire: "MW-R-8.0", Packs: -1} })
	if _, err := shop.AddPurchase(ctx, many); err == nil {
		t.Error("a negative number of packs was taken")
	}

	made, err := shop.AddPurchase(ctx, form(func(*workshop.PurchaseForm) {}))
	if err != nil {
		t.Fatal(err)
	}
	one := intake.SeveralSpools([]intake.SpoolText{spoolOf("N-1", "MW-R-8.0", 100, "5")})
	receive := func(code purchase.Code, d *intake.Delivery) error {
		_, err := shop.ReceivePurchase(ctx, code, d, intake.Invoice{}, "", false)
		return err
	}
	if err := receive(made.Code, one); !errors.Is(err, workshop.ErrStage) {
		t.Errorf("receiving a proposal: %v", err)
	}
	if _, err := shop.ClosePurchase(ctx, made.Code, ""); !errors.Is(err, workshop.ErrStage) {
		t.Errorf("closing a proposal: %v", err)
	}
	if _, err := shop.SendPurchase(ctx, made.Code, workshop.Sending{PromisedOn: day - 1}); err == nil {
		t.Error("promised before it was ordered")
	}
	if _, err := shop.SendPurchase(ctx, made.Code, workshop.Sending{}); !errors.Is(err, workshop.ErrBelowMinimum) || !strings.Contains(err.Error(), "18.50 EUR") {
		t.Errorf("sent below the supplier's minimum unasked: %v", err)
	}
	if _, err := shop.SendPurchase(ctx, made.Code, workshop.Sending{Confirmed: true, Reason: " "}); err == nil || !strings.Contains(err.Error(), "reason") {
		t.Errorf("sent below the minimum without a reason: %v", err)
	}
	for range 2 {
		if p, err := shop.SendPurchase(ctx, made.Code, agreed); err != nil || p.Version != 2 || p.DueOn() != day+21 {
			t.Errorf("sent: %+v, %v", p.Purchase, err)
		}
	}
	var problems intake.Problems
	if err := receive(made.Code, intake.SeveralSpools([]intake.SpoolText{spoolOf("N-1", "MW-R-8.0", 100, "5"), spoolOf("N-2", "NI-R-9.5", 100, "5")})); !errors.As(err, &problems) ||
		problems[0].Column != "spools[1].wire" {
		t.Errorf("a wire that was not ordered: %v", err)
	}
	if _, err := shop.ReceiveDelivery(ctx, one, intake.Invoice{}, ""); err != nil { // taken in without the purchase, then noted for it
		t.Fatal(err)
	}
	if err := receive(made.Code, one); err != nil {
		t.Errorf("a spool that is here: %v", err)
	}
	other, err := shop.AddPurchase(ctx, form(func(*workshop.PurchaseForm) {}))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := shop.SendPurchase(ctx, other.Code, agreed); err != nil {
		t.Fatal(err)
	}
	if err := receive(other.Code, one); !errors.Is(err, workshop.ErrExists) {
		t.Errorf("a spool that came for another: %v", err)
	}
	if _, err := shop.CancelPurchase(ctx, made.Code, ""); !errors.Is(err, workshop.ErrStage) {
		t.Errorf("cancelling what came in part: %v", err)
	}
	for _, end := range []struct {
		code purchase.Code
		act  func() (workshop.PurchaseStory, error)
		want purchase.Status
	}{
		{made.Code, func() (workshop.PurchaseStory, error) { return shop.ClosePurchase(ctx, made.Code, "out of it") }, purchase.Closed},
		{other.Code, func() (workshop.PurchaseStory, error) { return shop.CancelPurchase(ctx, other.Code, "too late") }, purchase.Cancelled},
	} {
		for range 2 {
			if p, err := end.act(); err != nil || p.Status != end.want {
				t.Errorf("%s: %+v, %v", end.code, p.Purchase, err)
			}
		}
		if _, err := shop.ChangePurchase(ctx, end.code, 9, workshop.PurchaseForm{}); !errors.Is(err, workshop.ErrChanged) {
			t.Errorf("changing %s as it never was: %v", end.code, err)
		}
		if _, err := shop.ChangePurchase(ctx, end.code, 0, workshop.PurchaseForm{Note: new("x")}); !errors.Is(err, workshop.ErrStage) {
			t.Errorf("changing %s: %v", end.code, err)
		}
	}
}

// A change tells what is left out from what is emptied.
func TestAChangeEmptiesWhatItNames(t *testing.T) {
	shop, day := testkit.ScenarioShop(t), testkit.Day(t)
	ctx := testkit.As(t.Context(), workshop.Lead)
	made, err := shop.AddPurchase(ctx, workshop.PurchaseForm{Supplier: "ashdell", PromisedOn: new((day + 9).String()), Freight: new("9.90"), Note: new("by van"),
		Lines: []workshop.PurchaseFormLine{{Wire: "MW-R-8.0", Packs: 1}}})
	if err != nil {
		t.Fatal(err)
	}
	for i, tt := range []struct {
		name     string
		form     workshop.PurchaseForm
		promised calendar.Date
		freight  money.Minor
		note     string
	}{
		{"nothing", workshop.PurchaseForm{}, day + 9, 990, "by van"},
		{"the note", workshop.PurchaseForm{Note: new("")}, day + 9, 990, ""},
		{"the day", workshop.PurchaseForm{PromisedOn: new("")}, 0, 990, ""},
		{"the freight, for the usual one", workshop.PurchaseForm{Freight: new("")}, 0, made.From.Carriage(made.Mass()), ""},
	} {
		now, err := shop.ChangePurchase(ctx, made.Code, i+1, tt.form)
		if err != nil || now.PromisedOn != tt.promised || now.Freight != tt.freight || now.Note != tt.note || len(now.Lines) != 1 {
			t.Errorf("%s: %+v, %v", tt.name, now.Purchase, err)
		}
	}
}
