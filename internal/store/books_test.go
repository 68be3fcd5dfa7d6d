package store_test

import (
	"errors"
	"slices"
	"testing"
	"time"

	"windingroom/internal/costing"
	"windingroom/internal/measure"
	"windingroom/internal/purchase"
	"windingroom/internal/stock"
	"windingroom/internal/store"
	"windingroom/internal/testkit"
	"windingroom/internal/workshop"
)

// The books tie out on both databases: a month with a result, a weighing charged to its batch and a receipt for a purchase, and the month in
// which the result is taken back.
func TestBooksTieOut(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		release(t, db)
		result := wound(t, db)
		weighed := chargeTo(t, db, "B2")
		write(t, db, func(tx workshop.Tx) error {
			return errors.Join(tx.AddPurchase(bought()), tx.AddPurchaseReceipts("P-1", []purchase.Receipt{
				{Spool: "S-2", Wire: "W-R-12", ReceivedOn: monday - 30, Mass: 500_000, Cost: 2_800, Expected: 2_750}}))
		})
		march, april := period(t, "2026-03"), period(t, "2026-04")
		backOn := april.First() + 3
		write(t, db, func(tx workshop.Tx) error {
			for _, d := range result.Draws {
				b, err := tx.Spool(d.Spool)
				if err != nil {
					return err
				}
				_, err = tx.Post([]stock.Movement{{Spool: d.Spool, Kind: stock.Reversal, Mass: d.Mass, Cost: b.CostOf(d.Mass), EffectiveOn: backOn, EffectiveAt: backOn.Time(),
					PostedAt: backOn.Time(), Person: "bo", Reason: "mistyped", Source: "batch B2", Reverses: d.Movement}})
				if err != nil {
					return err
				}
			}
			return tx.UndoResult("B2", result.Number, "bo", "mistyped", backOn.Time())
		})
		shop := &workshop.Shop{Store: db, Now: func() time.Time { return noon.AddDate(0, 3, 0) }, Zone: time.UTC}
		ctx := testkit.As(t.Context(), workshop.Bookkeeper)
		if _, err := shop.InvoicePurchase(ctx, workshop.NewInvoice{Purchase: "p-1", Number: "R-77", Amount: "20.00", On: april.First(), Part: true}); err != nil {
			t.Fatal(err)
		}
		if _, err := shop.InvoicePurchase(ctx, workshop.NewInvoice{Purchase: "P-1", Number: "R-77", Amount: "20.00", On: april.First(), Part: true}); !errors.Is(err, workshop.ErrExists) {
			t.Errorf("the same invoice twice: %v", err)
		}
		for _, tt := range []struct {
			from, to costing.Period
			strings  int // good ones that the books count
			invoiced int64
		}{{march, march, 3, 0}, {april, april, -3, 2000}, {march, april, 0, 2000}} {
			err := shop.Books(ctx, tt.from, tt.to, func(b *workshop.Books) error {
				for _, c := range b.Checks {
					if c.Difference() != 0 {
						t.Errorf("%s: %s: %d off", b.Name(), c.What, c.Difference())
					}
				}
				n := 0
				for _, o := range b.Orders {
					if !o.Beyond {
						n += o.Strings
					}
				}
				if n != tt.strings {
					t.Errorf("%s: %d good strings, want %d: %+v", b.Name(), n, tt.strings, b.Orders)
				}
				if len(b.Unmatched) != 1 || b.Unmatched[0].Received == 0 || int64(b.Unmatched[0].Invoiced) != tt.invoiced {
					t.Errorf("%s: not invoiced %+v", b.Name(), b.Unmatched)
				}
				return nil
			})
			if err != nil {
				t.Fatal(err)
			}
		}
		err := shop.Books(ctx, period(t, "2026-01"), april, func(b *workshop.Books) error {
			at := slices.IndexFunc(b.Purchases, func(p workshop.PurchaseLine) bool { return p.Spool == "S-2" })
			if len(b.Purchases) != 3 || b.Purchases[at].Purchase != "P-1" || b.Purchases[at].Expected != 2_750 || b.Purchases[at].WireCost != 2_800 {
				t.Errorf("purchases %+v", b.Purchases)
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		read(t, db, func(r workshop.Reader) error {
			charges, err := r.Charges(march.First(), march.Last())
			if err != nil || len(charges) != 2 || charges[0].Batch != "B2" || charges[0].Recipe != "W-40" || charges[1].Batch != "" || charges[0].Movement != weighed {
				t.Errorf("charges %+v, %v", charges, err)
			}
			last, err := r.LastDraws(march.Last())
			if err != nil || len(last) != 3 || last["C-H-16"] != monday {
				t.Errorf("last draws %v, %v", last, err)
			}
			if last, err = r.LastDraws(april.Last()); err != nil || len(last) != 0 {
				t.Errorf("after they were taken back: %v, %v", last, err)
			}
			return nil
		})
	})
}

// chargeTo weighs a spool and charges most of what is missing to a batch.
func chargeTo(t *testing.T, db *store.DB, code string) (id stock.MovementID) {
	t.Helper()
	const missing = 600 * measure.Milligram
	write(t, db, func(tx workshop.Tx) error {
		b, err := tx.Spool("S-3")
		if err != nil {
			return err
		}
		posted, err := tx.Post([]stock.Movement{{Spool: "S-3", Kind: stock.WeighBack, Mass: -missing, Cost: b.CostOf(-missing), EffectiveOn: monday, EffectiveAt: noon.Add(time.Hour),
			PostedAt: noon.Add(time.Hour), Person: "ines", Source: "scale"}})
		if err != nil {
			return err
		}
		id = posted[0].ID
		return tx.KeepWeighing(workshop.Weighing{Movement: posted[0], Gross: b.Tare + b.Mass - missing, Tare: b.Tare, Book: b.Mass, Net: b.Mass - missing,
			Shares: []stock.Share{{Source: code, Mass: -500}, {Mass: -missing + 500}}})
	})
	return id
}
