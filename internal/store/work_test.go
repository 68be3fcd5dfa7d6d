package store_test

import (
	"errors"
	"slices"
	"testing"
	"time"

	"windingroom/internal/batch"
	"windingroom/internal/material"
	"windingroom/internal/measure"
	"windingroom/internal/order"
	"windingroom/internal/stock"
	"windingroom/internal/store"
	"windingroom/internal/workshop"
)

// wound posts a result of B2 as the use case does: three good, one scrapped, to go on; two of the core came from S-1.
func wound(t testing.TB, db *store.DB) batch.Result {
	t.Helper()
	r := batch.Result{Batch: "B2", WoundOn: monday, Good: 3, Scrapped: 1, Minutes: 9 * time.Minute, Person: "ines", Continues: true, PostedAt: noon, PostedBy: "bo", Key: "k1",
		Draws: []batch.Taken{{Spool: "S-1", Wire: "C-H-16", Strings: 4, Each: 1_000_000_000, Mass: 4000}, {Spool: "S-2", Wire: "W-R-12", Strings: 4, Each: 3_000_000_000, Mass: 12000},
			{Spool: "S-3", Wire: "W-X-40", Strings: 4, Each: 4_000_000_000, Mass: 16000}},
		Given: []batch.Serve{{Order: "O-1", Line: 1, Position: 2, Strings: 2}, {Strings: 1}},
	}
	write(t, db, func(tx workshop.Tx) error {
		for i, d := range r.Draws {
			if err := tx.Allocate(d.Spool, -d.Mass); err != nil {
				return err
			}
			b, err := tx.Spool(d.Spool)
			if err != nil {
				return err
			}
			if err := tx.SetDrawAllocated("B2", i+1, proposal().Machines[0].Batches[1].Draws[i].Mass-d.Mass); err != nil {
				return err
			}
			moves, err := tx.Post([]stock.Movement{{Spool: d.Spool, Kind: stock.Draw, Mass: -d.Mass, Cost: b.CostOf(-d.Mass), EffectiveOn: monday, EffectiveAt: noon,
				PostedAt: noon, Person: "bo", Reason: "wound", Source: "batch B2"}})
			if err != nil {
				return err
			}
			r.Draws[i].Movement = moves[0].ID
		}
		var err error
		r, err = tx.AddResult(r)
		return err
	})
	return r
}

// finish ends B2 with no more: what was not wound is open again.
func finish(t testing.TB, db *store.DB) {
	t.Helper()
	write(t, db, func(tx workshop.Tx) error {
		for i := range 3 {
			b, _ := tx.Batch("B2")
			if err := tx.Allocate(b.Draws[i].Spool, -b.Draws[i].Allocated); err != nil {
				return err
			}
			if err := tx.SetDrawAllocated("B2", i+1, 0); err != nil {
				return err
			}
		}
		if _, err := tx.AddResult(batch.Result{Batch: "B2", WoundOn: monday, Person: "ines", PostedAt: noon, PostedBy: "bo"}); err != nil {
			return err
		}
		return tx.SetBatchStatus("B2", batch.Released, batch.Finished)
	})
}

func TestResultsAreKept(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		release(t, db)
		want := wound(t, db)
		if want.Number != 1 {
			t.Fatalf("the first result is number %d", want.Number)
		}
		read(t, db, func(r workshop.Reader) error {
			same(t, "results", []batch.Result{want})(r.Results("b2"))
			same(t, "by key", want)(r.ResultByKey("k1"))
			same(t, "good", []batch.Serve{{Order: "O-1", Line: 1, Position: 2, Strings: 2}})(r.GoodStrings("o-1"))
			same(t, "finished", []workshop.FinishedStrings{{Recipe: "W-40", Scale: 647700000, Strings: 1}})(r.FinishedStock())
			same(t, "covered while released", []batch.Serve{{Order: "O-1", Line: 1, Position: 1, Strings: 5}, {Order: "O-1", Line: 1, Position: 2, Strings: 5}})(r.Covered())
			counts, err := r.RecipeResults()
			if counts["W-40"] != (batch.Results{Good: 3, Scrapped: 1}) || len(counts) != 1 {
				t.Errorf("counted %v, %v", counts, err)
			}
			return err
		})
		if got := invariants(t, db); len(got) > 0 {
			t.Fatalf("sound: %q", got)
		}
		finish(t, db)
		if got := invariants(t, db); len(got) > 0 {
			t.Errorf("finished: %q", got)
		}
		read(t, db, func(r workshop.Reader) error {
			same(t, "covered when finished", []batch.Serve{{Order: "O-1", Line: 1, Position: 1, Strings: 5}, {Order: "O-1", Line: 1, Position: 2, Strings: 2}})(r.Covered())
			return nil
		})
		if err := db.InTx(t.Context(), func(tx workshop.Tx) error { return tx.SetBatchStatus("B2", batch.Released, batch.Finished) }); !errors.Is(err, workshop.ErrChanged) {
			t.Errorf("finished twice: %v", err)
		}
	})
}

func TestAResultIsUndoneOnceAndNeverChanged(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		release(t, db)
		wound(t, db)
		undo := func(tx workshop.Tx) error { return tx.UndoResult("B2", 1, "bo", "counted wrongly", noon) }
		for _, statement := range []string{"DELETE FROM results", "UPDATE results SET good = 9", "UPDATE results SET person = 'x', undone_at = '2026-03-02 12:00:00+00:00'"} {
			if err := store.Translate(db.Raw().Exec(statement).Error); !errors.Is(err, store.ErrAppendOnly) {
				t.Errorf("%s: %v", statement, err)
			}
		}
		write(t, db, undo)
		if err := db.InTx(t.Context(), undo); !errors.Is(err, workshop.ErrChanged) {
			t.Errorf("undone twice: %v", err)
		}
		if err := store.Translate(db.Raw().Exec("UPDATE results SET undo_reason = 'other'").Error); !errors.Is(err, store.ErrAppendOnly) {
			t.Errorf("another reason: %v", err)
		}
		read(t, db, func(r workshop.Reader) error {
			results, err := r.Results("B2")
			if len(results) != 1 || results[0].Stands() || results[0].UndoReason != "counted wrongly" || !results[0].UndoneAt.Equal(noon) {
				t.Errorf("got %+v", results)
			}
			if _, err := r.ResultByKey("k1"); !errors.Is(err, workshop.ErrNotFound) {
				t.Errorf("an undone result stands under its key: %v", err)
			}
			if counts, _ := r.RecipeResults(); counts["W-40"] != (batch.Results{}) {
				t.Errorf("still counted %v", counts)
			}
			same(t, "good", []batch.Serve{})(r.GoodStrings("O-1"))
			return err
		})
		if got, want := invariants(t, db), []string{"the movements of an undone result are reversed, and no others"}; !slices.Equal(got, want) {
			t.Errorf("without reversals: %q", got)
		}
	})
}

func TestAllocationsToOrders(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		write(t, db, func(tx workshop.Tx) error {
			if err := tx.AddAllocations([]workshop.Allocation{{Order: "O-1", Wire: "C-H-16", Promise: workshop.Promise{Needed: 100, Mass: 100}},
				{Order: "O-1", Wire: "W-R-12", Promise: workshop.Promise{Needed: 70, Mass: 20}}}); err != nil {
				return err
			}
			return tx.SetAllocations("O-2", map[material.WireCode]workshop.Promise{"C-H-16": {Needed: 50, Mass: 0}})
		})
		read(t, db, func(r workshop.Reader) error {
			o2 := workshop.Allocation{Order: "O-2", DueOn: monday + 1, Wire: "C-H-16", Promise: workshop.Promise{Needed: 50}}
			short := workshop.Allocation{Order: "O-1", DueOn: monday + 4, Wire: "W-R-12", Promise: workshop.Promise{Needed: 70, Mass: 20}}
			core := workshop.Allocation{Order: "O-1", DueOn: monday + 4, Wire: "C-H-16", Promise: workshop.Promise{Needed: 100, Mass: 100}}
			same(t, "all, the earliest due first", []workshop.Allocation{o2, core, short})(r.Allocations())
			same(t, "of one wire", []workshop.Allocation{o2, core})(r.Allocations("C-H-16"))
			same(t, "short", []workshop.Allocation{o2, short})(r.ShortAllocations())
			same(t, "short of one wire", []workshop.Allocation{short})(r.ShortAllocations("W-R-12", "W-X-40"))
			same(t, "held", map[material.WireCode]workshop.Held{"C-H-16": {Mass: 100, Short: 50}, "W-R-12": {Mass: 20, Short: 50}})(r.Held("C-H-16", "W-R-12", "W-X-40"))
			same(t, "of one order", map[material.WireCode]workshop.Promise{"C-H-16": {Needed: 100, Mass: 100}, "W-R-12": {Needed: 70, Mass: 20}})(r.AllocatedTo("o-1"))
			spools, err := r.SpoolsOf("W-R-12")
			if len(spools) != 1 || spools[0].Code != "S-2" {
				t.Errorf("spools %v", spools)
			}
			return err
		})
		write(t, db, func(tx workshop.Tx) error {
			if err := tx.SetAllocations("O-1", map[material.WireCode]workshop.Promise{"C-H-16": {}, "W-R-12": {Needed: 70, Mass: 70}}); err != nil {
				return err
			}
			return tx.ClearAllocations("o-2")
		})
		read(t, db, func(r workshop.Reader) error {
			same(t, "left", []workshop.Allocation{{Order: "O-1", DueOn: monday + 4, Wire: "W-R-12", Promise: workshop.Promise{Needed: 70, Mass: 70}}})(r.Allocations())
			return nil
		})
		for name, p := range map[string]workshop.Promise{"more than needed": {Needed: 1, Mass: 2}, "less than nothing": {Needed: 1, Mass: -1}} {
			err := db.InTx(t.Context(), func(tx workshop.Tx) error {
				return tx.SetAllocations("O-1", map[material.WireCode]workshop.Promise{"W-X-40": p})
			})
			if !errors.Is(err, store.ErrRule) {
				t.Errorf("%s: %v", name, err)
			}
		}
	})
}

func TestSaveOrder(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		write(t, db, func(tx workshop.Tx) error { return tx.SavePlan(proposal()) })
		o := orders[0]
		o.DueOn, o.Customer = monday+9, "Low Ferry Instruments"
		o.Lines = []order.Line{{Number: 1, Set: "Harbour-2", Quantity: 6, Strings: o.Lines[0].Strings},
			{Number: 3, Quantity: 2, Strings: []order.String{{Position: 4, Recipe: "P-16", Scale: 600 * measure.Millimetre, Pitch: "D4"}}}}
		write(t, db, func(tx workshop.Tx) error { return tx.SaveOrder(o) })
		read(t, db, func(r workshop.Reader) error {
			same(t, "changed", o)(r.Order("O-1"))
			_, err := r.Plan(monday) // it serves what is still there
			return err
		})
		o.Lines = []order.Line{o.Lines[1]}
		write(t, db, func(tx workshop.Tx) error { return tx.SaveOrder(o) })
		read(t, db, func(r workshop.Reader) error {
			same(t, "changed again", o)(r.Order("O-1"))
			if _, err := r.Plan(monday); !errors.Is(err, workshop.ErrNotFound) {
				t.Errorf("the proposal that served its strings is still there: %v", err)
			}
			return nil
		})
	})
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		release(t, db)
		o := orders[0]
		o.Lines = o.Lines[1:]
		if err := db.InTx(t.Context(), func(tx workshop.Tx) error { return tx.SaveOrder(o) }); !errors.Is(err, store.ErrRefers) {
			t.Errorf("took away strings of a released batch: %v", err)
		}
	})
}

func TestTraces(t *testing.T) {
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		release(t, db)
		wound(t, db)
		read(t, db, func(r workshop.Reader) error {
			strings, err := r.TraceOf("o-1")
			if err != nil || len(strings) != 3 {
				t.Fatalf("got %+v, %v", strings, err)
			}
			s := strings[1]
			if s.Order != "O-1" || s.Line != 1 || s.Position != 2 || s.Strings != 2 || s.Batch != "B2" || s.Spool != "S-2" || s.Lot != "L2" || s.Supplier != "Hollin" ||
				s.Person != "ines" || s.WoundOn != monday || s.SpoolTook != 4 || s.Mass() != 6000 || s.Drawn != 12000 || s.DueOn != monday+4 {
				t.Errorf("the wrap is traced to %+v", s)
			}
			spools, batches, strings, err := r.TraceOfLot("l1")
			if err != nil || len(spools) != 1 || spools[0].Spool != "S-1" || spools[0].Drawn != 4000 || spools[0].OnHand != 1_000_000-4000 {
				t.Errorf("spools of the lot %+v, %v", spools, err)
			}
			if len(batches) != 2 || batches[0].Batch != "B1" || batches[0].Held != 5001 || batches[0].Drawn != 0 || batches[1].Drawn != 4000 || batches[1].Held != 2000 {
				t.Errorf("batches of the lot %+v", batches)
			}
			if len(strings) != 2 || strings[0].Order != "" || strings[0].Strings != 1 || strings[1].Order != "O-1" {
				t.Errorf("strings of the lot %+v", strings)
			}
			if spools, _, _, err := r.TraceOfLot("nothing"); err != nil || spools != nil {
				t.Errorf("of no lot: %v, %v", spools, err)
			}
			return nil
		})
	})
}

func TestDiscrepanciesOfTheWork(t *testing.T) {
	const promised = "INSERT INTO order_allocations (order_code, wire, needed, mass) VALUES "
	tests := []spoilt{
		{"promised beyond what is free", []string{promised + "('O-1', 'C-H-16', 9000000, 9000000)"}, []string{"wire allocated to orders is free on its spools"}},
		{"promised to a draft", []string{promised + "('O-2', 'C-H-16', 10, 10)"}, []string{"only an open order holds wire"}},
		{"mass of a planned draw", []string{"UPDATE batch_draws SET mass_each = 999 WHERE batch = 'B1'"}, []string{"a planned draw is its strings times the mass of each"}},
		{"finished without a result", []string{"UPDATE batches SET status = 'finished' WHERE code = 'B1'", "UPDATE batch_draws SET allocated = 0 WHERE batch = 'B1'",
			"UPDATE spools SET allocated = allocated - 5001 WHERE code = 'S-1'"}, []string{"a batch is finished by its last result"}},
		{"strings of a draw", []string{"UPDATE result_draws SET strings = 3 WHERE spool = 'S-2'"},
			[]string{"a result takes every wire of its batch for every string", "what a batch drew is its strings times the mass of each"}},
		{"a draw is gone", []string{"DELETE FROM result_draws WHERE spool = 'S-2'", "UPDATE orders SET status = 'shipped', short_reason = 'x' WHERE code = 'O-1'"},
			[]string{"a result takes every wire of its batch for every string", "every wound string of a shipped order traces to its spools and lots"}},
		{"mass of a draw", []string{"UPDATE result_draws SET mass = mass + 1 WHERE spool = 'S-2'"},
			[]string{"what a batch drew is its strings times the mass of each", "the draws of a result are movements of its spools"}},
		{"movement of another spool", []string{"UPDATE result_draws SET movement = 1 WHERE spool = 'S-2'"}, []string{"the draws of a result are movements of its spools"}},
		{"a good string is nowhere", []string{"DELETE FROM result_strings WHERE part = 2"},
			[]string{"every good string went somewhere", "no more finished strings are given than a result has to spare"}},
		{"too many for an order", []string{"UPDATE result_strings SET strings = 7 WHERE part = 1"},
			[]string{"every good string went somewhere", "no more good strings than were ordered", "a batch gives an order no more strings than it serves"}},
		{"given more than there is", []string{"UPDATE finished_given SET strings = 2"}, []string{"no more finished strings are given than a result has to spare"}},
		{"given of an order's strings", []string{"UPDATE finished_given SET part = 1"}, []string{"no more finished strings are given than a result has to spare"}},
		{"given beyond what was ordered", []string{"UPDATE result_strings SET strings = 9 WHERE part = 2", "UPDATE finished_given SET strings = 4"},
			[]string{"every good string went somewhere", "no more good strings than were ordered"}},
		{"given for another string", []string{"UPDATE finished_given SET position = 1"},
			[]string{"finished strings are given to an order that is not cancelled, for strings of their recipe and scale"}},
		{"given to a cancelled order", []string{"UPDATE orders SET status = 'cancelled' WHERE code = 'O-1'"},
			[]string{"finished strings are given to an order that is not cancelled, for strings of their recipe and scale"}},
		{"shipped short without a word", []string{"UPDATE orders SET status = 'shipped' WHERE code = 'O-1'"}, []string{"an order that is wound, packed or shipped is whole, or says why not"}},
		{"sums of a recipe", []string{"UPDATE recipe_results SET good = good + 1"}, []string{"the sums kept of a recipe are those of its results"}},
	}
	onBoth(t, func(t *testing.T, db *store.DB) {
		fill(t, db)
		release(t, db)
		wound(t, db)
		write(t, db, func(tx workshop.Tx) error { return tx.GiveFinished(spare) })
		namesWhatIsBroken(t, db, tests)
	})
}
