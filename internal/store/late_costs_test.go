package store_test

import (
	"strings"
	"testing"
	"time"

	"windingroom/internal/costing"
	"windingroom/internal/money"
	"windingroom/internal/purchase"
	"windingroom/internal/stock"
	"windingroom/internal/store"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// An invoice beyond the receipt lands on wire that is there and expenses the rest; a result that is undone afterwards brings its share back; the
// invoice that corrects it takes all off again. The books tie out at every step, on both databases.
func TestInvoicesLandOnWire(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		release(t, db)
		result := wound(t, db)
		sent := bought()
		sent.Status = purchase.PartReceived
		write(t, db, func(tx workshop.Tx) error { return tx.AddPurchase(sent) })
		write(t, db, func(tx workshop.Tx) error {
			return tx.AddPurchaseReceipts("P-1", []purchase.Receipt{{Spool: "S-2", Wire: "W-R-12", ReceivedOn: monday - 30, Mass: 500_000, Cost: 2_825, Expected: 2_825}})
		})
		accounts := costing.Accounts{Wire: "wire", NotInvoiced: "owed", PriceDifference: "price", Difference: "difference", Winding: "winding", Finished: "finished",
			Wages: "wages", AbnormalScrap: "abnormal", UsageVariance: "usage"}
		shop := &workshop.Shop{Store: db, Now: func() time.Time { return noon.Add(3 * time.Hour) }, Zone: time.UTC, BooksSetup: workshop.BooksSetup{Accounts: accounts}}
		ctx := testkit.As(t.Context(), workshop.Owner)
		var drawn money.Minor
		for _, d := range result.Draws {
			if m := answered(t, db, func(r workshop.Reader) (stock.Movement, error) { return r.Movement(d.Movement) }); d.Spool == "S-2" {
				drawn = -m.Cost
			}
		}
		// books checks that the month ties out and gives what its journal posts to the price differences and owes.
		books := func(step string) (price, owed money.Minor) {
			t.Helper()
			if got := invariants(t, db); len(got) > 0 {
				t.Errorf("%s: broken: %q", step, got)
			}
			err := shop.Books(ctx, period(t, "2026-02"), period(t, "2026-03"), func(b *workshop.Books) error {
				for _, c := range b.Checks {
					if c.Difference() != 0 {
						t.Errorf("%s: %s: %d off", step, c.What, c.Difference())
					}
				}
				for _, l := range b.Journal {
					switch l.Account {
					case "price":
						price += l.Debit - l.Credit
					case "owed":
						owed += l.Credit - l.Debit
					}
				}
				return nil
			})
			if err != nil {
				t.Fatal(err)
			}
			return price, owed
		}
		_, before := books("as received")

		invoice := workshop.NewInvoice{Purchase: "P-1", Number: "R-77", Amount: "5028.25", On: monday}
		if _, err := shop.InvoicePurchase(ctx, invoice); err == nil || !strings.Contains(err.Error(), "say part") {
			t.Errorf("a difference beyond belief: %v", err)
		}
		invoice.Confirmed = true
		got, err := shop.InvoicePurchase(ctx, invoice)
		if err != nil || got.Difference != 500_000 || got.OnHand+got.Used != 500_000 || got.Used == 0 {
			t.Fatalf("%+v, %v", got, err)
		}
		price, owed := books("invoiced")
		if price != got.Used || owed != before+500_000 {
			t.Errorf("the journal has %d of price differences, %d owed after %d; %d was used", price, owed, before, got.Used)
		}
		received, err := shop.Explain(ctx, period(t, "2026-03"), "W-R-12", "received_cost")
		if err != nil || received.Total.Cost != 500_000 || len(received.Lines) != 1 || received.Lines[0].Source != "invoice R-77 of purchase P-1" {
			t.Errorf("received %+v, %v", received, err)
		}
		difference, err := shop.Explain(ctx, period(t, "2026-03"), "W-R-12", "difference_cost")
		if err != nil || difference.Total.Cost != -got.Used {
			t.Errorf("difference %+v, %v", difference, err)
		}
		if _, err := shop.Reverse(ctx, received.Lines[0].ID, "x"); err == nil || !strings.Contains(err.Error(), "corrects the one behind it") {
			t.Errorf("taken back by itself: %v", err)
		}

		if _, err := shop.UndoResult(ctx, result.Batch, result.Number, "mistyped"); err != nil {
			t.Fatal(err)
		}
		if price, _ = books("undone"); price != 0 {
			t.Errorf("all wire is back, and %d stays an expense", price)
		}
		back := answered(t, db, func(r workshop.Reader) ([]stock.Movement, error) { return r.Movements("S-2") })
		if n := len(back); back[n-2].Cost != drawn || back[n-1].Kind != stock.CostUsed || back[n-1].Cost != got.Used {
			t.Errorf("taken back: %+v", back[len(back)-2:])
		}

		credit := workshop.NewInvoice{Purchase: "P-1", Number: "C-1", Amount: "-5000.00", On: monday, Corrects: "R-70", Confirmed: true}
		if _, err := shop.InvoicePurchase(ctx, credit); err == nil || !strings.Contains(err.Error(), "no invoice") {
			t.Errorf("corrects what is not there: %v", err)
		}
		credit.Corrects = "R-77"
		if got, err := shop.InvoicePurchase(ctx, credit); err != nil || got.Difference != -500_000 || got.OnHand != -500_000 {
			t.Errorf("%+v, %v", got, err)
		}
		if price, owed = books("corrected"); price != 0 || owed != before {
			t.Errorf("corrected, the journal has %d of price differences and %d owed, not %d", price, owed, before)
		}
	})
}
