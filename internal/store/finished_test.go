package store_test

import (
	"testing"

	"windingroom/internal/batch"
	"windingroom/internal/order"
	"windingroom/internal/replenishment"
	"windingroom/internal/store"
	"windingroom/internal/workshop"
)

// spare is the string of wound that went to finished stock, given to the order that the others went to.
var spare = []batch.Given{{Batch: "B2", Result: 1, Part: 2, Serve: batch.Serve{Order: "O-1", Line: 1, Position: 2, Strings: 1}}}

func TestFinishedStringsAreGivenAndReturned(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		release(t, db)
		wound(t, db)
		same(t, "surplus of a batch that goes on", []batch.Surplus{})(answered(t, db, workshop.Reader.Surplus), nil)
		finish(t, db)
		surplus := []batch.Surplus{{Batch: "B2", Result: 1, Part: 2, Recipe: "W-40", Scale: 647700000, Strings: 1}}
		stock := []workshop.FinishedStrings{{Recipe: "W-40", Scale: 647700000, Strings: 1}}
		good := func(n int) []batch.Serve { return []batch.Serve{{Order: "O-1", Line: 1, Position: 2, Strings: n}} }
		look := func(what string, spare bool, n int) {
			t.Helper()
			read(t, db, func(r workshop.Reader) error {
				if spare {
					same(t, what+": surplus", surplus)(r.Surplus())
					same(t, what+": stock", stock)(r.FinishedStock())
				} else {
					same(t, what+": surplus", []batch.Surplus{})(r.Surplus())
					same(t, what+": stock", []workshop.FinishedStrings(nil))(r.FinishedStock())
				}
				same(t, what+": good", good(n))(r.GoodStrings("o-1"))
				same(t, what+": covered", append([]batch.Serve{{Order: "O-1", Line: 1, Position: 1, Strings: 5}}, good(n)...))(r.CoveredOf("o-1"))
				strings, err := r.TraceOf("o-1")
				if err != nil || len(strings) != 3 || strings[0].Strings != n {
					t.Errorf("%s: %d strings are traced to %+v, %v", what, n, strings, err)
				}
				return err
			})
			if got := invariants(t, db); len(got) > 0 {
				t.Errorf("%s: %q", what, got)
			}
		}
		give := func(tx workshop.Tx) error { return tx.GiveFinished(spare) }
		look("nothing given", true, 2)
		write(t, db, give)
		look("given", false, 3)
		same(t, "bookings with what was given", []replenishment.Notice{{Days: 20, Mass: 24000}})(
			answered(t, db, func(r workshop.Reader) ([]replenishment.Notice, error) { return r.Bookings(monday) }), nil)
		same(t, "given of the result", spare)(answered(t, db, func(r workshop.Reader) ([]batch.Given, error) { return r.GivenOf("B2", 1) }), nil)
		write(t, db, func(tx workshop.Tx) error { return tx.ReturnFinishedOf("B2", 1) })
		look("returned of the result", true, 2)
		write(t, db, give)
		write(t, db, func(tx workshop.Tx) error { return tx.ReturnFinished("o-1") })
		look("returned of the order", true, 2)

		// Of a cancelled order all is surplus, and what others are given of it is no longer its own.
		write(t, db, func(tx workshop.Tx) error { return tx.SetOrderStatus("O-1", order.Confirmed, order.Cancelled) })
		surplus = append([]batch.Surplus{{Batch: "B2", Result: 1, Part: 1, Recipe: "W-40", Scale: 647700000, Strings: 2}}, surplus...)
		stock[0].Strings = 3
		look("cancelled", true, 2)
	})
}
